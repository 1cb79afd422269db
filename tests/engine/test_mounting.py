"""Mounting checks: each passes, fails, or says what is missing, and never passes by silence."""

from __future__ import annotations

from dataclasses import fields, replace
from typing import Any

import pytest

from common.message import message
from common.verdicts import Outcome
from fitment.engine.mounting.checks import axle_checks
from fitment.engine.mounting.facts import (
    Fitted,
    Hub,
    Needs,
    load_index_of,
    speed_symbol_of,
    thread_of,
)
from fitment.engine.mounting.law import PRESETS, USUAL, Figure, with_usual
from fitment.engine.mounting.rule import Result, result_dump, result_load
from fitment.engine.mounting.tyre import diameter_ratio

HUB = Hub(5, 116.0, 64.5, "M14×1.5", "cone60", "stud", 32.0, nut="open")
NEEDS = Needs("front", 91, "W", 1000.0, 230.0, "225/45R17", 45.0)
FITTED = Fitted(
    wheel="Test wheel",
    tyre="Test tyre",
    bolt_count=5,
    bolt_circle_mm=116.0,
    bore_mm=64.5,
    wheel_seat="cone60",
    pad_mm=13.0,
    load_rating_kg=600.0,
    offset_mm=40.0,
    width_in=8.5,
    load_index="92",
    speed_symbol="Y",
    rim_min_in=8.0,
    rim_max_in=9.5,
    diameter_mm=637.0,
)
ALL_LAW = with_usual({**PRESETS["sa-changes"].law()})


def checks(
    hub: Hub = HUB, needs: Needs = NEEDS, law: Any = USUAL, **changed: Any
) -> dict[str, Result]:
    found = axle_checks(hub, needs, replace(FITTED, **changed), law)
    assert len({one.rule for one in found}) == len(found)
    return {one.rule: one for one in found}


def test_a_wheel_that_suits_the_car_passes_everything() -> None:
    assert {one.outcome for one in checks().values()} == {Outcome.PASSES}


def test_every_result_names_its_rule_and_its_source() -> None:
    for one in checks(law=ALL_LAW).values():
        assert one.asks.code.startswith("asks.")
        assert one.source
        assert one.found


def test_nothing_recorded_is_never_a_pass() -> None:
    blank = axle_checks(Hub(), Needs("front"), Fitted("wheel", "tyre"), USUAL)
    assert {one.outcome for one in blank} == {Outcome.CANNOT_SAY}
    assert all(one.missing for one in blank)


@pytest.mark.parametrize(
    ("rule", "changed"),
    [
        ("bolt-circle", {"bolt_circle_mm": 114.3}),
        ("bolt-circle", {"bolt_count": 4}),
        ("centre-bore", {"bore_mm": 63.1}),
        ("centre-bore", {"bore_mm": 72.6, "ring_outer_mm": 70, "ring_inner_mm": 64.5}),
        ("centre-bore", {"bore_mm": 72.6, "ring_outer_mm": 72.6, "ring_inner_mm": 67.1}),
        ("seat", {"wheel_seat": "ball14"}),
        ("seat", {"seat": "ball12"}),
        ("thread", {"thread": "M12×1.5"}),
        ("engagement", {"spacer_mm": 8.0}),
        ("rim-width", {"width_in": 10.0}),
        ("rim-width", {"width_in": 7.5}),
        ("load-index", {"load_index": "90"}),
        ("speed-symbol", {"speed_symbol": "V"}),
        ("load-at-speed", {"load_index": "82"}),
        ("load-at-speed", {"speed_symbol": "T"}),
        ("wheel-load", {"load_rating_kg": 499.0}),
        ("diameter", {"diameter_mm": 660.0}),
    ],
)
def test_one_wrong_thing_fails_one_check(rule: str, changed: dict[str, Any]) -> None:
    found = checks(**changed)
    assert found[rule].outcome == Outcome.FAILS, found[rule]


@pytest.mark.parametrize(
    ("rule", "changed", "bars"),
    [
        ("bolt-circle", {"bolt_circle_mm": 114.3}, True),
        ("centre-bore", {"bore_mm": 63.1}, True),
        ("centre-bore", {"bore_mm": 72.6, "ring_outer_mm": 70, "ring_inner_mm": 64.5}, False),
        ("seat", {"seat": "ball12"}, True),
        ("thread", {"thread": "M12×1.5"}, True),
        ("engagement", {"spacer_mm": 8.0}, True),
        ("rim-width", {"width_in": 10.0}, False),
        ("load-index", {"load_index": "90"}, True),
        ("speed-symbol", {"speed_symbol": "V"}, True),
        ("load-at-speed", {"speed_symbol": "T"}, True),
        ("wheel-load", {"load_rating_kg": 499.0}, True),
        ("diameter", {"diameter_mm": 660.0}, False),
    ],
)
def test_only_what_cannot_be_mounted_bars(rule: str, changed: dict[str, Any], bars: bool) -> None:
    assert checks()[rule].bars is False
    assert checks(**changed)[rule].bars is bars
    assert all(one.outcome == Outcome.FAILS for one in checks(**changed).values() if one.bars)


