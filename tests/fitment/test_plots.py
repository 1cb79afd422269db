"""Effects, hub position, curves, maps and the whole car of a check, as its pages show them."""

from __future__ import annotations

import copy
import csv
from collections.abc import Callable
from dataclasses import replace
from io import StringIO
from typing import Any

import numpy as np
import pytest
from django.test import Client
from django.urls import reverse
from pytest_django import DjangoAssertNumQueries

from alignment.text.render import render
from common.message import message
from fitment.clearance.curve_pages import curves_of
from fitment.clearance.services import check_run
from fitment.demo.surveys import LINKS_REAR, STRUT_REAR
from fitment.engine import checkfile
from fitment.engine.check import run
from fitment.engine.model import CornerAnswer
from fitment.models import ClearanceCheck
from fitment.text.effects import EffectRow, effect_table
from fitment.text.hub_position import seat_facts
from shop.models import Part
from tests.factories import make_line, make_part
from tests.fitment.factories import make_ready_order, make_rubbing_order, make_tyre

pytestmark = pytest.mark.django_db
Browsers = Callable[[Any], Client]


def answered(order: Any, corner: str = "LF") -> CornerAnswer:
    return checkfile.answer_load(check_run(order=order, by=None).answer).corners[corner]


@pytest.fixture(scope="module")
def rubbing(lasting: Any) -> CornerAnswer:
    """The left front of an order that rubs, checked once."""
    with lasting():
        return answered(make_rubbing_order())


@pytest.fixture(scope="module")
def ready_check(lasting: Any) -> ClearanceCheck:
    """The check of an order that is ready, for the pages that show it."""
    with lasting():
        return check_run(order=make_ready_order(), by=None)


def step_of(row: EffectRow) -> tuple[str, float]:
    """A change by its code, and the figure of its step."""
    (size,) = row.change.params["by"].params.values()
    return row.change.code, size


def clearance_text(browser: Client, order: Any) -> str:
    return browser.get(reverse("clearance", args=[order.pk])).content.decode()


# Effects


def test_a_spacer_that_is_there_is_taken_away_and_one_that_is_not_costs(
    rubbing: CornerAnswer,
) -> None:
    there = effect_table(rubbing, there={"spacer": 5.0}, parts={})
    none = effect_table(rubbing, there={}, parts={})
    assert there
    assert none
    given = {step_of(row): row.by_place[0] for row in (*there.rows, *none.rows)}
    less, more = (f"change-{way}.spacer" for way in ("less", "more"))
    assert given[less, 3.0] > 1.0
    assert given[more, 3.0] == pytest.approx(-given[less, 3.0])
    assert there.places[0] == "arch lip"


def test_the_strongest_effect_is_said_first_with_what_it_costs_elsewhere(
    rubbing: CornerAnswer,
) -> None:
    table = effect_table(rubbing, there={"spacer": 5.0}, parts={})
    assert table
    assert "at the arch lip" in render(table.sentences[0])
    gains = [abs(row.by_place[0]) for row in table.rows]
    assert gains == sorted(gains, reverse=True)
    (spacer,) = [row for row in table.rows if row.change.code.endswith(".spacer")]
    assert min(spacer.by_place) < 0 < spacer.by_place[0]  # the strut's side pays


def test_a_part_brings_the_units_of_its_hand(rubbing: CornerAnswer) -> None:
    shim, turn = Part(shim_mm=2.0), Part(thread_pitch_mm=1.5, threads=2)
    parts = {"lower_arm_out_mm": shim, "ride_height_mm": turn}
    table = effect_table(rubbing, there={}, parts=parts)
    assert table
    hands = {row.change.code.partition(".")[2]: row.change.params["by"] for row in table.rows}
    two, three = (message("hand.mm", size_mm=size) for size in (2.0, 3.0))
    assert hands["lower_arm_out_mm"] == message("hand.shim", size=two)
    assert hands["ride_height_mm"] == message("hand.turn", size=three)


def test_a_place_that_no_effect_moves_does_not_come_first() -> None:
    order = make_ready_order()
    order.order_wheels.update(spacer_mm=0.0)
    answer = answered(order)
    deciding = replace(answer.places[-1], clearance_mm=1.0, verdict="tight")  # the caliper
    table = effect_table(
        replace(answer, places=(*answer.places[:-1], deciding)), there={}, parts={}
    )
    assert table
    assert table.places[0] != deciding.place
    assert table.sentences


