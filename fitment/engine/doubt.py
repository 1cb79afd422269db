"""How far a clearance can be trusted.

First-order propagation of every stated uncertain input (GUM, JCGM 100:2008, 5.1.2): the
numeric derivative of each place's clearance at its tightest moment, times the input's
standard uncertainty, added in quadrature. The place in the envelope is held (same share of
bump, same part of lock) and the adjusters are solved again. Millimetres and degrees.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from alignment.geometry import frames
from alignment.geometry.frames import Array
from alignment.geometry.linkage import Unreachable
from alignment.geometry.model import Planned
from fitment.engine import defaults
from fitment.engine.closest import Closest
from fitment.engine.defaults import DefaultSigma
from fitment.engine.envelope import RestsOnStops
from fitment.engine.model import Assumed, DoubtPart, Tyre, Wheel
from fitment.engine.mounted import BadSection
from fitment.engine.section import Section, section_of
from fitment.engine.setting import Setting, envelope_for

#: Steps of the central differences: a millimetre and a twentieth of a degree.
STEP_MM, STEP_DEG = 1.0, 0.05


@dataclass(frozen=True)
class Doubts:
    """Per feature: the parts of its doubt; and what was assumed for want of a figure."""

    parts: tuple[tuple[DoubtPart, ...], ...]
    assumed: tuple[Assumed, ...]

    def sigma(self, index: int, least_mm: float) -> float:
        """Standard uncertainty (mm) of one feature's clearance, never below ``least_mm``."""
        return max(float(np.sqrt(sum(part.mm**2 for part in self.parts[index]))), least_mm)


def doubts(
    setting: Setting, section: Section, found: Closest, moments: tuple[Array, Array]
) -> Doubts:
    """Doubt of every feature's clearance at its tightest moment, (axial, radius) there."""
    book = _Book(setting)
    rows = [
        *_survey(setting, section, found, book),
        *_tyre_and_wheel(setting, section, moments, book),
        *_pose(setting, section, found, book),
    ]
    count = len(found.clearance_mm)
    parts = tuple(
        tuple(
            DoubtPart(source, float(abs(mm[index]))) for source, mm in rows if abs(mm[index]) > 5e-4
        )
        for index in range(count)
    )
    return Doubts(parts, tuple(book.assumed))


class _Book:
    """Hands out stated uncertainties and notes the assumed ones."""

    def __init__(self, setting: Setting) -> None:
        self.assumed: list[Assumed] = []
        self.setting = setting

    def sigma(self, stated: float | None, default: DefaultSigma) -> float:
        if stated is not None:
            return stated
        note = Assumed(default.what, default.value, default.unit, default.reason)
        if note not in self.assumed:
            self.assumed.append(note)
        return default.value


def _survey(
    setting: Setting, section: Section, found: Closest, book: _Book
) -> list[tuple[str, Array]]:
    """Parts from the radius and the axial reading of each feature, its points moving together."""
    room = setting.room
    sigma = np.array(
        [book.sigma(course.feature.sigma_mm, defaults.FEATURE) for course in room.courses]
    )
    points = room.points(found.spots)
    hub, spin = room.wheel(found.spots)
    read_hub = np.array([course.hub if course.polar else np.zeros(3) for course in room.courses])
    read_spin = np.array(
        [course.spin if course.polar else room.rest_spin for course in room.courses]
    )
    out = points - read_hub
    out = out - np.sum(out * read_spin, axis=1, keepdims=True) * read_spin
    out = out / np.maximum(np.linalg.norm(out, axis=1, keepdims=True), 1e-9)

    def gap(shift: Array) -> Array:
        return section.distance(*frames.meridian(points + shift, hub, spin))

    return [
        ("survey radius", _central(lambda h: gap(h * out), STEP_MM) * sigma),
        ("survey axial", _central(lambda h: gap(h * read_spin), STEP_MM) * sigma),
    ]


