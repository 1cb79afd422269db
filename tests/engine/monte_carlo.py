"""Doubt the long way: draw every uncertain input, search again, and look at the spread.

Nothing is linearised and no moment is held: each draw is a corner of its own whose adjusters
are solved and whose tightest moments are searched for.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from alignment.geometry.model import Compliance
from fitment.engine import defaults
from fitment.engine.minimum.closest import closest
from fitment.engine.minimum.setting import setting_of
from fitment.engine.model import Corner, Duty, Feature
from fitment.engine.solid.mounted import mounted
from fitment.engine.solid.section import section_of
from fitment.engine.uncertainty.compliance import COMPLIANCES

Array = NDArray[np.float64]


def spread(corner: Corner, duty: Duty, draws: int, seed: int, shrink: float = 1.0) -> Array:
    """Standard deviation (features,) of the clearances, inputs drawn at ``shrink`` times sigma."""
    rng = np.random.default_rng(seed)
    found = []
    while len(found) < draws:
        drawn = draw(corner, rng, shrink)
        section = section_of(drawn.wheel, drawn.tyre)
        room = setting_of("LF", drawn, duty).room
        found.append(closest(room, section, section_of(drawn.wheel, drawn.tyre, True)).clearance_mm)
    return np.std(np.array(found), axis=0, ddof=1) / shrink


def draw(corner: Corner, rng: np.random.Generator, shrink: float) -> Corner:
    """The corner with every uncertain input drawn from its normal distribution."""

    def off(stated: float | None, default: float) -> float:
        return float(rng.normal()) * shrink * (default if stated is None else stated)

    tyre, wheel, planned, limits = corner.tyre, corner.wheel, corner.planned, corner.limits
    size = mounted(wheel, tyre)
    width = defaults.WIDTH_NOMINAL if tyre.section_width_mm is None else defaults.WIDTH_MEASURED
    if tyre.width_printed:
        width = defaults.WIDTH_PRINTED
    more_width = off(tyre.sigma_width_mm, width.value)
    more_diameter = off(tyre.sigma_diameter_mm, defaults.DIAMETER.value)
    more_drop = off(None, defaults.SHOULDER_DROP.value) if size.assumed_shoulder else 0.0
    by_width = (size.section_width_mm + more_width) / size.section_width_mm
    by_height = (size.section_height_mm + more_diameter / 2) / size.section_height_mm
    seat = size.rim_radius_mm
    drawn_tyre = replace(
        tyre,
        section_width_mm=size.section_width_mm + more_width,
        measuring_rim_in=None,
        overall_diameter_mm=size.overall_diameter_mm + more_diameter,
        shoulder_drop_mm=max(size.shoulder_drop_mm + more_drop, 0.5),
        profile=tuple((b * by_width, seat + (r - seat) * by_height) for b, r in tyre.profile),
    )
    more_camber = off(planned.sigma_camber_deg, defaults.CAMBER.value)
    drawn_plan = replace(
        planned,
        camber_deg=None if planned.camber_deg is None else planned.camber_deg + more_camber,
        toe_deg=planned.toe_deg + off(planned.sigma_toe_deg, defaults.TOE.value),
        adjusters=replace(
            planned.adjusters,
            ride_height_mm=planned.adjusters.ride_height_mm
            + off(planned.sigma_ride_height_mm, defaults.RIDE_HEIGHT.value),
        ),
    )
    more_lock = off(None, defaults.STEER_LIMIT.value)
    assert limits.bump_mm is not None
    drawn_limits = replace(
        limits,
        bump_mm=limits.bump_mm + off(None, defaults.BUMP_LIMIT.value),
        steer_in_deg=limits.steer_in_deg and limits.steer_in_deg + more_lock,
        steer_out_deg=limits.steer_out_deg and limits.steer_out_deg + more_lock,
    )
    features = tuple(
        _moved(
            feature,
            off(feature.sigma_mm, defaults.FEATURE.value),
            off(feature.sigma_mm, defaults.FEATURE.value),
        )
        for feature in corner.survey.features
    )
    return replace(
        corner,
        survey=replace(corner.survey, features=features),
        wheel=replace(
            wheel, offset_mm=wheel.offset_mm + off(wheel.sigma_offset_mm, defaults.OFFSET.value)
        ),
        tyre=drawn_tyre,
        planned=drawn_plan,
        limits=drawn_limits,
        compliance=_given(corner.compliance, off),
    )


def _given(
    give: Compliance | None, off: Callable[[float | None, float], float]
) -> Compliance | None:
    """What was measured as it is; what was assumed, drawn."""
    if give is None or not give.assumed:
        return give
    sigma = COMPLIANCES[give.assumed].sigma
    return replace(
        give,
        camber_deg_per_g=give.camber_deg_per_g + off(None, sigma.camber_deg_per_g),
        toe_deg_per_g=give.toe_deg_per_g + off(None, sigma.toe_deg_per_g),
        lateral_mm_per_g=give.lateral_mm_per_g + off(None, sigma.lateral_mm_per_g),
    )


def _moved(feature: Feature, radius: float, axial: float) -> Feature:
    """All points moved together; those in x, y, z as if about an upright, straight wheel."""
    points = tuple(
        replace(p, radius_mm=p.radius_mm + radius, axial_mm=p.axial_mm + axial)
        for p in feature.points
    )
    xyz = []
    for x, y, z in feature.xyz_mm:
        out = np.hypot(x, z)
        xyz.append((x * (out + radius) / out, y + axial, z * (out + radius) / out))
    return replace(feature, points=points, xyz_mm=tuple(xyz))
