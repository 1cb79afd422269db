"""A corner with its tyre in every state, held against one room."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest

from common.message import Message, message
from fitment.engine.check import run
from fitment.engine.curves.tyre_states import GROWTH_MM, WORN_MM, TyreState, tyre_states
from fitment.engine.model import Tyre
from fitment.engine.solid.mounted import mounted
from fitment.engine.solid.section import section_of
from fitment.engine.solid.traced_profile import profile_as_is
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


def traced() -> Tyre:
    """The plain tyre's own section as a gauge would trace it, bead to bead."""
    size = mounted(PLAIN.wheel, PLAIN.tyre)
    outline = section_of(PLAIN.wheel, PLAIN.tyre).tyre_outline_mm[1:-1]
    centre = PLAIN.wheel.spacer_mm - PLAIN.wheel.offset_mm
    profile = tuple((float(a - centre), float(r)) for a, r in outline)
    return replace(
        PLAIN.tyre,
        profile=profile,
        section_width_mm=size.section_width_mm,
        measuring_rim_in=None,
        overall_diameter_mm=size.overall_diameter_mm,
    )


def test_a_traced_tyre_is_as_much_larger_as_the_standard_allows_as_any_other() -> None:
    tyre = traced()
    plain, follows = (
        {s.state: s for s in tyre_states(NAME, replace(PLAIN, tyre=one), CHECK.duty)}
        for one in (replace(tyre, profile=()), tyre)
    )
    moved = 0
    for state, one in follows.items():
        assert one.size.section_width_mm == plain[state].size.section_width_mm
        for place, other in zip(one.answer.places, plain[state].answer.places, strict=True):
            assert math.isnan(place.clearance_mm) == math.isnan(other.clearance_mm)
            if not math.isnan(place.clearance_mm):
                assert place.clearance_mm == pytest.approx(other.clearance_mm, abs=0.5), state
    new = follows[NEW, message("tyre.standing")].answer.places
    for place, largest in zip(new, follows[NEW, LARGEST].answer.places, strict=True):
        assert math.isnan(place.clearance_mm) or largest.clearance_mm <= place.clearance_mm + 1e-6
        moved += largest.clearance_mm < place.clearance_mm - 2.0
    assert moved, "4 % is millimetres at every place that the tyre is near"


def test_the_largest_of_a_traced_tyre_is_scaled_over_its_bead() -> None:
    tyre = replace(traced(), largest_allowed=True)
    size = mounted(PLAIN.wheel, tyre)
    b, r = np.array(profile_as_is(size, tyre)).T
    assert np.ptp(b) == pytest.approx(size.section_width_mm, abs=0.05)
    assert r.max() == pytest.approx(size.tyre_radius_mm, abs=0.01)
    was_b, was_r = np.array(tyre.profile).T
    assert (b[0], r[0]) == pytest.approx((was_b[0], was_r[0]), abs=0.2), "the bead stays"
    grown = replace(tyre, growth_mm=2.0)
    more = np.array(profile_as_is(mounted(PLAIN.wheel, grown), grown))
    assert more[:, 1].max() == pytest.approx(size.tyre_radius_mm + 2.0, abs=0.01)


def test_a_trace_larger_than_the_standard_allows_is_not_made_smaller() -> None:
    tyre = traced()
    wide = tuple((1.1 * b, r + 30.0 * (r > 250.0)) for b, r in tyre.profile)
    huge = replace(tyre, profile=wide, largest_allowed=True)
    found = np.array(profile_as_is(mounted(PLAIN.wheel, huge), huge))
    assert found == pytest.approx(np.array(wide))