def test_a_result_that_does_not_fail_cannot_bar() -> None:
    with pytest.raises(ValueError, match="only what fails"):
        replace(checks()["seat"], bars=True)


def test_whether_it_bars_is_kept_with_a_result() -> None:
    one = checks(seat="ball12")["seat"]
    assert result_load(result_dump(one)) == one


BOLTED = replace(HUB, fastener="bolt", length_mm=32.0, thread_depth_mm=22.0)


@pytest.mark.parametrize(("length_mm", "fits"), [(35.0, True), (35.1, False)])
def test_a_bolt_may_reach_as_far_as_there_is_depth(length_mm: float, fits: bool) -> None:
    """13 mm of pad: 35 mm of shank reach 22 mm behind the hub face."""
    one = checks(BOLTED, length_mm=length_mm)["end-of-thread"]
    assert (one.outcome == Outcome.PASSES, one.bars) == (fits, not fits)
    assert checks(BOLTED, length_mm=45.1, spacer_mm=10.1)["end-of-thread"].outcome == Outcome.PASSES


@pytest.mark.parametrize(("depth_mm", "fits"), [(19.0, True), (18.9, False)])
def test_a_stud_ends_before_a_closed_nut_does(depth_mm: float, fits: bool) -> None:
    """32 mm of stud through 13 mm of pad: 19 mm past the seat."""
    closed = replace(HUB, nut="closed", nut_depth_mm=depth_mm)
    one = checks(closed)["end-of-thread"]
    assert (one.outcome == Outcome.PASSES, one.bars) == (fits, not fits)
    assert checks(HUB, nut="closed", nut_depth_mm=depth_mm)["end-of-thread"].bars is not fits
    assert checks(closed, nut="open")["end-of-thread"].outcome == Outcome.PASSES


@pytest.mark.parametrize(
    ("hub", "missing"),
    [
        (replace(HUB, fastener=""), "missing.fastener"),
        (replace(HUB, nut=""), "missing.nut-form"),
        (replace(HUB, nut="closed"), "missing.nut-depth"),
        (replace(BOLTED, thread_depth_mm=None), "missing.thread-depth"),
        (replace(BOLTED, length_mm=None), "missing.length"),
    ],
)
def test_the_end_of_a_thread_is_never_guessed(hub: Hub, missing: str) -> None:
    one = checks(hub)["end-of-thread"]
    assert one.outcome == Outcome.CANNOT_SAY
    assert missing in {name.code for name in one.missing}


@pytest.mark.parametrize(
    ("rule", "changed"),
    [
        ("bolt-circle", {"bolt_circle_mm": None}),
        ("centre-bore", {"bore_mm": None}),
        ("centre-bore", {"bore_mm": 72.6}),
        ("seat", {"wheel_seat": ""}),
        ("engagement", {"pad_mm": None}),
        ("rim-width", {"rim_max_in": None}),
        ("load-index", {"load_index": ""}),
        ("speed-symbol", {"speed_symbol": ""}),
        ("load-at-speed", {"load_index": "one"}),
        ("wheel-load", {"load_rating_kg": None}),
        ("diameter", {"diameter_mm": None}),
    ],
)
def test_what_is_not_on_record_is_named(rule: str, changed: dict[str, Any]) -> None:
    found = checks(**changed)
    assert found[rule].outcome == Outcome.CANNOT_SAY
    assert found[rule].missing


def test_a_ring_that_fills_the_bore_centres_the_wheel() -> None:
    one = checks(bore_mm=72.6, ring_outer_mm=72.6, ring_inner_mm=64.5)["centre-bore"]
    assert one.outcome == Outcome.PASSES
    assert one.found == message("found.ring-centres", wheel_mm=72.6, hub_mm=64.5)


def test_a_spacer_takes_thread_and_longer_studs_give_it_back() -> None:
    assert checks(spacer_mm=5.0)["engagement"].outcome == Outcome.PASSES
    assert checks(spacer_mm=5.01)["engagement"].outcome == Outcome.FAILS
    assert checks(spacer_mm=15.0, length_mm=42.0)["engagement"].outcome == Outcome.PASSES


def test_other_nuts_than_the_cars_own_decide_the_seat() -> None:
    assert checks(wheel_seat="ball14", seat="ball14")["seat"].outcome == Outcome.PASSES