def _tyre_and_wheel(
    setting: Setting, section: Section, moments: tuple[Array, Array], book: _Book
) -> list[tuple[str, Array]]:
    """Parts from section width, overall diameter, shoulder drop and wheel offset."""
    wheel, tyre, size = setting.corner.wheel, setting.corner.tyre, section.mounted
    width = defaults.WIDTH_NOMINAL if tyre.section_width_mm is None else defaults.WIDTH_MEASURED
    sigma = {
        "section width": book.sigma(tyre.sigma_width_mm, width),
        "overall diameter": book.sigma(tyre.sigma_diameter_mm, defaults.DIAMETER),
        "wheel offset": book.sigma(wheel.sigma_offset_mm, defaults.OFFSET),
    }
    if size.assumed_shoulder:
        sigma["shoulder drop"] = book.sigma(None, defaults.SHOULDER_DROP)

    def gap(what: str, h: float) -> Array:
        return section_of(*changed(wheel, tyre, section, what, h)).distance(*moments)

    rows = []
    for what, amount in sigma.items():
        try:
            rows.append((what, _central(lambda h, what=what: gap(what, h), STEP_MM) * amount))  # type: ignore[misc]
        except BadSection:  # at the edge of what is a tyre: half the step on the side that is one
            rows.append((what, (gap(what, 0.0) - gap(what, -STEP_MM)) / STEP_MM * amount))
    return rows


def changed(
    wheel: Wheel, tyre: Tyre, section: Section, what: str, by_mm: float
) -> tuple[Wheel, Tyre]:
    """Wheel and tyre with one mounted dimension changed by ``by_mm``; traced profiles scale."""
    size = section.mounted
    if what == "wheel offset":
        return replace(wheel, offset_mm=wheel.offset_mm + by_mm), tyre
    width, diameter, drop = size.section_width_mm, size.overall_diameter_mm, size.shoulder_drop_mm
    tread = size.tread_width_mm if tyre.tread_width_mm is not None else None
    profile = tyre.profile
    if what == "section width":
        profile = tuple((b * (width + by_mm) / width, r) for b, r in profile)
        width += by_mm
    elif what == "overall diameter":
        seat, height = size.rim_radius_mm, size.section_height_mm
        profile = tuple((b, seat + (r - seat) * (height + by_mm / 2) / height) for b, r in profile)
        diameter += by_mm
    elif what == "shoulder drop":
        drop += by_mm
    return wheel, replace(
        tyre,
        section_width_mm=width,
        measuring_rim_in=None,
        overall_diameter_mm=diameter,
        tread_width_mm=tread,
        shoulder_drop_mm=drop,
        profile=profile,
    )


def _pose(
    setting: Setting, section: Section, found: Closest, book: _Book
) -> list[tuple[str, Array]]:
    """Parts from planned camber, toe and height, and from the limits of bump and lock."""
    planned, limits = setting.corner.planned, setting.corner.limits
    sigma: dict[str, float] = {}
    if planned.camber_deg is not None:
        sigma["planned camber"] = book.sigma(planned.sigma_camber_deg, defaults.CAMBER)
    sigma["planned toe"] = book.sigma(planned.sigma_toe_deg, defaults.TOE)
    sigma["ride height"] = book.sigma(planned.sigma_ride_height_mm, defaults.RIDE_HEIGHT)
    if limits.bump_mm is not None:
        sigma["bump limit"] = book.sigma(None, defaults.BUMP_LIMIT)
    if limits.steer_in_deg > 0 or limits.steer_out_deg > 0:
        sigma["steering lock"] = book.sigma(None, defaults.STEER_LIMIT)
    steps = {"planned camber": STEP_DEG, "planned toe": STEP_DEG, "steering lock": STEP_DEG}
    changes = [(what, sign * steps.get(what, STEP_MM)) for what in sigma for sign in (1.0, -1.0)]
    try:
        gaps = _gaps_after(setting, section, found, changes)
    except (
        Unreachable,
        RestsOnStops,
    ):  # one step beyond what the suspension can do: take the steps one by one
        gaps = [_gap_or_none(setting, section, found, change) for change in changes]  # type: ignore[misc]
    here = _gaps_after(setting, section, found, [("nothing", 0.0)])[0]
    rows = []
    for index, (what, amount) in enumerate(sigma.items()):
        ahead, behind = gaps[2 * index], gaps[2 * index + 1]
        step = steps.get(what, STEP_MM)
        sides = [part for part in (ahead, behind) if part is not None]
        if len(sides) == 2:
            rows.append((what, (ahead - behind) / (2 * step) * amount))
        elif sides:
            rows.append((what, (sides[0] - here) / step * amount))
        else:
            raise Unreachable(f"no small change of {what} can be followed from the tightest pose")
    return rows


