"""Adjustments as they were accepted, and adjusters that stay: what depends on them follows."""

from __future__ import annotations

import html
import re
from typing import Any

import pytest
from django.urls import reverse

from alignment.adjustments.hand_steps import as_set_by_hand, least_of, out_of_range
from alignment.adjustments.held import WHOLE, adjusters_hold
from alignment.adjustments.page import adjustments_page
from alignment.geometry.adjuster_units import HandSetting
from alignment.geometry.adjustment_problem import (
    CAMBER,
    TOE,
    TOE_LINK,
    Adjustment,
    Adjustments,
    Option,
)
from alignment.models import AcceptedAdjustments, HeldAdjuster, PlannedSetting
from alignment.text.render import render
from common.message import message_load
from fitment.demo.surveys import WISHBONES_FRONT
from shop.models import WorkOrder
from shop.orders.services.torques import torques_open
from tests.alignment.adjustments_orders import accepted, an_order, at, stand
from tests.alignment.factories import make_visit
from tests.alignment.test_accepting import sent
from tests.factories import (
    make_car_model,
    make_line,
    make_order,
    make_part,
    make_vehicle,
    sign_torques,
)
from tests.fitment.factories import make_plan, make_survey, make_surveyed_car_model

pytestmark = pytest.mark.django_db
MOUNT = "top_mount_in_mm"


def rear_too(order: WorkOrder) -> None:
    """Rear toe off to one side, with a target, on the visit that was read."""
    PlannedSetting.objects.create(order=order, axle="rear", toe_deg=0.12)
    visit = order.rack_visits.get()
    for corner, toe in (("LR", "0.42"), ("RR", "-0.18")):
        visit.readings.create(
            corner=corner, quantity="toe", typed=toe, unit="deg", value=float(toe)
        )


def toe_after(order: WorkOrder, corner: str) -> float:
    toe = at(order, corner).toe_after
    assert toe is not None
    return toe


def corner_html(client: Any, order: WorkOrder, corner: str) -> str:
    page = client.get(reverse("adjustments", args=[order.pk])).content.decode()
    part = page.split(f'aria-labelledby="corner-{corner}"')[1].split("</section>")[0]
    return html.unescape(part)


def open_steps(part: str) -> str:
    """The steps that stand open on a corner's part of the page: none of those in folds."""
    bare = re.sub(r"<details.*?</details>", "", part, flags=re.S)
    found = re.search(r'<ol class="adjustments">(.*?)</ol>', bare, re.S)
    return re.sub(r"<[^>]+>", " ", found[1]) if found else ""


# ---- what is shown is what was accepted


def with_two_options() -> WorkOrder:
    order = an_order(camber=-2.0, mark_size=None)
    shim = make_part(
        kind="shim", axle="front", adjuster="lower_arm_out_mm", reach_min=0, reach_max=12
    )
    make_line(order, kind="part", part=shim, axle="front")
    return order


def test_the_steps_that_stand_open_are_those_that_were_accepted(
    technician: Any, client_of: Any
) -> None:
    order, client = with_two_options(), client_of(technician)
    first, second = (one.adjustments for one in adjustments_page(order)[0].options[:2])
    assert render(first[0].what) in open_steps(corner_html(client, order, "LF"))
    sent(client, order, option_LF="1")
    part = corner_html(client, order, "LF")
    steps = open_steps(part)
    assert 'data-test="accepted"' in part
    for said in second:
        assert render(said.what) in steps
        assert render(said.how) in steps
    assert render(first[0].what) not in steps


def test_what_was_accepted_stays_shown_when_the_plan_changes(
    technician: Any, client_of: Any
) -> None:
    order, client = an_order(), client_of(technician)
    sent(client, order)
    row = AcceptedAdjustments.objects.of_order(order).filter(corner="LF").get()
    PlannedSetting.objects.filter(order=order).update(camber_deg=-2.8)
    part = corner_html(client, order, "LF")
    steps = open_steps(part)
    for move in row.adjustments:
        assert render(message_load(move["how"])) in steps
    assert 'data-test="accepted-otherwise"' in part


