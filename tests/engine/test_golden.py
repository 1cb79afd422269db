"""Answers change only together with the engine's version."""

from __future__ import annotations

from functools import cache
from typing import Any

import pytest

from fitment.engine.check import ENGINE_VERSION
from tests.engine import golden
from tests.engine.golden import Golden, Record, differences, renewed

HOW = "run: python -m tests.engine.golden"


@cache
def on_file() -> Golden:
    return golden.read()


@cache
def questions() -> dict[str, Any]:
    return golden.questions()


def test_the_answers_on_file_are_of_this_version() -> None:
    assert on_file().engine_version == ENGINE_VERSION, HOW
    assert list(on_file().answers) == list(questions()), HOW
    assert len(questions()) == 34


@pytest.mark.parametrize("name", list(questions()))
def test_the_answer_is_the_one_of_this_version(name: str) -> None:
    was, now = on_file().answers[name], golden.record(questions()[name])
    assert not golden.is_new(was, now), f"The question is another one; {HOW}"
    changed = differences(was, now)
    assert not changed, (
        f"{golden.told({name: changed})}\nIf this is meant, raise ENGINE_VERSION in "
        f"fitment/engine/check.py, so that checks on record become stale, and {HOW}"
    )


WAS: Record = {
    "question": "d1",
    "verdict": "tight",
    "LF.places": ["arch lip"],
    "LF.places[0].clearance_mm": 4.2,
    "LF.places[0].touch_chance": 0.011,
    "LF.static.camber_deg": -2.0,
}


@pytest.mark.parametrize(
    ("path", "now", "same"),
    [
        ("verdict", "clear", False),
        ("LF.places", ["arch lip", "rail"], False),
        ("LF.places[0].clearance_mm", 4.2049, True),
        ("LF.places[0].clearance_mm", 4.1949, False),
        ("LF.places[0].clearance_mm", None, False),
        ("LF.places[0].touch_chance", 0.0129, True),
        ("LF.places[0].touch_chance", 0.0131, False),
        ("LF.static.camber_deg", -2.0009, True),
        ("LF.static.camber_deg", -2.0011, False),
    ],
)
def test_what_counts_as_another_answer(path: str, now: object, same: bool) -> None:
    assert (differences(WAS, WAS | {path: now}) == []) == same


DEEP: Record = {
    "question": "d1",
    "LF.places[0].verdict": "contact",
    "LF.places[0].clearance_mm": -25.0,
    "LF.places[0].sigma_mm": 4.0,
    "LF.places[0].touch_chance": 0.99,
    "LF.static.hub_y_mm": -3.0,
}


@pytest.mark.parametrize(
    ("path", "now", "same"),
    [
        ("LF.places[0].clearance_mm", -25.0 - 1.09, True),  # 0.1 and 5 % of the 20 beyond 5
        ("LF.places[0].clearance_mm", -25.0 + 1.09, True),
        ("LF.places[0].clearance_mm", -25.0 - 1.11, False),
        ("LF.places[0].clearance_mm", -25.0 + 1.11, False),
        ("LF.places[0].sigma_mm", 4.9, True),
        ("LF.places[0].sigma_mm", 5.1, False),
        ("LF.places[0].touch_chance", 1.0, True),
        ("LF.places[0].touch_chance", 0.96, False),
        ("LF.places[0].verdict", "doubtful", False),
        ("LF.static.hub_y_mm", -3.01, False),
    ],
)
def test_a_deep_overlap_is_the_same_answer_within_what_is_proved_of_its_depth(
    path: str, now: object, same: bool
) -> None:
    assert (differences(DEEP, DEEP | {path: now}) == []) == same


def test_an_overlap_of_five_millimetres_is_held_to_the_hundredth() -> None:
    shallow = DEEP | {"LF.places[0].clearance_mm": -5.0}
    assert differences(shallow, shallow | {"LF.places[0].clearance_mm": -5.01})


def test_what_is_gone_is_a_change_and_what_is_newly_recorded_is_none() -> None:
    assert differences(WAS, {**WAS, "LF.uncovered": 0}) == []
    assert differences({**WAS, "LF.uncovered": 0}, WAS) == ["LF.uncovered: 0 → gone"]


def test_changed_answers_are_refused_until_the_version_rises() -> None:
    old, other = Golden("7", {"a": WAS}), WAS | {"verdict": "clear"}
    with pytest.raises(ValueError, match=r"still '7'(.|\n)*verdict: tight → clear"):
        renewed(old, {"a": other}, "7")
    with pytest.raises(ValueError, match="never used twice"):
        renewed(old, {"a": other}, "6")
    assert renewed(old, {"a": other}, "8") == Golden("8", {"a": other})
    assert renewed(old, {"a": other}, "10") == Golden("10", {"a": other})


def test_while_the_version_stays_answers_stay_to_the_last_digit_and_new_ones_join() -> None:
    old = Golden("7", {"a": WAS, "gone": WAS})
    near = WAS | {"LF.places[0].clearance_mm": 4.2049}
    assert renewed(old, {"a": near, "b": near}, "7") == Golden("7", {"a": WAS, "b": near})


def test_another_question_may_have_another_answer() -> None:
    other = WAS | {"question": "d2", "verdict": "clear"}
    assert renewed(Golden("7", {"a": WAS}), {"a": other}, "7") == Golden("7", {"a": other})
