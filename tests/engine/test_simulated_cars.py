"""Stated uncertainties against what simulated cars do, joints drawn, before and after readings."""

from __future__ import annotations

from functools import cache

import pytest

from tests.engine.files import LINKS, STRUT, check_of, wishbones_name
from tests.engine.simulated_cars import (
    BEFORE,
    BOTH,
    FITTED,
    GAPS,
    STAGES,
    Error,
    by_stage,
    errors_of,
    off_template,
    rms,
)
from tests.nights import day_and_night

#: Corners by name and how well their joints were read, mm; the last in a hurry.
CORNERS = {
    "strut": (STRUT, 2.0),
    "wishbones": (wishbones_name(), 2.0),
    "five links": (LINKS, 2.0),
    "five links read in a hurry": ("check-10", 5.0),
}
#: Cars of each corner: 60 in all by night. Few cars leave a wide margin, since all spots of a car
#: share what it was drawn from.
DAY, NIGHT = 2, 15
WITHIN = {DAY: (0.7, 1.35), NIGHT: (0.85, 1.2)}
A_NIGHTS_CARS = pytest.mark.parametrize("cars", day_and_night([DAY], [NIGHT]))


@cache
def errors(corner: str, cars: int) -> tuple[Error, ...]:
    name, joints_mm = CORNERS[corner]
    check = off_template(check_of(name), 2.0, joints_mm)
    return tuple(error for car in range(100, 100 + cars) for error in errors_of(check, car))


@A_NIGHTS_CARS
@pytest.mark.parametrize("stage", STAGES)
def test_cars_stray_from_the_prediction_as_far_as_is_stated(cars: int, stage: str) -> None:
    """Normalised errors (prediction less truth over its stated uncertainty) of all corners."""
    own = [e.normalised for c in CORNERS for e in errors(c, cars) if e.stage == stage]
    low, high = WITHIN[cars]
    assert low < rms(own) < high
    beyond = sum(abs(one) > 2.0 for one in own) / len(own)
    assert beyond < (0.1 if cars == NIGHT else 0.2)


@A_NIGHTS_CARS
def test_readings_on_the_car_bring_the_prediction_nearer_and_its_uncertainty_with_it(
    cars: int,
) -> None:
    found = by_stage([error for corner in CORNERS for error in errors(corner, cars)])
    assert found[GAPS].off_mm < 0.9 * found[BEFORE].off_mm
    assert found[GAPS].stated_mm < 0.9 * found[BEFORE].stated_mm
    assert found[BOTH].off_mm < 0.9 * found[BEFORE].off_mm
    assert found[FITTED].stated_mm < found[BEFORE].stated_mm


@A_NIGHTS_CARS
def test_five_links_whose_joints_were_not_fitted_are_as_uncertain_as_their_joints_make_them(
    cars: int,
) -> None:
    """Left out of the budget, the joints made errors half as large again as what was stated."""
    hurried = list(errors("five links read in a hurry", cars))
    found = by_stage(hurried)
    body = [one for one in hurried if one.stage == BEFORE and one.joints_mm > 1.0]
    assert rms([one.without_joints for one in body]) > 1.25 * rms([e.normalised for e in body])
    assert found[FITTED].off_mm < 0.8 * found[BEFORE].off_mm
    assert found[FITTED].stated_mm < 0.9 * found[BEFORE].stated_mm
    share = {
        stage: rms([one.joints_mm for one in hurried if one.stage == stage and one.joints_mm])
        for stage in (BEFORE, FITTED)
    }
    assert share[FITTED] < 0.7 * share[BEFORE], "a fit takes its share out"
