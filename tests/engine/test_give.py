"""Compliance that was not measured: what is assumed, how it is said, what it widens."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from fitment.engine import checkfile
from fitment.engine.check import run
from fitment.engine.model import Check, CornerAnswer, SpotAnswer
from fitment.engine.uncertainty.compliance import COMPLIANCES, RUBBER, SOLID, WORN
from tests.engine.files import STRUT, document

KINDS = (RUBBER, WORN, SOLID)
SHARES = {
    "camber under side load": "camber_deg_per_g",
    "toe under side load": "toe_deg_per_g",
    "hub inboard under side load": "lateral_mm_per_g",
    "hub to the rear under braking": "aft_mm_per_g",
}


def asked(compliance: object, **duty: object) -> Check:
    """The steered strut of the examples with this compliance; "track" loads it with 1.3 g.

    Its tyre is smaller and smooth and stands further out: in an overlap, and at the corners of a
    traced profile, a clearance has no slope.
    """
    tree = document(STRUT)
    tree["duty"] = "track"
    (corner,) = tree["corners"].values()
    corner["wheel"]["offset_mm"] = 20.0
    corner["tyre"] = {"size": "185/55R16", "section_width_mm": 194, "overall_diameter_mm": 610}
    corner["compliance"] = compliance
    return replace(checkfile.parse(tree), **duty)


def answer(check: Check) -> CornerAnswer:
    (corner,) = run(check).corners.values()
    return corner


def loaded(check: Check) -> list[SpotAnswer]:
    return [p for p in answer(check).places if p.at.loaded and p.clearance_mm > 0]


@pytest.mark.parametrize("kind", KINDS)
def test_a_check_file_names_bushes_instead_of_figures_and_is_written_back_so(kind: str) -> None:
    check = asked(kind)
    (corner,) = check.corners.values()
    assert corner.compliance == COMPLIANCES[kind].mean
    (written,) = checkfile.dump(check)["corners"].values()
    assert written["compliance"] == kind


def test_bushes_of_no_known_kind_are_refused() -> None:
    with pytest.raises(checkfile.BadCheckFile) as bad:
        asked("jelly")
    (problem,) = bad.value.problems
    assert problem.path.endswith("compliance")
    assert "rubber, worn, solid" in problem.message or "solid" in problem.message


@pytest.mark.parametrize("kind", KINDS)
def test_an_assumed_give_moves_the_wheel_like_the_same_figures_measured(kind: str) -> None:
    mean = COMPLIANCES[kind].mean
    measured = {name: getattr(mean, name) for name in SHARES.values()}
    for one, other in zip(answer(asked(kind)).places, answer(asked(measured)).places, strict=True):
        assert one.to_solid_mm == pytest.approx(other.to_solid_mm, abs=1e-9)
        assert one.at == other.at


def test_what_was_taken_stands_among_the_assumptions_with_its_reason() -> None:
    said = {one.what: one for one in answer(asked(RUBBER)).assumed if "under side load" in one.what}
    assert list(said) == [
        "camber under side load +0.5 °/g",
        "toe under side load 0 °/g",
        "hub inboard under side load +1.5 mm/g",
    ]
    assert all("from memory, no source" in one.reason for one in said.values())
    assert not any("under side load" in one.what for one in answer(asked(None)).assumed)
    measured = {"camber_deg_per_g": 0.4, "toe_deg_per_g": 0.0, "lateral_mm_per_g": 1.5}
    assert not any("under side load" in one.what for one in answer(asked(measured)).assumed)


def test_nothing_is_assumed_where_the_use_loads_no_corner() -> None:
    check = asked(RUBBER)
    still = replace(check, duty=replace(check.duty, lateral_g=0.0))
    assert not any("under side load" in one.what for one in answer(still).assumed)


@pytest.mark.parametrize("kind", KINDS)
def test_the_shares_of_uncertainty_are_what_the_whole_check_changes_by(kind: str) -> None:
    """Derivative of the least clearance by the whole check, times the uncertainty per g."""
    give, check = COMPLIANCES[kind], asked(kind)
    (name,) = check.corners
    places = loaded(check)
    assert len(places) >= 2
    for source, field in SHARES.items():
        step = 0.02
        sides = []
        for sign in (1, -1):
            there = replace(
                give.mean, assumed="", **{field: getattr(give.mean, field) + sign * step}
            )
            corner = replace(check.corners[name], compliance=there)
            sides.append(
                {
                    p.place: p.clearance_mm
                    for p in answer(replace(check, corners={name: corner})).places
                }
            )
        for place in places:
            slope = (sides[0][place.place] - sides[1][place.place]) / (2 * step)
            share = next((part.mm for part in place.uncertainty if part.source == source), 0.0)
            wanted = abs(slope) * getattr(give.sigma, field)
            assert share == pytest.approx(wanted, rel=0.03, abs=0.01), (place.place, source)


def test_worn_bushes_give_more_uncertainty_than_good_ones_and_good_ones_than_solid() -> None:
    def widened(kind: str) -> float:
        return max(
            math.hypot(*(part.mm for part in place.uncertainty if part.source in SHARES))
            for place in loaded(asked(kind))
        )

    assert widened(WORN) > widened(RUBBER) > widened(SOLID) > 0.0
