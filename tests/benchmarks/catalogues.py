"""A large invented catalogue: a thousand tyres and three hundred wheels for one strut axle."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import numpy as np

from fitment.engine.defaults import STREET
from fitment.engine.model import Corner, Tyre, Wheel
from fitment.engine.search.model import Question
from fitment.engine.search.space import (
    SettingChange,
    Space,
    SpacerChoice,
    TyreChoice,
    WheelChoice,
    on_the_plan,
)
from fitment.engine.solid.designation import Size
from tests.benchmarks.corners import strut_corner
from tests.engine.close_corners import LOOKED_AT, SPOKES

TYRES, WHEELS = 1000, 300
ASPECTS = (25, 30, 35, 40, 45, 50, 55)


def large_question(goal: str) -> Question:
    """Both sides of a front axle, on which wide tyres are doubtful in many ways."""
    rng = np.random.default_rng([77, 1])
    left = _close(strut_corner(8))
    lip = left.survey.features[0]
    nearer = tuple(replace(point, axial_mm=point.axial_mm - 1.0) for point in lip.points)
    features = (replace(lip, points=nearer), *left.survey.features[1:])
    right = replace(left, survey=replace(left.survey, features=features))
    tyres = [_tyre(rng, number) for number in range(TYRES)]
    wheels, worn = on_the_plan(
        left.wheel, left.tyre, [_wheel(rng, number) for number in range(WHEELS)], tyres
    )
    space = Space((SettingChange(),), wheels, worn, (SpacerChoice(0.0),))
    return Question({"LF": left, "RF": right}, STREET, space, aims=(goal,))


def _close(corner: Corner) -> Corner:
    """The corner with its lip and inner panel nearer to the wheel."""
    lip, panel, *others = corner.survey.features
    near_lip = tuple(replace(point, radius_mm=point.radius_mm - 8.0) for point in lip.points)
    near_panel = tuple(replace(point, axial_mm=point.axial_mm + 40.0) for point in panel.points)
    features = (replace(lip, points=near_lip), replace(panel, points=near_panel), *others)
    return replace(corner, survey=replace(corner.survey, features=features, open=LOOKED_AT))


def _tyre(rng: np.random.Generator, number: int) -> TyreChoice:
    while True:
        width, rim = int(rng.integers(17, 34)) * 10 + 5, int(rng.integers(15, 21))
        size = Size(width, int(rng.choice(ASPECTS)), rim)
        if 590 <= size.overall_diameter_mm <= 690:
            break
    measured = size.measuring_rim_in
    tyre = Tyre(
        f"{width}/{size.aspect:g}R{rim}",
        round(size.section_width_mm(measured) + float(rng.uniform(-4, 5))),
        measured,
        size.overall_diameter_mm + float(rng.integers(-4, 4)),
    )
    price = Decimal(int(rng.integers(80, 300)))
    rims = (measured - 0.5, measured + 1.0)
    return TyreChoice(f"tyre {number}", tyre, price, 95, "W", rims)


def _wheel(rng: np.random.Generator, number: int) -> WheelChoice:
    wheel = Wheel(
        float(rng.integers(15, 21)),
        float(rng.integers(12, 25)) / 2,
        float(rng.integers(5, 60)),
        barrel_mm=12.0,
        spoke_back=SPOKES,
    )
    return WheelChoice(f"wheel {number}", wheel, Decimal(int(rng.integers(150, 500))))
