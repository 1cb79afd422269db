"""The demonstration's story: the same camber rubs by the lower arm and clears by the upper arm."""

from __future__ import annotations

from io import StringIO
from typing import Any

import pytest
from django.core.management import CommandError, call_command

import fitment.demo.build
import fitment.demo.car
from alignment.text.render import render
from common.corners import CORNER_NAMES
from fitment.clearance.car_page import car_page
from fitment.clearance.gate import clearance_gate
from fitment.clearance.page import corner_views
from fitment.clearance.present_car import Expected, duty_of
from fitment.engine import checkfile
from fitment.engine.curves.tyre_states import tyre_states
from fitment.engine.model import CornerAnswer, SpotAnswer
from fitment.job.inputs import check_inputs
from fitment.models import CornerSurvey
from fitment.text.options import option_text
from shop.orders.services.standing import standing_of

pytestmark = [pytest.mark.database, pytest.mark.django_db]


def test_camber_by_shims_touches_the_liner_and_the_same_camber_by_the_upper_arm_clears(
    stage: dict[str, Any],
) -> None:
    first = checkfile.answer_load(stage["checks"]["story"].answer)
    second = checkfile.answer_load(fitment.demo.build.apply_story_cure(stage).answer)
    for corner in ("LF", "RF"):
        before, after = first.corners[corner], second.corners[corner]
        assert before.static.camber_deg == pytest.approx(-1.7, abs=0.001)
        assert after.static.camber_deg == pytest.approx(-1.7, abs=0.001)
        near, then = tightest(before), tightest(after)
        assert near.place == then.place == "arch liner"
        assert near.at.steer_deg < -20
        assert near.clearance_mm == pytest.approx(-2.4, abs=0.3)
        assert then.clearance_mm == pytest.approx(11.5, abs=0.3)
        assert (before.verdict, after.verdict) == ("contact", "clear")
        assert not after.out_of_reach


def tightest(corner: CornerAnswer) -> SpotAnswer:
    return min(corner.places, key=lambda spot: spot.clearance_mm)


def test_the_check_itself_offers_the_option_that_the_story_takes(stage: dict[str, Any]) -> None:
    found = stage["checks"]["story"].options["LF"]["found"]
    words = "Same camber, set with the upper arm, Skerry 225/45R17 in place of 235/45R17, no spacer"
    assert words in [option_text(option) for option in found]


def test_a_search_on_the_story_is_finished_and_a_set_up_came_from_the_tryout(
    stage: dict[str, Any],
) -> None:
    search = stage["search"]
    assert search.is_complete
    assert search.order == stage["orders"]["story"]
    assert len(search.shown) > 1
    assert all(way["verdict"] in ("clear", "tight") for way in search.shown)
    order = stage["orders"]["from_tryout"]
    assert "Set-up taken from the try-out" in order.log.values_list("what", flat=True)
    assert clearance_gate(order).result == "clear"


def test_the_other_orders_that_were_checked_clear(stage: dict[str, Any]) -> None:
    verdicts = {key: check.verdict for key, check in stage["checks"].items()}
    assert verdicts.pop("story") == "contact"
    assert verdicts.pop("fast_roads") == "doubtful"
    assert set(verdicts.values()) == {"clear"}
    beyond = [key for key, check in stage["checks"].items() if not check.in_reach]
    assert beyond == ["camber_behind"]


def test_every_corner_of_both_car_models_is_measured_enough(stage: dict[str, Any]) -> None:
    for car_model in stage["car_models"].values():
        assert set(CornerSurvey.objects.current_by_corner(car_model)) == set(CORNER_NAMES)
    for check in stage["checks"].values():
        for corner in checkfile.answer_load(check.answer).corners.values():
            assert corner.uncovered == ()
            # Measured wherever there is a body; open only under the arch, towards the road.
            states = {(one.state, abs(one.clock_deg) > 112.5) for one in corner.sectors}
            assert ("open", False) not in states
            assert {state for state, _ in states} <= {"seen", "passed", "open"}


def test_the_story_stops_at_the_gate_until_it_is_told_to_the_end(stage: dict[str, Any]) -> None:
    order = stage["orders"]["story"]
    assert clearance_gate(order).result == "contact"
    fitment.demo.build.apply_story_cure(stage)
    assert clearance_gate(order).result == "clear"


def test_the_van_without_a_survey_is_unmeasured(stage: dict[str, Any]) -> None:
    order = stage["orders"]["unmeasured"]
    assert check_inputs(order).document is None
    assert clearance_gate(order).result == "unmeasured"


