"""Uncertainty the long way: draw every uncertain input, search again, and see what touches.

Nothing is linearised and no moment is held: each draw is a corner of its own whose adjusters are
solved and whose tightest moments are searched for.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from alignment.geometry.joint_slopes import joint_names, with_joints_moved
from alignment.geometry.linkage import Unreachable
from alignment.geometry.model import CURVES, Compliance, CurveRow, Suspension
from fitment.engine import defaults
from fitment.engine.minimum.closest import closest
from fitment.engine.minimum.envelope import RestsOnStops
from fitment.engine.minimum.setting import setting_of
from fitment.engine.model import (
    KNUCKLE,
    LINK,
    MEASURED,
    NOMINAL,
    STRUT_BODY,
    TEMPLATE,
    Corner,
    Duty,
    Feature,
    Tyre,
    Wheel,
)
from fitment.engine.solid.mounted import BadSection, mounted
from fitment.engine.solid.section import section_of
from fitment.engine.uncertainty.compliance import COMPLIANCES

Array = NDArray[np.float64]
Off = Callable[[float], float]


@dataclass(frozen=True)
class Drawn:
    """Clearances (draws, features) of corners drawn from their uncertainties."""

    clearance_mm: Array

    @property
    def sigma_mm(self) -> Array:
        """Standard deviation (features,)."""
        sigma: Array = np.std(self.clearance_mm, axis=0, ddof=1)
        return sigma

    @property
    def chance(self) -> Array:
        """Share (features,) of the draws in which a feature touches."""
        share: Array = np.mean(self.clearance_mm <= 0, axis=0)
        return share

    @property
    def any_chance(self) -> float:
        """Share of the draws in which anything touches."""
        return float(np.mean(np.any(self.clearance_mm <= 0, axis=1)))


def drawn(corner: Corner, duty: Duty, draws: int, seed: int) -> Drawn:
    """Corners drawn at full uncertainty. A draw that no suspension can take is drawn again."""
    rng = np.random.default_rng(seed)
    spread = np.array([between(feature) for feature in corner.survey.features])
    found: list[Array] = []
    while len(found) < draws:
        one = draw(corner, rng)
        try:
            section = section_of(one.wheel, one.tyre)
            room = setting_of("LF", one, duty).room
            least = closest(room, section, section_of(one.wheel, one.tyre, True)).clearance_mm
        except (Unreachable, RestsOnStops, BadSection):
            continue
        found.append(least + rng.normal(0.0, spread))
    return Drawn(np.array(found))


def between(feature: Feature) -> float:
    """How far the spot of the next car lies from that of the last one."""
    return 1.0 if feature.carried_by in (KNUCKLE, STRUT_BODY) else 3.0


def draw(corner: Corner, rng: np.random.Generator) -> Corner:
    """The corner with every uncertain input drawn from its normal distribution."""

    def off(sigma: float) -> float:
        return float(rng.normal()) * sigma

    planned, limits = corner.planned, corner.limits
    more_camber = off(stated(planned.sigma_camber_deg, defaults.CAMBER.value))
    height = off(stated(planned.sigma_ride_height_mm, defaults.RIDE_HEIGHT.value))
    plan = replace(
        planned,
        camber_deg=None if planned.camber_deg is None else planned.camber_deg + more_camber,
        toe_deg=planned.toe_deg + off(stated(planned.sigma_toe_deg, defaults.TOE.value)),
        adjusters=replace(
            planned.adjusters, ride_height_mm=planned.adjusters.ride_height_mm + height
        ),
    )
    more_lock = off(defaults.STEER_LIMIT.value)
    assert limits.bump_mm is not None
    stops = replace(
        limits,
        bump_mm=limits.bump_mm + off(defaults.BUMP_LIMIT.value),
        steer_in_deg=limits.steer_in_deg and limits.steer_in_deg + more_lock,
        steer_out_deg=limits.steer_out_deg and limits.steer_out_deg + more_lock,
    )
    features = tuple(read_again(feature, off) for feature in corner.survey.features)
    return replace(
        corner,
        survey=replace(corner.survey, features=features),
        suspension=moved_about(corner.suspension, off),
        wheel=cast_again(corner.wheel, off),
        tyre=made_again(corner.wheel, corner.tyre, off),
        planned=plan,
        limits=stops,
        compliance=given(corner.compliance, off),
    )


def stated(value: float | None, default: float) -> float:
    return default if value is None else value


def read_again(feature: Feature, off: Off) -> Feature:
    """Points one by one, or all together off a template; those in x, y, z as if about an upright,
    straight wheel."""
    if feature.carried_by == LINK and feature.sigma_mm is None:
        return feature
    assert feature.carried_by != LINK
    sigma = stated(feature.sigma_mm, defaults.FEATURE.value)
    count = len(feature.points) + len(feature.xyz_mm)

    def errors() -> tuple[float, float, float]:
        return off(sigma), off(sigma), off(defaults.CLOCK.value)

    together = errors()
    each = [together if feature.read == TEMPLATE else errors() for _ in range(count)]
    points = tuple(
        replace(
            p,
            radius_mm=p.radius_mm + radius,
            axial_mm=p.axial_mm + axial,
            clock_deg=p.clock_deg + clock,
        )
        for p, (radius, axial, clock) in zip(feature.points, each, strict=False)
    )
    xyz = []
    for (x, y, z), (radius, axial, clock) in zip(feature.xyz_mm, each, strict=False):
        out, angle = np.hypot(x, z) + radius, np.arctan2(x, z) + np.radians(clock)
        xyz.append((float(out * np.sin(angle)), y + axial, float(out * np.cos(angle))))
    return replace(feature, points=points, xyz_mm=tuple(xyz))


def moved_about(suspension: Suspension, off: Off) -> Suspension:
    """Every joint read again; of curves every row that is uncertain, and the path of the hub."""
    if suspension.kind != CURVES:
        sigma = stated(suspension.sigma_joints_mm, defaults.JOINT.value)
        shift = np.array([off(sigma) for _ in range(3 * len(joint_names(suspension)))])
        return with_joints_moved(suspension, shift)
    arc, slant = off(defaults.HUB_OUT.value), off(defaults.HUB_FORWARD.value)

    def again(row: CurveRow) -> CurveRow:
        if row.travel_mm == 0:
            return row
        by = {name: off(getattr(row.sigma, name) or 0.0) for name in ("camber_deg", "toe_deg")}
        out, forward = row.out_mm + off(row.sigma.out_mm or 0.0), row.forward_mm
        forward += off(row.sigma.forward_mm or 0.0)
        if "out_mm" in row.unread and row.sigma.out_mm is None:
            out = -(row.travel_mm**2) / 700.0 * (1.0 + arc)
        if "forward_mm" in row.unread and row.sigma.forward_mm is None:
            forward = slant * row.travel_mm
        return replace(
            row,
            camber_deg=row.camber_deg + by["camber_deg"],
            toe_deg=row.toe_deg + by["toe_deg"],
            out_mm=out,
            forward_mm=forward,
            unread=frozenset(),
        )

    return replace(suspension, table=tuple(again(row) for row in suspension.table))


def cast_again(wheel: Wheel, off: Off) -> Wheel:
    """Offset and flange as they may be."""
    return replace(
        wheel,
        offset_mm=wheel.offset_mm + off(stated(wheel.sigma_offset_mm, defaults.OFFSET.value)),
        flange_mm=wheel.flange_mm + off(stated(wheel.sigma_flange_mm, defaults.FLANGE.value)),
    )


def made_again(wheel: Wheel, tyre: Tyre, off: Off) -> Tyre:
    """The tyre's dimensions as they may be; a traced profile is scaled with its tyre."""
    size = mounted(wheel, tyre)
    width_sigma = {NOMINAL: 3.0, MEASURED: 1.0}.get(tyre.how_width_is_known, 3.0)
    diameter_sigma = {NOMINAL: 4.0, MEASURED: 1.0}.get(tyre.how_diameter_is_known, 2.0)
    more_width = off(stated(tyre.sigma_width_mm, width_sigma))
    more_diameter = off(stated(tyre.sigma_diameter_mm, diameter_sigma))
    read = tyre.shoulder != "" or tyre.tread_width_mm is not None
    tread = off(stated(tyre.sigma_tread_mm, (0.015 if read else 0.03) * size.section_width_mm))
    read = tyre.shoulder != "" or tyre.shoulder_drop_mm is not None
    drop = off(stated(tyre.sigma_shoulder_mm, 1.5 if read else 2.5))
    width = size.section_width_mm + more_width
    by_width = width / size.section_width_mm
    by_height = (size.section_height_mm + more_diameter / 2) / size.section_height_mm
    seat = size.rim_radius_mm
    own_tread = size.tread_width_mm * (by_width if tyre.tread_width_mm is None else 1.0)
    return replace(
        tyre,
        section_width_mm=width,
        measuring_rim_in=None,
        overall_diameter_mm=size.overall_diameter_mm + more_diameter,
        tread_width_mm=min(own_tread + tread, 0.995 * width),
        shoulder_drop_mm=max(size.shoulder_drop_mm + drop, 0.5),
        profile=tuple((b * by_width, seat + (r - seat) * by_height) for b, r in tyre.profile),
    )


def given(give: Compliance | None, off: Off) -> Compliance | None:
    """What was measured as it is; what was assumed, drawn."""
    if give is None or not give.assumed:
        return give
    sigma = COMPLIANCES[give.assumed].sigma
    drawn = {
        name: value + off(getattr(sigma, name) or 0.0)
        for name, value in vars(give).items()
        if name != "assumed" and value is not None
    }
    return replace(give, **drawn)
