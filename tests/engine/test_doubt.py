"""How far a clearance can be trusted, against draws of every uncertain input."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from alignment.geometry.model import Adjusters, Planned
from fitment.engine import defaults
from fitment.engine.check import run
from fitment.engine.model import KNUCKLE, STRUT_BODY, Check, Corner, CornerAnswer, SpotAnswer
from fitment.engine.uncertainty.compliance import COMPLIANCES, WORN
from tests.engine.monte_carlo import spread
from tests.engine.random_corners import random_check, the_corner, with_corner


def answer_of(check: Check) -> CornerAnswer:
    (answer,) = run(check).corners.values()
    return answer


def first_order(place: SpotAnswer) -> float:
    """Sigma of the parts alone, without the floor from car to car."""
    return float(np.sqrt(sum(part.mm**2 for part in place.uncertainty)))


def parts(place: SpotAnswer) -> dict[str, float]:
    return {part.source: part.mm for part in place.uncertainty}


def clear_places_alone(seed: int) -> Check:
    """A random check without the places that touch."""
    check = random_check(seed)
    corner = the_corner(check)
    pairs = zip(corner.survey.features, answer_of(check).places, strict=True)
    kept = tuple(feature for feature, place in pairs if place.clearance_mm > 3.0)
    return with_corner(check, replace(corner, survey=replace(corner.survey, features=kept)))


def stated(corner: Corner, sigma: float) -> Corner:
    """Every uncertainty that can be stated, stated."""
    features = tuple(replace(feature, sigma_mm=sigma) for feature in corner.survey.features)
    return replace(
        corner,
        survey=replace(corner.survey, features=features),
        wheel=replace(corner.wheel, sigma_offset_mm=sigma),
        tyre=replace(
            corner.tyre,
            sigma_width_mm=sigma,
            sigma_diameter_mm=sigma,
            tread_width_mm=200.0,
            shoulder_drop_mm=8.0,
        ),
        planned=replace(
            corner.planned,
            sigma_camber_deg=0.1 * sigma,
            sigma_toe_deg=0.1 * sigma,
            sigma_ride_height_mm=sigma,
        ),
    )


@pytest.mark.parametrize("seed", [2, 4, 7])
def test_the_first_order_sigma_is_the_spread_of_draws_within_fifteen_per_cent(seed: int) -> None:
    check = clear_places_alone(seed)
    places = answer_of(check).places
    assert len(places) >= 3
    drawn = spread(the_corner(check), check.duty, draws=120, seed=seed, shrink=0.25)
    for place, sigma in zip(places, drawn, strict=True):
        assert first_order(place) == pytest.approx(sigma, rel=0.15), place.place


def test_an_assumed_give_spreads_loaded_places_as_draws_of_it_do() -> None:
    check = clear_places_alone(7)
    corner = replace(the_corner(check), compliance=COMPLIANCES[WORN].mean)
    hard = with_corner(replace(check, duty=replace(check.duty, lateral_g=1.3)), corner)
    places = answer_of(hard).places
    assert any(place.at.loaded for place in places)
    drawn = spread(corner, hard.duty, draws=120, seed=7, shrink=0.25)
    for place, sigma in zip(places, drawn, strict=True):
        assert first_order(place) == pytest.approx(sigma, rel=0.15), place.place


@pytest.mark.nightly
@pytest.mark.parametrize("seed", range(6000, 6012))
def test_a_dozen_more_corners_spread_as_their_first_order_says(seed: int) -> None:
    """Three hundred draws know a spread to 4 %; a corner of the clearance may add some."""
    check = clear_places_alone(seed)
    drawn = spread(the_corner(check), check.duty, draws=300, seed=seed, shrink=0.25)
    for place, sigma in zip(answer_of(check).places, drawn, strict=True):
        assert first_order(place) == pytest.approx(sigma, rel=0.15), place.place


def test_sigma_never_falls_below_what_one_car_differs_from_the_next() -> None:
    check = random_check(2)
    exact = with_corner(check, stated(the_corner(check), 1e-6))
    for place in answer_of(exact).places:
        moved = sum(mm**2 for source, mm in parts(place).items() if source not in {"bump limit"})
        assert moved < 1e-4
        assert place.sigma_mm >= defaults.CAR_TO_CAR_MM == 3.0
    wide = with_corner(check, stated(the_corner(check), 6.0))
    assert all(place.sigma_mm > 4.0 for place in answer_of(wide).places)
    assert all(
        place.sigma_mm == pytest.approx(first_order(place), rel=1e-3)
        for place in answer_of(wide).places
    )


def test_what_nobody_stated_is_listed_as_assumed_and_what_was_stated_is_not() -> None:
    check = random_check(0, kind="strut")
    corner = the_corner(check)
    plan = Planned(0.0, corner.survey.camber_deg - 1.0, "top_mount", Adjusters())
    limits = replace(corner.limits, steer_in_deg=25.0, steer_out_deg=25.0)
    corner = replace(corner, planned=plan, limits=limits)
    full = answer_of(with_corner(check, stated(corner, 1.0))).assumed
    assert {one.what for one in full} == {"bump limit", "steering lock"}
    blank = replace(
        corner,
        survey=replace(
            corner.survey,
            features=tuple(replace(f, sigma_mm=None) for f in corner.survey.features),
        ),
        wheel=replace(corner.wheel, sigma_offset_mm=None),
        tyre=replace(
            corner.tyre,
            section_width_mm=None,
            measuring_rim_in=None,
            sigma_width_mm=None,
            sigma_diameter_mm=None,
            shoulder_drop_mm=None,
            tread_width_mm=None,
            profile=(),
        ),
    )
    assumed = {one.what: one for one in answer_of(with_corner(check, blank)).assumed}
    wanted = {one.what for one in defaults.SIGMAS}
    assert set(assumed) == wanted
    assert all(one.value > 0 and one.unit and one.reason for one in assumed.values())
    assert assumed["section width"].value == 3.0  # nominal; 1 where the width was measured
    measured = replace(blank, tyre=replace(blank.tyre, section_width_mm=240.0))
    again = {one.what: one for one in answer_of(with_corner(check, measured)).assumed}
    assert again["section width"].value == 1.0
    printed = replace(measured, tyre=replace(measured.tyre, width_printed=True))
    again = {one.what: one for one in answer_of(with_corner(check, printed)).assumed}
    assert again["section width"].value == 3.0
    assert "printed" in again["section width"].reason


#: Where the back of the spokes lies, so that the caliper is nearest to what is asked about.
SPOKES = {"wheel width": 20.0, "barrel": 20.0, "back of the spokes": -20.0}


@pytest.mark.parametrize("what", SPOKES)
def test_what_a_measured_wheel_leaves_open_enters_the_uncertainty_of_the_places_it_moves(
    what: str,
) -> None:
    """Against the clearance of a wheel that is a tenth of a millimetre off in that measure."""
    check = random_check(6)
    corner = stated(the_corner(check), 1.0)
    wheel = replace(
        corner.wheel, barrel_mm=14.0, spoke_back=((SPOKES[what], 40.0), (SPOKES[what], 150.0))
    )
    corner = replace(corner, wheel=wheel, tyre=replace(corner.tyre, profile=()))
    field = {"wheel width": "width", "barrel": "barrel", "back of the spokes": "spoke"}[what]
    unsure = replace(wheel, **{f"sigma_{field}_mm": 2.0})
    places = answer_of(with_corner(check, replace(corner, wheel=unsure))).places
    step = 0.05
    other = {
        "wheel width": replace(wheel, width_mm=wheel.rim_mm + step),
        "barrel": replace(wheel, barrel_mm=14.0 + step),
        "back of the spokes": replace(
            wheel, spoke_back=tuple((a + step, r) for a, r in wheel.spoke_back)
        ),
    }[what]
    base = answer_of(with_corner(check, replace(corner, wheel=wheel))).places
    moved = answer_of(with_corner(check, replace(corner, wheel=other))).places
    touched = 0
    for place, at, now in zip(places, base, moved, strict=True):
        expected = abs(now.clearance_mm - at.clearance_mm) / step * 2.0
        assert parts(place).get(what, 0.0) == pytest.approx(expected, abs=0.05)
        touched += expected > 0.5
    assert touched
    assert all(what not in parts(place) for place in base)


def test_what_the_strut_carries_follows_the_knuckle_camber_that_is_solved_again() -> None:
    """0.1 degrees of camber by the knuckle turns the strut 0.1 degrees towards the tyre."""
    check = random_check(0, kind="strut")
    corner = the_corner(check)
    plan = Planned(0.0, corner.survey.camber_deg - 1.0, "knuckle", sigma_camber_deg=0.1)
    turned = answer_of(with_corner(check, replace(corner, planned=plan)))
    by_mount = answer_of(
        with_corner(check, replace(corner, planned=replace(plan, camber_by="top_mount")))
    )
    strut = next(i for i, p in enumerate(turned.places) if p.carried_by == STRUT_BODY)
    assert 0.2 < parts(turned.places[strut]).get("planned camber", 0.0) < 1.0
    assert parts(by_mount.places[strut]).get("planned camber", 0.0) == 0.0


def test_what_the_knuckle_carries_owes_nothing_to_travel_or_settings() -> None:
    for seed in (0, 1, 2, 3):
        for place in answer_of(random_check(seed)).places:
            if place.carried_by == KNUCKLE:
                assert not set(parts(place)) & {
                    "planned camber",
                    "planned toe",
                    "ride height",
                    "bump limit",
                    "steering lock",
                }


def test_a_part_grows_with_its_sigma_and_no_other_does() -> None:
    check = random_check(2)
    corner = stated(the_corner(check), 1.0)
    wider = replace(corner, tyre=replace(corner.tyre, sigma_diameter_mm=3.0))
    once, thrice = (answer_of(with_corner(check, one)).places for one in (corner, wider))
    moved = 0
    for before, after in zip(once, thrice, strict=True):
        for source, mm in parts(before).items():
            factor = 3.0 if source == "overall diameter" else 1.0
            assert parts(after)[source] == pytest.approx(factor * mm)
            moved += factor == 3.0
    assert moved >= 2
