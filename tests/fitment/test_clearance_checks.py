"""From an order's rows to a check and back: what goes in, what comes out, what is kept."""

from __future__ import annotations

import html
import json
import re
from typing import Any
from urllib.parse import parse_qsl, urlsplit

import pytest
from django.urls import reverse

from alignment.text.render import customer
from common.message import message, message_load
from fitment.clearance.services import CheckNotPossible, check_run, scene_of
from fitment.engine import checkfile
from fitment.job.car import car_of_order
from fitment.job.inputs import check_inputs
from fitment.job.state import check_state
from fitment.models import ClearanceCheck, CornerSurvey
from fitment.text.options import clearance_text, option_text
from fitment.text.render import stored_text
from fitment.tryout.limits import limits_of
from fitment.tryout.services import quick_options
from fitment.tryout.services.trial import set_up_of
from shop.languages import ENGLISH
from shop.languages.formatting import capital
from shop.models import LogEntry, User
from tests.factories import make_line, make_order, make_part, make_vehicle
from tests.fitment.factories import (
    make_order_wheels,
    make_plan,
    make_ready_order,
    make_rubbing_order,
    make_survey,
    make_surveyed_car_model,
    make_tyre,
)
from tests.fitment.searches import done_search
from tests.stored import put_in_column

pytestmark = pytest.mark.django_db


def test_a_ready_order_becomes_a_check_file_that_can_be_read() -> None:
    order = make_ready_order(axles="front rear")
    inputs = check_inputs(order)
    assert inputs.problems == ()
    assert inputs.unmeasured == ()
    check = checkfile.parse(inputs.document)
    assert list(check.corners) == ["LF", "RF", "LR", "RR"]
    assert check.corners["LF"].planned.camber_by == "top_mount"
    assert check.corners["LR"].planned.camber_by == "lower_arm"
    assert check.duty.name == "street"


def test_an_axle_that_the_order_leaves_alone_is_not_asked_about() -> None:
    inputs = check_inputs(make_ready_order(axles="front"))
    assert inputs.document is not None
    assert list(inputs.document["corners"]) == ["LF", "RF"]


def test_a_corner_without_a_survey_is_listed_by_name_and_never_guessed() -> None:
    order = make_ready_order(car_model=make_surveyed_car_model(corners="LF"))
    inputs = check_inputs(order)
    assert inputs.unmeasured == ("RF",)
    check = check_run(order=order, by=None)
    assert check.verdict == "unmeasured"
    said = str(stored_text(check))
    assert said.endswith("Never surveyed, so no clearance is known there: front right.")
    assert "front left wheel clears" in said
    assert check.answer["corners"]["LF"]["verdict"] == "clear"


def test_contact_elsewhere_outweighs_a_corner_without_a_survey() -> None:
    order = make_rubbing_order(car_model=make_surveyed_car_model(corners="LF"))
    assert check_run(order=order, by=None).verdict == "contact"


def test_a_car_without_a_car_model_has_four_unmeasured_corners_and_no_document() -> None:
    order = make_order(vehicle=make_vehicle(car_model=None))
    make_order_wheels(order)
    make_plan(order)
    inputs = check_inputs(order)
    assert inputs.document is None
    assert inputs.unmeasured == ("LF", "RF")
    with pytest.raises(CheckNotPossible):
        check_run(order=order, by=None)


def test_the_newest_version_of_a_survey_is_the_one_that_counts() -> None:
    order = make_ready_order()
    newer = make_survey(order.vehicle.car_model, "LF", version=2)
    newer.document["limits"]["bump_mm"] = 40
    newer.save()
    document = check_inputs(order).document
    assert document is not None
    assert document["corners"]["LF"]["limits"]["bump_mm"] == 40
    assert document["corners"]["RF"]["limits"]["bump_mm"] == 62