def test_a_corner_that_is_left_prints_no_steps(technician: Any, client_of: Any) -> None:
    order, client = an_order(), client_of(technician)
    sent(client, order, option_RF="leave")
    part = corner_html(client, order, "RF")
    assert 'data-test="stays"' in part
    assert open_steps(part) == ""
    assert '<ol class="adjustments">' not in part
    sent(client, order, option_RF="free")
    assert open_steps(corner_html(client, order, "RF")) != ""


def test_a_corner_that_is_left_after_it_was_accepted_is_left(
    technician: Any, client_of: Any
) -> None:
    order, client = an_order(), client_of(technician)
    sent(client, order)
    sent(client, order, option_LF="leave")
    assert 'data-test="stays"' in corner_html(client, order, "LF")
    assert toe_after(order, "LF") == pytest.approx(0.20)
    visit = make_visit(order, {("LF", "camber"): "-1.6", ("LF", "toe"): "0.2"}, stage="between")
    assert visit.pk
    assert MOUNT not in at(order, "LF").assumed


def test_what_was_left_before_the_next_readings_stays_unmade(
    technician: Any, client_of: Any
) -> None:
    order, client = an_order(), client_of(technician)
    sent(client, order)
    sent(client, order, option_LF="leave")
    assert "withdrawn" in order.log.filter(what="Adjusters that stay").last().detail
    page = html.unescape(client.get(reverse("visit_new", args=[order.pk])).content.decode())
    assert "accepted: right" in page
    assert "accepted: left" not in page
    make_visit(order, {("LF", "camber"): "-1.6", ("LF", "toe"): "0.2"}, stage="between")
    kept = HeldAdjuster.objects.get()
    sent(client, order, stays_LF=TOE_LINK)
    assert HeldAdjuster.objects.get(adjuster=WHOLE).at == kept.at
    sent(client, order, option_LF="free")
    assert at(order, "LF").assumed == frozenset()
    assert at(order, "LF").stood.get(MOUNT, 0.0) == 0.0


def test_an_adjuster_that_turns_out_to_be_seized_takes_back_what_would_move_it(
    technician: Any, client_of: Any
) -> None:
    order, client = an_order(), client_of(technician)
    rear_too(order)
    sent(client, order)
    assert toe_after(order, "LR") == pytest.approx(0.12, abs=2e-3)
    sent(client, order, stays_LR=TOE_LINK)
    assert toe_after(order, "LR") == pytest.approx(0.42)
    assert at(order, "LF").thrust_shift_deg == pytest.approx(0.15, abs=2e-3)
    standing = AcceptedAdjustments.objects.of_order(order)
    assert {row.corner for row in standing} == {"LF", "RF", "RR"}


# ---- what stays enters everything that depends on it


def test_a_rear_corner_that_is_left_enters_thrust_line_front_toe_and_total(
    technician: Any, client_of: Any
) -> None:
    """Rear +0.42 and -0.18, target 0.12: with the left one as it is and the right one set, the
    thrust line lies at (0.42 - 0.12) / 2 = +0.15, where it was at (0.42 + 0.18) / 2 = +0.30."""
    order, client = an_order(), client_of(technician)
    rear_too(order)
    assert at(order, "LF").thrust_shift_deg == pytest.approx(0.30, abs=2e-3)
    front = {corner: at(order, corner).answer.options[0] for corner in ("LF", "RF")}
    page = sent(client, order, option_LR="leave").content.decode()
    assert "Noted what stays: Rear left" in html.unescape(page)
    assert not AcceptedAdjustments.objects.exists()
    left, right = at(order, "LF"), at(order, "RF")
    assert toe_after(order, "LR") == pytest.approx(0.42)
    assert toe_after(order, "RR") == pytest.approx(0.12, abs=2e-3)
    assert left.thrust_shift_deg == pytest.approx(0.15, abs=2e-3)
    assert right.thrust_shift_deg == pytest.approx(-0.15, abs=2e-3)
    moved = {corner: at(order, corner).answer.options[0].positions[TOE_LINK] for corner in front}
    for corner, before in front.items():
        assert abs(moved[corner] - before.positions[TOE_LINK]) > 0.2
    # Front toe is met where the rack will count it from: the line that will really be there.
    for corner in ("LF", "RF"):
        target = at(order, corner).wanted[TOE].deg
        assert toe_after(order, corner) == pytest.approx(target, abs=0.006)
    part = html.unescape(page).split('data-test="car-after"')[1].split("</section>")[0]
    cells = re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", part))
    assert re.search(r"Thrust angle \+0\.30 \S+ \+0\.15", cells)
    assert re.search(r"Total toe, rear \+0\.24 \+0\.24 \+0\.54", cells)
    sent(client, order)
    assert {row.corner for row in AcceptedAdjustments.objects.all()} == {"LF", "RF", "RR"}