def test_the_story_can_be_read_as_text(stage: dict[str, Any]) -> None:
    out = StringIO()
    call_command("clearance_check_text", stage["orders"]["story"].number, stdout=out)
    text = out.getvalue()
    assert "verdict: contact" in text
    assert "arch liner" in text
    assert "LF, front left: contact" in text


@pytest.mark.parametrize(
    ("number", "why"), [("W9999", "no work order"), ("van", "has not been checked")]
)
def test_what_cannot_be_printed_is_said(stage: dict[str, Any], number: str, why: str) -> None:
    known = stage["orders"]["unmeasured"].number if number == "van" else number
    with pytest.raises(CommandError, match=why):
        call_command("clearance_check_text", known)


def test_the_tyre_that_is_doubtful_at_its_largest_clears_as_it_comes_new(
    stage: dict[str, Any],
) -> None:
    check = stage["checks"]["fast_roads"]
    question = checkfile.parse(check.inputs)
    states = tyre_states("LF", question.corners["LF"], question.duty)
    verdicts = {render(state.told): state.answer.verdict for state in states}
    assert verdicts.pop("the largest that the standard allows, grown 3 mm at speed") == "doubtful"
    assert verdicts["new, standing"] == verdicts["6 mm worn"] == "clear"
    assert check.inputs["corners"]["LR"]["tyre"]["worn_mm"] == 4.0
    assert check.inputs["corners"]["LR"]["compliance"] == "worn"


def test_a_gap_read_on_the_car_settles_the_doubtful_order(stage: dict[str, Any]) -> None:
    order = stage["orders"]["fast_roads"]
    before = clearance_gate(order)
    assert (before.result, before.action_label) == ("doubtful", "Measure what would settle it")
    assert "read this gap on the car itself" in before.sentence
    was = checkfile.answer_load(stage["checks"]["fast_roads"].answer)
    now = checkfile.answer_load(fitment.demo.car.settle(stage).answer)
    for corner in ("LF", "RF"):
        first, then = tightest(was.corners[corner]), liner_of(now.corners[corner])
        assert (first.place, first.verdict, then.verdict) == ("arch liner", "doubtful", "clear")
        assert then.shift_mm == pytest.approx(6.2, abs=0.5)
        assert then.sigma_mm < 0.85 * first.sigma_mm, "the reading tells this car from the others"
        (read,) = order.present_corners.get(corner=corner).gaps.all()
        expected = expected_on(order, corner).gap("arch liner", read.travel_mm, read.steer_deg)
        assert expected is not None
        assert expected.explains(read.gap_mm), "no reading that the page would question"
    assert clearance_gate(order).result == "clear"


def liner_of(corner: CornerAnswer) -> SpotAnswer:
    return next(spot for spot in corner.places if spot.place == "arch liner")


def expected_on(order: Any, corner: str) -> Expected:
    survey = CornerSurvey.objects.current(order.vehicle.car_model, corner)
    assert survey is not None
    return Expected(survey, order.present_corners.get(corner=corner), duty_of(order))


def test_rear_camber_ends_at_the_thread_of_the_upper_arm_and_a_longer_one_would_give_it(
    stage: dict[str, Any],
) -> None:
    check = stage["checks"]["camber_behind"]
    (short,) = checkfile.answer_load(check.answer).corners["LR"].out_of_reach
    assert (short.adjuster, short.min, short.max) == ("rod:upper rear", -4.0, 4.0)
    assert short.needed == pytest.approx(-8.4, abs=0.2)
    view = corner_views(check)[0]
    (row,) = view.out_of_reach
    assert [part.number for part in row.on_offer] == ["CA-22"]
    assert "fifteen millimetres of thread" in row.on_offer[0].caution


def test_half_worn_tyres_behind_are_too_small_for_a_drive_of_all_four(
    stage: dict[str, Any],
) -> None:
    context = car_page(stage["checks"]["fast_roads"])
    (note,) = context["view"].notes
    told = render(note)
    assert told.startswith("The circumference of the front tyres is 1.3 % more than")
    assert "common practice, no source" in told
    assert [side.name for side in context["mirrored"]] == ["front right", "rear right"]


@pytest.mark.parametrize("key", ["waiting", "on_lift"])
def test_an_approved_job_goes_on_from_its_quote(stage: dict[str, Any], key: str) -> None:
    assert standing_of(stage["orders"][key]).holds
