"""Proved lower bounds against a slow twin, on features that a search by hollows misses."""

from __future__ import annotations

import numpy as np
import pytest

from fitment.engine.check import run
from fitment.engine.minimum.certified import APART_MM
from fitment.engine.minimum.spot_answers import ENOUGH_SIGMAS
from fitment.engine.model import BODY, LINK
from tests.engine.brute import Brute
from tests.engine.hard_features import hard_check
from tests.engine.random_corners import the_corner

#: What the twin's own numbers err by: its boundary is pieces of 0.1 mm.
TWIN_MM = 0.003
#: How far a clearance may lie over the twin's, and how exactly it really happens where it is
#: said to, mm. Overlaps deeper than that are depths, for ordering only.
FOUND_MM, DEEP_MM = 0.08, -5.0
#: Cells of the twin's wide grid that are looked into again.
CELLS = 20


def holds(seed: int) -> list[tuple[float, float, float]]:
    """Hold one corner against the twin: (clearance, certified, twin's) of its features."""
    check = hard_check(seed)
    corner = the_corner(check)
    (answer,) = run(check).corners.values()
    brute = Brute(corner, check.duty)
    rows = []
    for feature, place in zip(corner.survey.features, answer.places, strict=True):
        twin = brute.least(feature, CELLS).clearance_mm
        stated, bound = place.clearance_mm, place.certified_mm
        where = f"seed {seed}, {feature.place}: {stated:.3f}, by proof {bound:.3f}, twin {twin:.3f}"
        assert bound <= twin + TWIN_MM, f"no bound: {where}"
        assert bound <= stated, where
        if stated > DEEP_MM:
            enough = place.needed_mm + ENOUGH_SIGMAS * place.sigma_mm
            assert bound >= min(stated - APART_MM, enough), f"too low a bound: {where}"
            assert stated <= twin + FOUND_MM, f"says too much: {where}"
        there = brute.section.distance(*place.nearest_mm) - feature.half_thickness_mm
        assert there == pytest.approx(stated, abs=0.03), f"not there: {where}"
        if feature.carried_by in (BODY, LINK) and answer.notes:
            assert not any("by proof" in note for note in answer.notes), where
        rows.append((stated, bound, twin))
    return rows


@pytest.mark.parametrize("seed", range(100))
def test_no_bound_lies_above_what_a_slow_twin_finds(seed: int) -> None:
    assert np.all(np.isfinite(holds(seed)))


@pytest.mark.nightly
@pytest.mark.parametrize("block", range(40))
def test_no_bound_of_two_thousand_corners_lies_above_the_twin(block: int) -> None:
    for seed in range(1000 + 50 * block, 1050 + 50 * block):
        holds(seed)