def test_what_an_ordered_part_can_reach_goes_into_the_check() -> None:
    order = make_ready_order()
    plate = make_part(adjuster="top_mount_in_mm", reach_min=0, reach_max=6)
    make_line(order, kind="part", part=plate, axle="front")
    document = check_inputs(order).document
    assert document is not None
    assert document["corners"]["LF"]["suspension"]["reach"]["top_mount_in_mm"] == [0, 6]
    check = check_run(order=order, by=None)
    assert not check.in_reach
    assert check.result == "out of reach"
    said = str(stored_text(check))
    assert "Out of reach: top mount inboard is needed at +6.6" in said
    assert "allow 0.0 mm to +6.0 mm, 0.6 mm short" in said.replace("\u00a0", " ")


def test_a_part_for_the_other_axle_changes_nothing_here() -> None:
    order = make_ready_order(axles="front rear")
    make_line(
        order,
        kind="part",
        part=make_part(adjuster="lower_arm_out_mm", reach_min=0, reach_max=20, axle="rear"),
        axle="any",
    )
    document = check_inputs(order).document
    assert document is not None
    assert "lower_arm_out_mm" not in document["corners"]["LF"]["suspension"]["reach"]
    assert document["corners"]["LR"]["suspension"]["reach"]["lower_arm_out_mm"] == [0, 20]


def test_what_an_earlier_order_installed_on_the_car_still_counts(technician: Any) -> None:
    order = make_ready_order()
    earlier = make_order(vehicle=order.vehicle)
    earlier.installed.create(
        part=make_part(adjuster="top_mount_in_mm", reach_min=0, reach_max=14),
        description="camber plates",
        corner_or_axle="front",
        by=technician,
    )
    document = check_inputs(order).document
    assert document is not None
    assert document["corners"]["RF"]["suspension"]["reach"]["top_mount_in_mm"] == [0, 14]


@pytest.mark.parametrize(
    ("setting", "said", "mended_at"),
    [
        ({"camber_by": "upper_arm"}, "offers: the top mount", "/plan/"),
        ({"adjusters": {"upper_arm_in_mm": 3.0}}, "upper ball joint inboard", "/plan/"),
        ({"adjusters": {"rods_mm": {"upper front": 1.0}}}, "rod lengths", "/plan/"),
        ({"adjusters": {"ride_height_mm": -90.0}}, "rest on its stops", "/plan/"),
    ],
)
def test_a_setting_that_the_car_cannot_have_comes_back_with_its_place(
    setting: dict[str, Any], said: str, mended_at: str
) -> None:
    order = make_ready_order()
    plan = order.planned_settings.get()
    for name, value in setting.items():
        setattr(plan, name, value)
    plan.save()
    problems = check_inputs(order).problems
    assert any(said in problem.sentence for problem in problems), problems
    assert all(mended_at in problem.url for problem in problems)
    with pytest.raises(CheckNotPossible):
        check_run(order=order, by=None)
    assert not ClearanceCheck.objects.exists()


def test_a_part_that_the_corner_has_no_place_for_is_named() -> None:
    order = make_ready_order()
    part = make_part(name="Upper arm", adjuster="upper_arm_in_mm", reach_min=-5, reach_max=5)
    make_line(order, kind="part", part=part, axle="front")
    problems = check_inputs(order).problems
    assert len(problems) == 1
    assert "“Upper arm”" in problems[0].sentence
    assert problems[0].url.endswith(f"/orders/{order.pk}/lines/")


def test_wheels_without_a_plan_and_a_plan_without_wheels_are_both_asked_for() -> None:
    order = make_order(vehicle=make_vehicle(car_model=make_surveyed_car_model()))
    assert "Neither wheels nor settings" in check_inputs(order).problems[0].sentence
    make_order_wheels(order, "front")
    make_plan(order, "rear", camber_by="lower_arm")
    sentences = " ".join(problem.sentence for problem in check_inputs(order).problems)
    assert "front axle has wheels but no planned settings" in sentences
    assert "rear axle has planned settings but no wheels" in sentences