def test_a_single_seized_adjuster_can_be_named_and_stays(technician: Any, client_of: Any) -> None:
    order, client = an_order(), client_of(technician)
    rear_too(order)
    page = sent(client, order, stays_LR=TOE_LINK)
    assert "Noted what stays" in page.content.decode()
    assert HeldAdjuster.objects.get().adjuster == TOE_LINK
    assert toe_after(order, "LR") == pytest.approx(0.42)
    assert at(order, "LF").thrust_shift_deg == pytest.approx(0.15, abs=2e-3)
    # A seized top mount leaves toe to the link, and camber as it is.
    sent(client, order, stays_LF=MOUNT, stays_LR=TOE_LINK)
    option = at(order, "LF").answer.options[0]
    assert {move.adjuster for move in option.adjustments} <= {TOE_LINK}
    assert option.predicted[CAMBER] == pytest.approx(-1.6, abs=0.1)
    assert option.predicted[TOE] == pytest.approx(at(order, "LF").wanted[TOE].deg, abs=0.006)
    # Not ticked any more: it moves again.
    sent(client, order)
    assert not HeldAdjuster.objects.exists()
    assert at(order, "LF").thrust_shift_deg == pytest.approx(0.30, abs=2e-3)


def test_a_rear_wheel_without_a_target_counts_as_it_was_read(technician: Any) -> None:
    order = an_order()
    rear_too(order)
    adjusters_hold(order=order, by=technician, wanted={"LR": {WHOLE}, "RR": {WHOLE}})
    assert at(order, "LF").thrust_shift_deg == pytest.approx(0.0, abs=1e-9)


def test_half_of_a_rear_total_turns_no_line_until_it_is_accepted(technician: Any) -> None:
    """By default nothing is adjusted there before it is read wheel by wheel. Left stays at +0.25,
    right goes to +0.12: the line then turns right by 0.065, which front left toe loses."""
    order = an_order()
    PlannedSetting.objects.create(order=order, axle="rear", toe_deg=0.12)
    visit = order.rack_visits.get()
    visit.readings.create(corner="LR", quantity="toe_total", typed="0.5", unit="deg", value=0.5)
    adjusters_hold(order=order, by=technician, wanted={"LR": {TOE_LINK}})
    assert at(order, "RR").needs_thrust
    assert toe_after(order, "RR") == pytest.approx(0.25)
    assert at(order, "LF").thrust_shift_deg == 0.0
    accepted(order, technician)
    assert at(order, "LF").thrust_shift_deg == pytest.approx(-(0.25 - 0.12) / 2, abs=2e-3)


def test_the_rear_option_that_was_accepted_turns_the_line_of_the_front(technician: Any) -> None:
    order = an_order()
    rear_too(order)
    accepted(order, technician)
    AcceptedAdjustments.objects.filter(corner="LR").update(predicted={TOE: 0.20})
    assert at(order, "LF").thrust_shift_deg == pytest.approx(0.30 - 0.04, abs=2e-3)