def _gap_or_none(
    setting: Setting, section: Section, found: Closest, change: tuple[str, float]
) -> Array | None:
    try:
        return _gaps_after(setting, section, found, [change])[0]
    except (Unreachable, RestsOnStops):
        return None


def _gaps_after(
    setting: Setting, section: Section, found: Closest, changes: list[tuple[str, float]]
) -> list[Array]:
    """Clearance (n,) of every feature at its held moment after each change of an input."""
    room, corner, motion = setting.room, setting.corner, setting.motion
    plans = [replan(corner.planned, what, by) for what, by in changes]
    settled = motion.settle(plans)
    count = len(room.courses)
    steers, travels = [], []
    for row, (what, by) in enumerate(changes):
        envelope = envelope_for(
            corner,
            setting.duty,
            static_travel=float(settled.static_travel[row]),
            more_bump_mm=by if what == "bump limit" else 0.0,
        )
        travels.append(envelope.travel(found.spots.steer, found.spots.share, found.spots.loaded))
        steers.append(
            _stretched(setting, found.spots.steer, by if what == "steering lock" else 0.0)
        )
    steer, travel = np.concatenate(steers), np.concatenate(travels)
    loaded = np.tile(found.spots.loaded, len(changes))
    steered = motion.steered(settled, np.repeat(np.arange(len(changes)), count), steer)
    poses = motion.travelled(settled, steered, np.arange(len(steer)), travel)
    if room.envelope.elastic is not None:
        bent = room.envelope.elastic.applied(poses)
        poses = type(poses)(
            np.where(loaded[:, None], bent.hub, poses.hub),
            np.where(loaded[:, None], bent.spin, poses.spin),
        )
    points = np.tile(room.points(found.spots), (len(changes), 1))
    moving = np.tile(room.moving, len(changes))[:, None]
    axial, radius = frames.meridian(
        points, np.where(moving, poses.hub, 0.0), np.where(moving, poses.spin, room.rest_spin)
    )
    gaps = section.distance(axial, radius).reshape(len(changes), count)
    return list(gaps - room.half_thickness_mm)


def replan(planned: Planned, what: str, by: float) -> Planned:
    """The plan with one of its figures changed by ``by`` (mm or degrees); others pass through."""
    if what == "planned camber" and planned.camber_deg is not None:
        return replace(planned, camber_deg=planned.camber_deg + by)
    if what == "planned toe":
        return replace(planned, toe_deg=planned.toe_deg + by)
    if what == "ride height":
        adjusters = planned.adjusters
        return replace(
            planned, adjusters=replace(adjusters, ride_height_mm=adjusters.ride_height_mm + by)
        )
    return planned


def _stretched(setting: Setting, steer: Array, by_deg: float) -> Array:
    """Steer angles (rad) at the same part of a lock that is ``by_deg`` larger."""
    limits = setting.corner.limits
    limit = np.where(steer > 0, limits.steer_in_deg, limits.steer_out_deg)
    return steer * np.where(limit > 0, 1.0 + by_deg / np.maximum(limit, 1e-9), 1.0)


def _central(gap: Callable[[float], Array], step: float) -> Array:
    """Central difference of a clearance at zero change."""
    slope: Array = (gap(step) - gap(-step)) / (2 * step)
    return slope