def test_effects_and_seat_stand_on_the_clearance_page(client_of: Browsers, writer: Any) -> None:
    order = make_rubbing_order()
    check_run(order=order, by=writer)
    text = clearance_text(client_of(writer), order)
    assert "What each adjustment gains" in text
    assert "3 mm less spacer" in text
    assert "Wheel position" in text
    assert "Scrub radius" in text
    assert text.count('class="btn primary"') == 1


def test_a_seat_is_said_in_words() -> None:
    answer = answered(make_ready_order())
    assert answer.seat
    facts = {name.code: figure for name, figure in seat_facts(answer.seat)}
    assert render(facts["hub.trail"]).endswith("the steering axis")
    assert "mm" in render(facts["hub.track"])


# Curves and maps


def test_one_curve_at_a_time_is_drawn_and_the_others_are_links(
    client_of: Browsers, writer: Any, ready_check: ClearanceCheck
) -> None:
    browser = client_of(writer)
    url = reverse("clearance_curves", args=[ready_check.pk, "LF"])
    text = browser.get(url, {"show": "toe"}).content.decode()
    assert text.count('class="scene"') == 1
    assert "Toe over travel, front left" in text
    assert "show=caster&amp;over=lock" in text
    part = browser.get(url, {"show": "camber", "over": "lock"}, headers={"HX-Request": "true"})
    assert part.content.decode().lstrip().startswith('<div id="curves-LF">')
    assert browser.get(url, {"show": "weight"}).status_code == 404
    assert browser.get(reverse("clearance_curves", args=[ready_check.pk, "LR"])).status_code == 404


def test_the_slope_about_ride_height_is_said_as_a_technician_reads_it(
    client_of: Browsers, writer: Any, ready_check: ClearanceCheck
) -> None:
    curves = curves_of(ready_check, "LF")
    rise = np.interp([-10.0, 10.0], curves.after.at, curves.after.camber_deg)
    slope = f"{(rise[1] - rise[0]) * 5.0:+.2f}".replace("-", "−")
    url = reverse("clearance_curves", args=[ready_check.pk, "LF"])
    browser = client_of(writer)
    text = browser.get(url, {"show": "camber", "over": "travel"}).content.decode()
    assert f"per 100 mm into bump: {slope}° after" in text
    assert slope.startswith("−"), "this strut gains negative camber in bump"
    track = browser.get(url, {"show": "track", "over": "travel"}).content.decode()
    assert " mm after, " in track
    lock = browser.get(url, {"show": "axle toe", "over": "lock"}).content.decode()
    assert "per 100 mm" not in lock
    assert "on the same rack" in lock


def test_curves_are_taken_away_as_csv(
    client_of: Browsers, writer: Any, ready_check: ClearanceCheck
) -> None:
    answer = client_of(writer).get(reverse("clearance_curves_csv", args=[ready_check.pk, "LF"]))
    rows = list(csv.DictReader(StringIO(answer.content.decode())))
    assert {(row["setting"], row["over"]) for row in rows} == {
        (setting, over) for setting in ("before", "after") for over in ("travel", "lock")
    }
    still = [r for r in rows if r["setting"] == "after" and float(r["at"]) == 0]
    assert {row["camber_deg"] for row in still} == {"-2.4000"}


def test_the_map_is_of_the_place_that_is_chosen(
    client_of: Browsers, writer: Any, ready_check: ClearanceCheck
) -> None:
    browser, url = client_of(writer), reverse("clearance_map", args=[ready_check.pk, "LF"])
    assert "Clearance at the arch lip" in browser.get(url).content.decode()
    text = browser.get(url, {"place": "inner panel"}).content.decode()
    assert "Clearance at the inner panel" in text
    assert "The same in figures" in text
    assert browser.get(url, {"place": "strut tube"}).status_code == 404  # moves with the wheel


def test_the_whole_car_stands_side_by_side(client_of: Browsers, writer: Any) -> None:
    check = check_run(order=make_ready_order(axles="front rear"), by=writer)
    text = client_of(writer).get(reverse("clearance_car", args=[check.pk])).content.decode()
    assert "Front axle, left against right" in text
    assert "Front axle against rear axle" in text
    assert text.count('class="scene"') == 4
    assert "1.0000" in text


def test_the_clearance_page_asks_the_same_however_many_corners_there_are(
    client_of: Browsers, writer: Any, django_assert_max_num_queries: DjangoAssertNumQueries
) -> None:
    counts = []
    browser = client_of(writer)
    for axles in ("front", "front rear"):
        order = make_ready_order(axles=axles)
        check_run(order=order, by=writer)
        clearance_text(browser, order)
        with django_assert_max_num_queries(32) as captured:
            clearance_text(browser, order)
        counts.append(len(captured.captured_queries))
    assert counts[0] == counts[1]


