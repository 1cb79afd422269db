"""The margin that a spot needs: the duty's, and what the tyre gives near the ground under load."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from fitment.engine import checkfile
from fitment.engine.check import run
from fitment.engine.model import Check, CornerAnswer, SpotAnswer
from tests.engine.brute import Brute
from tests.engine.files import STRUT, document

#: Assumed of a tyre where nothing was read, mm per g: judgement, no source.
ASSUMED_MM = 10.0
LOW, HIGH, ROUND_ABOUT = "sill rail", "turret", "bracket below"
COMPLIANCE = {"camber_deg_per_g": -0.2, "toe_deg_per_g": 0.0, "lateral_mm_per_g": 4.0}


def point(clock: float, radius: float, axial: float) -> dict[str, float]:
    return {"clock_deg": clock, "radius_mm": radius, "axial_mm": axial}


def asked(compliance: object = COMPLIANCE, axial_mm: float = -180.0, **duty: Any) -> Check:
    """A strut corner with one spot low and one high inboard of the tyre."""
    tree = document(STRUT)
    (corner,) = tree["corners"].values()
    corner["compliance"] = compliance
    tree["duty"] = {
        "name": "own",
        "envelope": [[0, 1], [1, 1]],
        "droop_fraction": 0,
        "lateral_g": 1.0,
        **duty,
    }
    corner["survey"]["features"] = [
        {"place": LOW, "carried_by": "body", "shape": "points",
         "points": [point(170, 285, axial_mm)]},
        {"place": HIGH, "carried_by": "body", "shape": "points", "points": [point(10, 285, -190)]},
        {"place": ROUND_ABOUT, "carried_by": "knuckle", "shape": "points",
         "points": [point(175, 270, -190)]},
    ]  # fmt: skip
    return checkfile.parse(tree)


def answer(check: Check) -> CornerAnswer:
    (corner,) = run(check).corners.values()
    return corner


def spots(check: Check) -> dict[str, SpotAnswer]:
    return {spot.place: spot for spot in answer(check).places}


def test_a_body_spot_near_the_ground_needs_what_the_tyre_gives_under_load_besides() -> None:
    found = spots(asked())
    assert found[LOW].at.load == "outside"
    assert found[LOW].needed_mm == pytest.approx(5.0 + ASSUMED_MM)
    assert found[HIGH].needed_mm == found[ROUND_ABOUT].needed_mm == 5.0


def test_a_tyre_that_was_read_gives_what_was_read_by_the_side_load() -> None:
    found = spots(asked({**COMPLIANCE, "tyre_side_mm_per_g": 6.0}, lateral_g=1.5))
    assert found[LOW].needed_mm == pytest.approx(5.0 + 9.0)


@pytest.mark.parametrize(
    ("compliance", "lateral_g"), [(COMPLIANCE, 0.0), (None, 1.0), ({"aft_mm_per_g": 4.0}, 1.0)]
)
def test_without_poses_under_side_load_nothing_is_added(
    compliance: object, lateral_g: float
) -> None:
    assert spots(asked(compliance, lateral_g=lateral_g, longitudinal_g=1.0))[LOW].needed_mm == 5.0


def test_the_verdict_goes_by_the_larger_margin_and_the_answer_says_so() -> None:
    check = asked(axial_mm=-166.0)
    spot, corner = spots(check)[LOW], answer(check)
    assert 5.0 < spot.clearance_mm < 15.0
    assert spot.verdict == "tight"
    (note,) = [note for note in corner.notes if note.code.startswith("note.tyre-gives")]
    assert note.code == "note.tyre-gives-assumed"
    assert note.params["spot"] == LOW
    assert note.params["added_mm"] == pytest.approx(ASSUMED_MM)
    read = answer(asked({**COMPLIANCE, "tyre_side_mm_per_g": 10.0}))
    assert [note.code for note in read.notes if "tyre" in note.code] == ["note.tyre-gives"]


def test_a_spot_that_is_tightest_without_load_is_held_against_the_margin_under_load_too() -> None:
    """The give that pushes the wheel out of the spot's way makes the unloaded pose the tightest."""
    out = {"camber_deg_per_g": 0.0, "toe_deg_per_g": 0.0, "lateral_mm_per_g": -4.0}
    check = asked(out)
    spot = spots(check)[LOW]
    assert spot.at.load == ""
    (corner,) = check.corners.values()
    (feature,) = [one for one in corner.survey.features if one.place == LOW]
    brute = Brute(corner, check.duty)
    under_load = least_of(brute, feature, "outside")
    apart = under_load - spot.clearance_mm
    assert 0.5 < apart < ASSUMED_MM
    assert spot.needed_mm == pytest.approx(5.0 + ASSUMED_MM - apart, abs=0.1)
    # Both are met exactly where the least clearance meets what is stated.
    assert (spot.clearance_mm < spot.needed_mm) == (under_load < 5.0 + ASSUMED_MM)


