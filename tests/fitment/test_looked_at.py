"""What a check says of its own grounds: sectors not looked at, and what makes it uncertain."""

from __future__ import annotations

import copy
import html
import json
from typing import Any

import pytest
from django.core.management import call_command
from django.urls import reverse

from alignment.text.render import render
from common.message import message
from fitment.clearance.page import sectors_scene_of
from fitment.clearance.services import check_run
from fitment.demo.surveys import STRUT_FRONT
from fitment.drawings.scene_pdf import SceneFlowable
from fitment.engine import checkfile
from fitment.engine.deciding import worst_spot
from fitment.engine.findings import NAMED, most_of_it
from fitment.models import MountingCheck
from shop.models import WorkOrder
from shop.sheet.document import sheet_pdf
from tests.factories import make_car_model
from tests.fitment.factories import make_ready_order, make_survey
from tests.pdf import text_of_pdf

pytestmark = pytest.mark.django_db


def order_measured(lip_to_deg: float) -> WorkOrder:
    """A job on a front axle whose arch lip was measured so far towards the bumper."""
    car_model = make_car_model()
    document = copy.deepcopy(STRUT_FRONT)
    lip = document["survey"]["features"][0]
    assert lip["place"] == "arch lip"
    lip["points"] = [one for one in lip["points"] if one["clock_deg"] <= lip_to_deg]
    for corner in ("LF", "RF"):
        make_survey(car_model, corner, document=copy.deepcopy(document))
    return make_ready_order(car_model=car_model)


def test_the_page_draws_the_sectors_and_opens_them_where_one_was_not_looked_at(
    client_of: Any, writer: Any
) -> None:
    whole, half = order_measured(112), order_measured(60)
    for order, looked_at in ((whole, True), (half, False)):
        check = check_run(order=order, by=writer)
        page = client_of(writer).get(reverse("clearance", args=[order.pk])).content.decode()
        assert f'id="sectors-{check.pk}-lf-title"' in page
        assert ('<details class="sectors" open>' in page) == (not looked_at)
        assert ("missing-edge" in page.partition('class="sectors"')[2].partition("</svg>")[0]) == (
            not looked_at
        )
        assert checkfile.answer_load(check.answer).verdict == (
            "clear" if looked_at else "unmeasured"
        )


def test_screen_and_paper_show_one_drawing_of_the_sectors(client_of: Any, writer: Any) -> None:
    order = order_measured(60)
    check = check_run(order=order, by=writer)
    answer = checkfile.answer_load(check.answer).corners["LF"]
    scene = sectors_scene_of(("LF", "RF"), answer)
    assert scene is not None
    assert SceneFlowable(scene, 200.0).alt == " ".join(map(str, scene.description))
    page = client_of(writer).get(reverse("clearance", args=[order.pk])).content.decode()
    (arc,) = {
        words
        for part in scene.parts
        for words, style in getattr(part, "lines", ())
        if style == "dim-text"
    }
    assert str(arc) in page
    paper = " ".join(text_of_pdf(sheet_pdf(order)).split())
    assert str(arc) in paper
    assert "Front left and front right: looked at" in paper


def test_a_sheet_of_a_car_that_was_looked_at_all_round_has_no_such_drawing(writer: Any) -> None:
    order = order_measured(112)
    check_run(order=order, by=writer)
    assert "looked at" not in text_of_pdf(sheet_pdf(order))


def test_page_and_report_name_the_three_inputs_that_make_most_of_the_uncertainty(
    client_of: Any, writer: Any, tmp_path: Any, capsys: Any
) -> None:
    order = make_ready_order()
    check = check_run(order=order, by=writer)
    answer = checkfile.answer_load(check.answer).corners["LF"]
    spot = worst_spot(answer)
    assert spot is not None
    told = most_of_it(spot)
    assert told is not None
    named = told.params["sources"]
    assert len(named) == NAMED == 3
    sizes = sorted((part.mm for part in spot.uncertainty), reverse=True)[:3]
    assert [one.params["part_mm"] for one in named] == sizes
    page = client_of(writer).get(reverse("clearance", args=[order.pk])).content.decode()
    page = page.partition("</table>")[2].partition('<details class="effects"')[0]
    path = tmp_path / "check.json"
    path.write_text(json.dumps(check.inputs), encoding="utf-8")
    call_command("clearance", str(path))
    report = capsys.readouterr().out
    for text in (page, report):
        flat = " ".join(text.split())
        largest = [part.source for part in spot.uncertainty[:3]]
        places = [flat.index(source) for source in largest if source in flat]
        assert len(places) == 3, largest


def test_the_page_states_the_chance_that_anything_touches_on_the_car(
    client_of: Any, writer: Any
) -> None:
    whole, one = make_ready_order(axles="front rear"), order_measured(112)
    said = "Chance that anything touches on this car: "
    check = check_run(order=whole, by=writer)
    page = client_of(writer).get(reverse("clearance", args=[whole.pk])).content.decode()
    answer = checkfile.answer_load(check.answer)
    chance = render(message("chance.touch", touch_share=answer.any_touch_chance))
    assert said + html.escape(chance) in page
    lone = check_run(order=one, by=writer)
    kept = checkfile.answer_load(lone.answer)
    assert len(kept.corners) == 2, "both wheels of an axle are a car's"
    page = client_of(writer).get(reverse("clearance_check", args=[lone.pk])).content.decode()
    assert said in page


@pytest.mark.parametrize(
    ("chance", "said"),
    [
        (0.0, "< 1 in 100"),
        (0.0099, "< 1 in 100"),
        (0.01, "1 %"),
        (0.19, "19 %"),
        (1.0, "over 99 %"),
    ],
)
def test_no_chance_is_stated_finer_than_one_in_a_hundred(chance: float, said: str) -> None:
    assert render(message("chance.touch", touch_share=chance)) == said


def test_the_rule_by_which_gaps_are_judged_stands_where_their_limits_are_set_and_used(
    client_of: Any, manager: Any, writer: Any
) -> None:
    law = client_of(manager).get(reverse("law")).content.decode()
    order = make_ready_order()
    check_run(order=order, by=writer)
    kept = MountingCheck.objects.get(order=order)
    used = client_of(writer).get(reverse("mounting_check", args=[kept.pk])).content.decode()
    for page in (law, used):
        assert "JCGM 106:2012" in page