# Tyres in their state, the rim, and reach


def test_a_tyre_is_judged_in_the_state_that_was_chosen(client_of: Browsers, writer: Any) -> None:
    order = make_ready_order()
    row = order.order_wheels.get()
    new = answered(order).places[0].clearance_mm
    sent = {
        "front_wheel": row.wheel_id,
        "front_tyre": row.tyre_id,
        "front_worn_mm": "3",
        "rear_wheel": "",
        "rear_tyre": "",
    }
    browser = client_of(writer)
    browser.post(reverse("order_wheels", args=[order.pk]), sent)
    assert answered(order).places[0].clearance_mm > new + 1
    browser.post(reverse("order_wheels", args=[order.pk]), sent | {"front_largest_allowed": "on"})
    check_run(order=order, by=writer)
    text = clearance_text(browser, order)
    assert "the largest that the standard allows, 3 mm worn" in text


def test_a_stretched_tyre_lets_the_rim_touch_first(client_of: Browsers, writer: Any) -> None:
    order = make_ready_order()
    narrow = {"size": "215/40R18", "section_width_mm": 218, "measuring_rim_in": 7.5}
    order.order_wheels.update(tyre=make_tyre(name="Narrow", **narrow))
    check_run(order=order, by=writer)
    text = clearance_text(client_of(writer), order)
    assert "Stretched: the rim is" in text
    assert "is what touches first" in text


def test_out_of_reach_says_which_part_would_give_it(client_of: Browsers, writer: Any) -> None:
    order = make_ready_order()
    part = make_part(adjuster="top_mount_in_mm", reach_min=0, reach_max=6)
    make_line(order, kind="part", part=part, axle="front")
    check_run(order=order, by=writer)
    assert "A top mount with longer slots would give it." in clearance_text(
        client_of(writer), order
    )


def test_out_of_reach_names_parts_of_the_catalogue_that_reach(
    client_of: Browsers, writer: Any
) -> None:
    order = make_ready_order()
    short = make_part(adjuster="top_mount_in_mm", reach_min=0, reach_max=6)
    make_line(order, kind="part", part=short, axle="front")
    for name, more in (
        ("Long slots", {"reach_max": 15}),
        ("Not far enough", {"reach_max": 6.3}),
        ("For the rear", {"reach_max": 15, "axle": "rear"}),
        ("Sets something else", {"reach_max": 15, "adjuster": "lower_arm_out_mm"}),
    ):
        make_part(name=name, **({"adjuster": "top_mount_in_mm", "reach_min": 0} | more))
    check_run(order=order, by=writer)
    text = clearance_text(client_of(writer), order)
    assert "In the catalogue: " in text
    assert "Long slots" in text
    for name in ("Not far enough", "For the rear", "Sets something else"):
        assert name not in text


@pytest.mark.parametrize(("camber", "in_reach"), [(-1.45, True), (-1.55, False)])
def test_a_toe_link_of_little_reach_runs_out_as_camber_grows(camber: float, in_reach: bool) -> None:
    planned = {"camber_deg": camber, "camber_by": "lower_arm", "toe_deg": 0.12}
    corner = copy.deepcopy(STRUT_REAR) | {
        "planned": planned,
        "wheel": {"diameter_in": 18, "width_in": 8, "offset_mm": 45},
        "tyre": {"size": "225/40R18"},
    }
    corner["suspension"]["reach"] = {"toe_link_mm": [-4, 4]}
    asked = {"archroom_check": 1, "duty": "street", "corners": {"LR": corner}}
    out = run(checkfile.parse(asked)).corners["LR"].out_of_reach
    assert [short.adjuster for short in out] == ([] if in_reach else ["toe_link_mm"])


def test_a_rod_is_a_place_of_its_own() -> None:
    corner = copy.deepcopy(LINKS_REAR) | {
        "planned": {"toe_deg": 0.12},
        "wheel": {"diameter_in": 17, "width_in": 7.5, "offset_mm": 45},
        "tyre": {"size": "225/45R17"},
    }
    asked = {"archroom_check": 1, "duty": "street", "corners": {"LR": corner}}
    places = {p.place: p for p in run(checkfile.parse(asked)).corners["LR"].places}
    assert places["toe link"].carried_by == "link"
