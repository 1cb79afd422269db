"""A corner with its tyre in every state, held against one room."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import pytest

from common.message import Message, message
from fitment.engine.check import run
from fitment.engine.curves.tyre_states import GROWTH_MM, WORN_MM, TyreState, tyre_states
from fitment.engine.model import Tyre
from tests.engine.files import REAR_STRUT, check_of

CHECK = check_of(REAR_STRUT)
((NAME, CORNER),) = CHECK.corners.items()
PLAIN = replace(CORNER, tyre=Tyre("205/55R16", 214.0, 6.5, 632.0))

NEW, LARGEST = message("tyre.new"), message("tyre.largest")
WORN = message("tyre.worn", worn_mm=WORN_MM)
GROWN = message("tyre.grown", growth_mm=GROWTH_MM)


def states(**of_the_tyre: object) -> dict[tuple[Message, ...], TyreState]:
    corner = replace(PLAIN, tyre=replace(PLAIN.tyre, **of_the_tyre))
    return {state.state: state for state in tyre_states(NAME, corner, CHECK.duty)}


def test_every_state_is_what_the_whole_check_says_of_that_tyre() -> None:
    changes = {
        (NEW, message("tyre.standing")): {},
        (WORN,): {"worn_mm": WORN_MM},
        (NEW, GROWN): {"growth_mm": GROWTH_MM},
        (NEW, LARGEST): {"largest_allowed": True},
        (LARGEST, GROWN): {"largest_allowed": True, "growth_mm": GROWTH_MM},
    }
    found = states()
    assert set(found) == set(changes)
    for state, change in changes.items():
        corner = replace(PLAIN, tyre=replace(PLAIN.tyre, **change))
        alone = run(replace(CHECK, corners={NAME: corner})).corners[NAME]
        gaps = [place.to_solid_mm for place in found[state].answer.places]
        assert gaps == pytest.approx([place.to_solid_mm for place in alone.places], abs=1e-6)


def test_states_rise_in_size_and_a_larger_tyre_never_has_more_clearance() -> None:
    found = list(states().values())
    sizes = [state.size.overall_diameter_mm for state in found]
    assert sizes == sorted(sizes)
    assert sizes[0] == pytest.approx(632.0 - 2 * WORN_MM)
    for smaller, larger in pairwise(found):
        for one, other in zip(smaller.answer.places, larger.answer.places, strict=True):
            assert other.to_solid_mm <= one.to_solid_mm + 1e-6, one.place


def test_the_state_that_was_judged_is_marked_with_the_amounts_that_were_stated() -> None:
    (judged,) = [state for state in states(worn_mm=2.5).values() if state.judged]
    worn = message("tyre.worn", worn_mm=2.5)
    assert (judged.state, judged.why) == ((worn,), None)
    assert states()[WORN,].why == message("tyre-why.worn")
    both = states(worn_mm=2.5, growth_mm=1.0)
    (judged,) = [state for state in both.values() if state.judged]
    assert judged.state == (worn, message("tyre.grown", growth_mm=1.0))
    assert len(both) == 6