def test_a_w_tyre_carries_less_near_its_top_speed() -> None:
    needs = replace(NEEDS, axle_load_kg=1200.0, top_speed_kmh=265.0)
    assert checks(needs=needs, speed_symbol="Y")["load-at-speed"].outcome == Outcome.PASSES
    assert checks(needs=needs, speed_symbol="W")["load-at-speed"].outcome == Outcome.FAILS


def test_a_faster_car_asks_more_than_its_papers() -> None:
    needs = replace(NEEDS, speed_symbol="V", top_speed_kmh=250.0)
    assert checks(needs=needs, speed_symbol="V")["speed-symbol"].outcome == Outcome.FAILS
    assert checks(needs=needs, speed_symbol="W")["speed-symbol"].outcome == Outcome.PASSES


def test_a_law_that_is_not_chosen_asks_nothing() -> None:
    assert "spacers" not in checks(spacer_mm=5.0)
    strict = checks(law=ALL_LAW, spacer_mm=5.0)
    assert strict["spacers"].outcome == Outcome.FAILS
    assert strict["spacers"].source == PRESETS["sa-changes"].name
    assert strict["offset"].outcome == Outcome.PASSES
    assert strict["offset"].found == message("found.less", by_mm=10.0)
    assert strict["track"].found == message("found.more", by_mm=20.0)
    assert checks(law=ALL_LAW, spacer_mm=9.0)["track"].outcome == Outcome.FAILS
    assert strict["full-thread"].outcome == Outcome.CANNOT_SAY


def test_a_wheel_further_in_is_no_change_of_track() -> None:
    found = checks(law=ALL_LAW, offset_mm=50.0)
    assert found["track"].outcome == Outcome.PASSES
    assert found["track"].found == message("found.no-change")


def test_the_ratio_of_front_and_rear_is_held_against_the_originals() -> None:
    rear = (replace(NEEDS, axle="rear"), replace(FITTED, diameter_mm=648.0))
    usual = USUAL["ratio_percent"]
    one = diameter_ratio((NEEDS, FITTED), rear, True, usual)
    assert one.outcome == Outcome.FAILS
    assert one.found.params["off_percent"] == pytest.approx(-1.70, abs=0.005)
    assert one.asks.code == "asks.ratio-driven"
    same = diameter_ratio((NEEDS, FITTED), (replace(NEEDS, axle="rear"), FITTED), False, usual)
    assert same.outcome == Outcome.PASSES
    assert diameter_ratio((NEEDS, FITTED), None, False, usual).outcome == Outcome.CANNOT_SAY


def test_a_shop_may_ask_for_more_than_the_trade() -> None:
    law = with_usual({"engagement": Figure(1.5, "the workshop manual")})
    one = checks(law=law, spacer_mm=0.0)["engagement"]
    assert one.outcome == Outcome.FAILS
    assert one.source == "the workshop manual"


@pytest.mark.parametrize(
    ("text", "size", "pitch"),
    [
        ("M12×1.5", 12.0, 1.5),
        ("m14x1,5", 14.0, 1.5),
        ("M12*1.25", 12.0, 1.25),
        ("1/2-20", 12.7, 1.27),
    ],
)
def test_threads_are_read_as_people_write_them(text: str, size: float, pitch: float) -> None:
    read = thread_of(text)
    assert read is not None
    assert (read.size_mm, read.pitch_mm) == (pytest.approx(size), pytest.approx(pitch))


@pytest.mark.parametrize("text", ["", "fine", "M", "twelve"])
def test_what_is_no_thread_is_not_read(text: str) -> None:
    assert thread_of(text) is None


@pytest.mark.parametrize(
    ("text", "index"), [("94", 94), ("94XL", 94), ("98/96", 98), ("", None), ("7", None)]
)
def test_load_indices_are_read_from_the_marking(text: str, index: int | None) -> None:
    assert load_index_of(text) == index


@pytest.mark.parametrize(("text", "symbol"), [("(y)", "Y"), ("W", "W"), ("", ""), ("F1", "")])
def test_speed_symbols_are_read_from_the_marking(text: str, symbol: str) -> None:
    assert speed_symbol_of(text) == symbol


def test_each_missing_figure_of_the_car_turns_passes_into_questions() -> None:
    for one in fields(Needs):
        if one.name == "axle":
            continue
        blank = "" if one.type == "str" else None
        found = checks(needs=replace(NEEDS, **{one.name: blank}), law=ALL_LAW)
        assert all(
            result.outcome in (Outcome.PASSES, Outcome.CANNOT_SAY) for result in found.values()
        ), one.name