def test_accepted_adjustments_take_up_the_torque_of_what_they_move(technician: Any) -> None:
    order = an_order()
    line = order.lines.get()
    line.part.torque_nm = 62
    line.part.save()
    order.installed.create(
        line=line, part=line.part, description="Top mount", corner_or_axle="front", by=technician
    )
    sign_torques(order, technician)
    assert torques_open(order) == []
    accepted(order, technician)
    assert {(due.what, due.position) for due in torques_open(order)} == {
        (line.part.name, "LF"),
        (line.part.name, "RF"),
    }


# ---- planned positions and hands


def test_a_planned_position_beyond_the_parts_range_is_said_and_not_made(
    technician: Any, client_of: Any
) -> None:
    order, client = an_order(), client_of(technician)
    PlannedSetting.objects.filter(order=order).update(
        camber_deg=None, camber_by="", adjusters={MOUNT: 15.0}
    )
    (short,) = at(order, "LF").out_of_range
    assert (short.adjuster, short.planned, short.high) == (MOUNT, 15.0, 12.0)
    part = corner_html(client, order, "LF")
    assert "The part reaches 0.0 mm to +12.0 mm: 3.0 mm short" in part
    assert open_steps(part) == ""
    assert 'name="option_LF" value="0"' not in part
    PlannedSetting.objects.filter(order=order).update(adjusters={MOUNT: 12.0})
    assert at(order, "LF").out_of_range == ()


def test_a_planned_position_is_a_whole_number_of_the_shims_there_are() -> None:
    hands = {"lower_arm_out_mm": HandSetting(shim_mm=2.0)}
    (odd,) = out_of_range({"lower_arm_out_mm": 5.0}, {}, hands)
    assert (odd.planned, odd.shim_mm) == (5.0, 2.0)
    assert out_of_range({"lower_arm_out_mm": 6.0}, {}, hands) == ()
    assert out_of_range({"lower_arm_out_mm": 5.0}, {}, {}) == ()


@pytest.mark.parametrize(("pieces", "short"), [(1, True), (20, False)])
def test_more_shims_than_the_order_lists_are_said(
    pieces: int, short: bool, technician: Any, client_of: Any
) -> None:
    order = an_order(camber=-2.0)
    order.lines.all().delete()
    shim = make_part(
        kind="shim",
        axle="front",
        adjuster="lower_arm_out_mm",
        reach_min=0,
        reach_max=30,
        shim_mm=1.0,
        moves_wheel=True,
    )
    make_line(order, kind="part", part=shim, axle="front", quantity=pieces)
    PlannedSetting.objects.filter(order=order).update(
        camber_deg=None, camber_by="", adjusters={"lower_arm_out_mm": 4.0}
    )
    part = corner_html(client_of(technician), order, "LF")
    assert ("4 shims are needed here; the order lists 1" in part) is short
    assert ("shims are needed here" in part) is short


class Levers:
    """A model for one test: toe follows the link, camber the mount."""

    def at(self, rows: Any) -> Any:
        import numpy as np

        return np.array(
            [[0.4 * row.get(TOE_LINK, 0.0), -0.1 * row.get(MOUNT, 0.0), 5.0] for row in rows]
        )

    at_many = at


def answer_of(*moves: Adjustment) -> Adjustments:
    positions = {move.adjuster: move.end for move in moves}
    option = Option(tuple(moves), {TOE: 0.0, CAMBER: 0.0}, positions)
    return Adjustments({TOE: 0.0, CAMBER: 0.0}, (option,))


@pytest.mark.parametrize(
    ("by_mm", "kept"), [(0.124, False), (0.126, True), (-0.124, False), (-0.126, True)]
)
def test_less_than_half_a_flat_is_not_made(by_mm: float, kept: bool) -> None:
    """A pitch of 1.5 mm: a flat is 0.25 mm."""
    hands = {TOE_LINK: HandSetting(pitch_mm=1.5)}
    assert least_of(TOE_LINK, hands[TOE_LINK]) == pytest.approx(0.125)
    (option,) = as_set_by_hand(answer_of(Adjustment(TOE_LINK, 0.0, by_mm)), hands, Levers()).options
    assert bool(option.adjustments) is kept
    if not kept:
        assert option.positions[TOE_LINK] == 0.0
        assert option.predicted[TOE] == pytest.approx(0.0)


