"""The page that moves a checked wheel past the body: sliders, fixed poses, what is refused."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from fitment.clearance.services import check_run, side_of
from fitment.engine import checkfile
from fitment.engine.deciding import worst_spot
from fitment.models import ClearanceCheck
from shop.sheet.document import sheet_pdf
from tests.fitment.factories import make_rubbing_order
from tests.pdf import text_of_pdf

pytestmark = pytest.mark.django_db
Browsers = Callable[[Any], Client]


@pytest.fixture(scope="module")
def rubbing(lasting: Any) -> ClearanceCheck:
    with lasting():
        return check_run(order=make_rubbing_order(), by=None)


def page_of(browser: Client, check: ClearanceCheck, **query: Any) -> str:
    url = reverse("clearance_poses", args=[check.pk, "LF"])
    return browser.get(url, query).content.decode()


def said_in(page: str) -> str:
    found = re.search(r'id="pose-said"[^>]*>([^<]*)<', page)
    assert found
    return found.group(1)


def test_the_page_begins_at_the_tightest_pose_and_shows_three_fixed_ones(
    client_of: Browsers, writer: Any, rubbing: ClearanceCheck
) -> None:
    page = page_of(client_of(writer), rubbing)
    worst = worst_spot(checkfile.answer_load(rubbing.answer).corners["LF"])
    assert worst is not None
    assert worst.place in said_in(page)
    assert page.count("<svg") >= 8  # two views of the pose on the sliders, and of three more
    assert page.count('data-spot="arch lip"') >= 4
    for name in ("travel", "steer"):
        assert re.search(rf'<input type="range" [^>]*name="{name}"', page)


def test_a_pose_is_told_with_its_spot_and_clearance_by_the_engine(
    client_of: Browsers, writer: Any, rubbing: ClearanceCheck
) -> None:
    page = page_of(client_of(writer), rubbing, travel="10", steer="5")
    assert re.search(
        r"10 mm into bump with 5° of steering.*: [+−]\d+\.\d mm at the ", said_in(page)
    )
    assert "nearest one is shown" not in said_in(page)
    far = page_of(client_of(writer), rubbing, travel="500", steer="5")
    assert "nearest one is shown" in said_in(far)


def test_htmx_gets_the_two_drawings_and_the_sentence_for_the_live_region(
    client_of: Browsers, writer: Any, rubbing: ClearanceCheck
) -> None:
    url = reverse("clearance_poses", args=[rubbing.pk, "LF"])
    part = client_of(writer).get(url, {"travel": "0", "steer": "0"}, headers={"HX-Request": "true"})
    text = part.content.decode()
    assert text.count("<svg") == 2
    assert '<p id="pose-said" hx-swap-oob="innerHTML">' in text
    assert "<html" not in text


@pytest.mark.parametrize(("travel", "steer"), [("", "0"), ("far", "0"), ("0", "x"), ("nan", "0")])
def test_a_pose_that_is_no_number_is_refused_by_its_field_and_the_page_stays(
    client_of: Browsers, writer: Any, rubbing: ClearanceCheck, travel: str, steer: str
) -> None:
    page = page_of(client_of(writer), rubbing, travel=travel, steer=steer)
    field = "Steering, degrees" if steer == "x" else "Bump travel"
    assert re.search(rf'role="alert">{field}[^<]*: ', page)
    assert "<svg" in page


def test_the_side_view_is_kept_with_the_check_and_stands_beside_the_section_on_paper_too(
    client_of: Browsers, writer: Any, rubbing: ClearanceCheck
) -> None:
    kept = side_of(rubbing, "LF")
    assert kept is not None
    page = client_of(writer).get(reverse("clearance", args=[rubbing.order_id])).content.decode()
    assert f'id="side-{rubbing.pk}-lf-title"' in page
    paper = " ".join(text_of_pdf(sheet_pdf(rubbing.order)).split())
    assert "from the side" in paper
    assert "clock" in paper


def test_the_road_test_shows_the_spots_to_point_at(
    client_of: Browsers, technician: Any, rubbing: ClearanceCheck
) -> None:
    order = rubbing.order
    type(order).objects.filter(pk=order.pk).update(state="road_test")
    page = client_of(technician).get(reverse("road_test", args=[order.pk])).content.decode()
    figure = page.partition('data-pick-corner="LF"')[2].partition("</figure>")[0]
    spots = [spot.place for spot in checkfile.answer_load(rubbing.answer).corners["LF"].places]
    assert re.findall(r'data-pick="([^"]+)" hidden', figure) == spots
    assert 'data-spot="arch lip"' in figure


def test_a_check_from_before_the_side_view_is_shown_without_it(
    client_of: Browsers, writer: Any, rubbing: ClearanceCheck
) -> None:
    for kept in rubbing.scenes.values():
        kept.pop("side", None)
    rubbing.save(update_fields=["scenes"])
    page = client_of(writer).get(reverse("clearance", args=[rubbing.order_id])).content.decode()
    assert f'id="side-{rubbing.pk}-lf-title"' not in page
    assert f'id="clearance-{rubbing.pk}-lf-title"' in page