def test_what_is_tightest_elsewhere_is_held_against_the_give_where_it_is_low() -> None:
    """One end stands beside the tyre's front and is nearest; the other is below it, a little
    farther off, where the tread goes sideways."""
    tree = checkfile.dump(asked())
    (written,) = tree["corners"].values()
    written["limits"] |= {"steer_in_deg": 0, "steer_out_deg": 0}
    ends = {"ahead": point(95, 285, -172), "below": point(172, 285, -177)}
    written["survey"]["features"] = [
        {"place": "rail", "carried_by": "body", "shape": "points", "points": list(ends.values())}
    ]
    (spot,) = answer(checkfile.parse(tree)).places
    for name, end in ends.items():
        written["survey"]["features"] = [
            {"place": name, "carried_by": "body", "shape": "points", "points": [end]}
        ]
        ends[name] = answer(checkfile.parse(tree)).places[0]
    ahead, below = ends["ahead"], ends["below"]
    assert ahead.at.load == "outside"
    assert ahead.needed_mm == 5.0
    assert below.needed_mm == pytest.approx(5.0 + ASSUMED_MM)
    apart = below.clearance_mm - spot.clearance_mm
    assert 0.5 < apart < ASSUMED_MM
    assert spot.clearance_mm == pytest.approx(ahead.clearance_mm, abs=0.1)
    assert spot.needed_mm >= 5.0 + ASSUMED_MM - apart - 0.1


def least_of(brute: Brute, feature: Any, load: str) -> float:
    """The twin's least clearance in poses under one load alone."""
    brute.kinds = (load,)
    return brute.least(feature).clearance_mm


def test_under_braking_a_spot_behind_the_wheel_comes_nearer_by_what_the_hub_gives() -> None:
    """Behind the tread, on its circumference, the wheel goes straight towards it."""
    tree = document(STRUT)
    (corner,) = tree["corners"].values()
    corner["survey"]["features"] = [
        {"place": "sill", "carried_by": "body", "shape": "points", "points": [point(-90, 340, 0)]}
    ]
    duty = {"name": "own", "envelope": [[0, 0], [1, 0]], "droop_fraction": 0}
    gaps = {}
    for g in (0.0, 1.0):
        corner["compliance"] = {"aft_mm_per_g": 5.0}
        tree["duty"] = {**duty, "longitudinal_g": g}
        corner["limits"] |= {"steer_in_deg": 0, "steer_out_deg": 0}
        (gaps[g],) = spots(checkfile.parse(tree)).values()
    assert gaps[1.0].at.load == "braking"
    assert gaps[0.0].clearance_mm - gaps[1.0].clearance_mm == pytest.approx(5.0, abs=0.1)


def test_bushes_that_are_assumed_leave_their_uncertainty_under_braking_too() -> None:
    """Rubber gives 4 ± 2 mm per g of braking: from memory, no source."""
    tree = document(STRUT)
    (corner,) = tree["corners"].values()
    corner["survey"]["features"] = [
        {"place": "sill", "carried_by": "body", "shape": "points", "points": [point(-90, 340, 0)]}
    ]
    corner["compliance"] = "rubber"
    corner["limits"] |= {"steer_in_deg": 0, "steer_out_deg": 0}
    tree["duty"] = {"name": "own", "envelope": [[0, 0], [1, 0]], "droop_fraction": 0,
                    "longitudinal_g": 1.0}  # fmt: skip
    found = answer(checkfile.parse(tree))
    (spot,) = found.places
    shares = {part.source: part.mm for part in spot.uncertainty}
    assert shares["hub to the rear under braking"] == pytest.approx(2.0, abs=0.05)
    assert "hub to the rear under braking +4 mm/g" in [one.what for one in found.assumed]


def test_a_named_duty_brakes_and_has_an_inside_wheel_and_one_written_out_has_what_it_states() -> (
    None
):
    """Assumed values: common practice, no source."""
    for name, braking in (("street", 0.8), ("autocross", 1.0), ("track", 1.1)):
        tree = document(STRUT) | {"duty": name}
        duty = checkfile.parse(tree).duty
        assert (duty.longitudinal_g, duty.inner) == (braking, True)
    plain = checkfile.parse(document(STRUT)).duty
    assert (plain.longitudinal_g, plain.inner) == (0.0, False)


def test_an_inside_wheel_comes_nearer_where_it_hangs_lower_and_leans_the_other_way() -> None:
    """Seen against a spot high outboard: the inside wheel moves outboard, the outside one in."""
    out = point(0, 200, 140)
    tree = document(STRUT)
    (corner,) = tree["corners"].values()
    corner["compliance"] = {**COMPLIANCE, "lateral_mm_per_g": 8.0}
    corner["survey"]["features"] = [
        {"place": "flare", "carried_by": "body", "shape": "points", "points": [out]}
    ]
    duty = {"name": "own", "envelope": [[0, 0], [1, 0]], "lateral_g": 1.0, "droop_fraction": 0.5}
    found = {}
    for inner in (False, True):
        tree["duty"] = {**duty, "inner": inner}
        (found[inner],) = spots(checkfile.parse(tree)).values()
    assert found[True].at.load == "inside"
    nearer = found[False].clearance_mm - found[True].clearance_mm
    assert 1.0 < nearer < 0.4 * 8.0 + 1.0
    assert np.isfinite(replace(found[True]).certified_mm)
