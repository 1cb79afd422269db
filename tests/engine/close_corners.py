"""Surveyed corners of any kind on which what is planned may rub."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from alignment.geometry.model import LINKS, STRUT, Adjusters, Planned
from fitment.engine.check import CannotCheck, run
from fitment.engine.defaults import STREET
from fitment.engine.model import (
    INBOARD,
    OUTBOARD,
    Check,
    Corner,
    OpenArc,
    SurveyPoint,
    Tyre,
    Wheel,
)
from tests.benchmarks.corners import strut_corner
from tests.engine.random_corners import random_suspension

SPOKES = ((2.0, 60.0), (6.0, 190.0))
#: Whatever no feature stands for was looked at and found open.
LOOKED_AT = tuple(OpenArc(side, -180.0, 180.0, 400.0) for side in (INBOARD, OUTBOARD))


def close_corner(rng: np.random.Generator, kind: str) -> Corner:
    """A surveyed corner of any kind with a close arch, on which what is planned may rub."""
    for _ in range(200):
        steered = kind != LINKS
        plain = strut_corner(8, steered=steered)
        lip = tuple(
            SurveyPoint(p.clock_deg, p.radius_mm - float(rng.uniform(8, 24)), p.axial_mm)
            for p in plain.survey.features[0].points
        )
        panel_in = float(rng.uniform(-20, 8))
        panel = tuple(
            replace(p, axial_mm=p.axial_mm + panel_in) for p in plain.survey.features[1].points
        )
        first, second, *others = plain.survey.features
        sigma = float(rng.uniform(1.0, 5.0))
        features = (
            replace(first, points=lip, sigma_mm=sigma),
            replace(second, points=panel),
            *others,
        )
        suspension = random_suspension(rng, kind, steered=steered)
        camber_method = suspension.camber_methods
        reach = {"top_mount_in_mm": (-4.0, 12.0)} if kind == STRUT else {}
        corner = replace(
            plain,
            survey=replace(plain.survey, features=features, open=LOOKED_AT),
            suspension=replace(suspension, reach=reach),
            planned=Planned(
                0.05, -1.8, camber_method[0], Adjusters(ride_height_mm=float(rng.uniform(-25, 0)))
            ),
            wheel=Wheel(17.0, 9.0, float(rng.integers(30, 44)), barrel_mm=12.0, spoke_back=SPOKES),
            tyre=Tyre("255/40R17", 258.0, 9.0, 636.0),
        )
        try:
            run(Check("settable", STREET, {"LF": corner}))
        except CannotCheck:
            continue
        return corner
    raise AssertionError(f"no {kind} corner")