def test_a_check_keeps_question_answer_drawings_and_who_asked(writer: Any) -> None:
    order = make_ready_order()
    check = check_run(order=order, by=writer)
    kept = ClearanceCheck.objects.get(pk=check.pk)
    assert kept.inputs == json.loads(json.dumps(check_inputs(order).document))
    assert checkfile.answer_load(kept.answer).verdict == "clear"
    drawn = scene_of(kept, "LF")
    assert drawn is not None
    assert drawn.title == message("drawing.title", corner=message("corner.LF"))
    assert kept.by == writer
    said = LogEntry.objects.filter(order=order).values_list("what", flat=True)
    assert sorted(said) == ["Clearance checked", "Mounting checked"]


def test_a_kept_answer_does_not_move_when_the_rows_do() -> None:
    order = make_ready_order()
    check = check_run(order=order, by=None)
    CornerSurvey.objects.all().delete()
    kept = ClearanceCheck.objects.get(pk=check.pk)
    assert kept.inputs["corners"]["LF"]["survey"]["features"]
    assert check_state(order).latest == kept


def test_the_customers_sentence_is_one_line_in_whole_millimetres() -> None:
    check = check_run(order=make_rubbing_order(), by=None)
    sentence = str(stored_text(check, customer(ENGLISH)))
    assert "\n" not in sentence
    least = checkfile.answer_load(check.answer).corners["LF"].places[0]
    assert f"overlaps the arch lip by {-least.clearance_mm:.0f} ± " in sentence
    assert re.search(r"\d\.\d", sentence) is None


def test_a_suspension_that_cannot_be_set_as_planned_is_kept_as_out_of_hand() -> None:
    order = make_ready_order()
    survey = CornerSurvey.objects.get(car_model=order.vehicle.car_model, corner="LF")
    survey.document["limits"]["droop_mm"] = 390  # longer than the lower arm
    survey.save()
    check = check_run(order=order, by=None)
    assert (check.verdict, check.in_reach, check.answer) == ("unmeasured", False, {})
    assert "cannot be set as planned" in str(stored_text(check))
    assert message_load(check.stopped).code == "stop.travel"


def test_other_methods_for_the_same_camber_are_worked_out_where_it_rubs() -> None:
    check = check_run(order=make_rubbing_order(), by=None)
    told = [message_load(way["changes_told"]) for way in check.options["LF"]["camber_method"]]
    by = [message(f"camber-method.{name}") for name in ("top_mount", "knuckle")]
    assert told == [message("option.same-camber", by=one) for one in by]
    assert check.options["LF"] == check.options["RF"]
    assert check_run(order=make_ready_order(), by=None).options == {}


def test_the_smallest_change_that_clears_comes_first() -> None:
    make_tyre(
        name="Far too narrow", size="215/35R18", section_width_mm=215, rim_min_in=7, rim_max_in=9.5
    )
    make_tyre(name="For another rim", size="245/35R17", section_width_mm=240)
    make_tyre(name="Wider", size="275/35R18", section_width_mm=280)
    check = check_run(order=make_rubbing_order(), by=None)
    options = check.options["LF"]["found"]
    assert options
    assert options[0]["effort"] == min(way["effort"] for way in options)
    assert all(way["verdict"] in ("clear", "tight") for way in options)
    words = [option_text(way) for way in options]
    assert "Far too narrow" in words[0]
    assert not any("Wider" in one or "another rim" in one for one in words)
    fell = {message_load(why) for why, _ in check.options["LF"]["ruled_out"]}
    assert message("ruled-out.rim-diameter", rim_in=17.0) in fell
    assert message("ruled-out.touches", spot="arch lip") in fell