@pytest.mark.parametrize(("by_mm", "kept"), [(0.04, False), (0.06, True)])
def test_without_a_thread_a_tenth_is_the_least(by_mm: float, kept: bool) -> None:
    (option,) = as_set_by_hand(answer_of(Adjustment(MOUNT, 1.0, 1.0 + by_mm)), {}, Levers()).options
    assert bool(option.adjustments) is kept


def test_options_that_become_the_same_are_one() -> None:
    answer = answer_of(Adjustment(MOUNT, 0.0, 3.0))
    tiny = answer_of(Adjustment(MOUNT, 0.0, 3.0), Adjustment(TOE_LINK, 0.0, 0.01))
    both = Adjustments(answer.offset, (*answer.options, *tiny.options))
    assert len(as_set_by_hand(both, {}, Levers()).options) == 1


def test_no_page_prints_less_than_half_a_flat(technician: Any, client_of: Any) -> None:
    order = an_order()
    link = make_part(
        kind="toe link", axle="front", adjuster=TOE_LINK, thread_pitch_mm=1.5, threads=1
    )
    make_line(order, kind="part", part=link, axle="front")
    told = at(order, "LF").answer.options[0].predicted
    numbers = {("LF", "camber"): f"{told[CAMBER]:.3f}", ("LF", "toe"): f"{told[TOE] + 0.02:.3f}"}
    visit = make_visit(order, numbers, stage="between", steering_ahead=True)
    stand(visit, "LF", MOUNT, f"{at(order, 'LF').stood[MOUNT]} mm")
    page = client_of(technician).get(reverse("adjustments", args=[order.pk])).content.decode()
    assert "less than half a flat" not in page


# ---- the words of a technician


@pytest.mark.parametrize(
    ("kind", "words", "never"),
    [("strut", "a strut or a knuckle", "ball joint"), ("wishbones", "ball joint", "strut")],
)
def test_included_angles_that_differ_name_parts_that_this_car_has(
    kind: str, words: str, never: str, technician: Any, client_of: Any
) -> None:
    if kind == "strut":
        car_model = make_surveyed_car_model()
    else:
        car_model = make_car_model()
        for corner in ("LF", "RF"):
            make_survey(car_model, corner, document=WISHBONES_FRONT)
    order = make_order(vehicle=make_vehicle(car_model=car_model), state="on_lift")
    means = "top_mount" if kind == "strut" else "upper_arm"
    make_plan(order, "front", camber_deg=-1.0, camber_by=means, adjusters={})
    numbers = {
        ("LF", "camber"): "-1.0", ("RF", "camber"): "-1.0",
        ("LF", "toe"): "0.1", ("RF", "toe"): "0.1",
        ("LF", "sai"): "13.0", ("RF", "sai"): "12.2",
    }  # fmt: skip
    make_visit(order, numbers, accuracy_deg=0.03)
    for corner in ("LF", "RF"):
        part = corner_html(client_of(technician), order, corner)
        told = part.split("The included angles differ by 0.80°")[1].split("</p>")[0]
        assert words in told
        assert never not in told


def test_a_difference_inside_the_racks_doubt_is_no_caution(technician: Any, client_of: Any) -> None:
    """Inclination comes out of a sweep: ±0.1° of rack is ±0.38° between two included angles."""
    order = an_order()
    visit = order.rack_visits.get()
    for corner, lean in (("LF", 13.0), ("RF", 12.3)):
        visit.readings.create(
            corner=corner, quantity="sai", typed=str(lean), unit="deg", value=lean
        )
    # Camber -1.60 and -1.45: the included angles differ by 0.55.
    type(visit).objects.filter(pk=visit.pk).update(accuracy_deg=0.03)
    assert "included angles differ" in corner_html(client_of(technician), order, "LF")
    type(visit).objects.filter(pk=visit.pk).update(accuracy_deg=0.2)
    assert "included angles differ" not in corner_html(client_of(technician), order, "LF")