def test_options_beside_a_check_are_those_of_the_tryout(writer: User, client_of: Any) -> None:
    """The same limits, words and figures as a search that may change the same things."""
    make_tyre(name="Narrow", section_width_mm=236, price="150.00")
    order = make_rubbing_order()
    options = check_run(order=order, by=None).options["LF"]["found"]
    car = car_of_order(order)
    around = limits_of(car, set_up_of(car, "front"))
    asked = {name: around[name] for name in ("diameter_from", "diameter_to")}
    search = done_search(order, writer, may=["camber_method", "spacer", "tyre"], **asked)
    for aim in ("least change", "most clearance"):
        mine = next(way for way in options if aim in way["wins"])
        theirs = next(way for way in search.shown if aim in way["wins"])
        assert {**mine, "wins": theirs["wins"]} == theirs
    page = client_of(writer).get(reverse("clearance", args=[order.pk])).content.decode()
    for way in options:
        assert html.escape(option_text(way)) in page
        assert html.escape(clearance_text(way)) in page
    assert page.count("Try this") >= len(options)
    assert "Rejected options" in page


def test_options_of_an_older_check_are_shown_as_they_were(writer: User, client_of: Any) -> None:
    order = make_rubbing_order()
    check = check_run(order=order, by=None)
    way = {"words": "no spacer", "verdict": "tight", "sentence": "Clears the lip by 6 mm."}
    other = {"words": "camber by the knuckle bolts", "verdict": "contact", "sentence": "Touches."}
    older = {"LF": {"means": [other], "clear": [way]}}
    put_in_column(check, "options", older)
    page = client_of(writer).get(reverse("clearance_check", args=[check.pk])).content.decode()
    assert "Clears the lip by 6 mm." in page
    assert "Camber by the knuckle bolts" in page


def test_an_option_that_is_followed_clears_as_was_said() -> None:
    make_tyre(name="Narrow", section_width_mm=236)
    order = make_rubbing_order()
    way = check_run(order=order, by=None).options["LF"]["found"][0]
    put = way["put"]
    order.planned_settings.update(camber_by=put["by"])
    order.order_wheels.update(tyre=put["tyre"], spacer_mm=float(put["spacer"] or 0))
    assert check_run(order=order, by=None).verdict == way["verdict"]


def test_each_quick_option_shows_its_own_values_and_leads_to_its_own_set_up(
    writer: Any, client_of: Any
) -> None:
    make_tyre(name="Narrow", section_width_mm=240, price="150.00")
    make_tyre(
        name="Far too narrow", size="215/35R18", section_width_mm=215, rim_min_in=7, rim_max_in=9.5
    )
    order = make_rubbing_order()
    check = check_run(order=order, by=writer)
    kept = check.options["LF"]["found"]
    assert len(kept) > 1
    page = client_of(writer).get(reverse("clearance_check", args=[check.pk])).content.decode()
    (listed,) = re.findall(r"<h3>Options</h3>\s*<ul>(.*?)</ul>", page, re.S)[:1]
    rows = [html.unescape(row) for row in re.findall(r"<li>(.*?)</li>", listed, re.S)]
    assert len(rows) == len(kept)
    for row, option in zip(rows, kept, strict=True):
        assert capital(option_text(option)) in row
        assert clearance_text(option) in row
        put = dict(parse_qsl(urlsplit(re.findall(r'href="([^"]+)"', row)[0]).query))
        assert put == {"axle": "front", "use": "autocross"} | {
            name: str(value) for name, value in option["put"].items() if str(value)
        }
    assert len(set(rows)) == len(rows)


def test_a_search_that_did_not_look_at_everything_says_so(
    writer: User, client_of: Any, monkeypatch: Any
) -> None:
    monkeypatch.setattr(quick_options, "MOST_JUDGED", 0)
    order = make_rubbing_order()
    make_tyre(name="Narrow", section_width_mm=240)
    check = check_run(order=order, by=None)
    kept = check.options["LF"]
    assert (kept["found"], kept["complete"]) == ([], False)
    assert "ruled-out.not-looked-at" in {why["code"] for why, _ in kept["ruled_out"]}
    page = client_of(writer).get(reverse("clearance", args=[order.pk])).content.decode()
    assert "Not all was looked at beside this check" in page
    assert "none of them clears" not in page
