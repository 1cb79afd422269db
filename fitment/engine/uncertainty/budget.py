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
from common.message import Message, message
from fitment.engine import defaults
from fitment.engine.defaults import DefaultSigma
from fitment.engine.minimum.closest import Closest
from fitment.engine.minimum.rolled_lips import is_rolled
from fitment.engine.minimum.setting import Setting
from fitment.engine.model import Assumed, DoubtPart
from fitment.engine.solid.mounted import BadSection
from fitment.engine.solid.section import Section
from fitment.engine.uncertainty.compliance import under_load
from fitment.engine.uncertainty.first_order_effects import Change, each_held, resized_gaps
from fitment.engine.uncertainty.hub_path import over_travel

#: Steps of the central differences: a millimetre and a twentieth of a degree.
STEP_MM, STEP_DEG = 1.0, 0.05


@dataclass(frozen=True)
class Uncertainty:
    """Per feature: the parts of its doubt; and what was assumed for want of a figure."""

    parts: tuple[tuple[DoubtPart, ...], ...]
    assumed: tuple[Assumed, ...]

    def sigma(self, index: int, least_mm: float) -> float:
        """Standard uncertainty (mm) of one feature's clearance, never below ``least_mm``."""
        return max(float(np.sqrt(sum(part.mm**2 for part in self.parts[index]))), least_mm)


def uncertainties(
    setting: Setting, section: Section, found: Closest, moments: tuple[Array, Array]
) -> Uncertainty:
    """Doubt of every feature's clearance at its tightest moment, (axial, radius) there."""
    book = _Book(setting)
    rows = [
        *_survey(setting, section, found, book),
        *_tyre_and_wheel(setting, section, moments, book),
        *_pose(setting, section, found, book),
        *over_travel(setting, section, found, book),
        *under_load(setting, section, found, book),
    ]
    count = len(found.clearance_mm)
    parts = tuple(
        tuple(
            DoubtPart(source, float(abs(mm[index]))) for source, mm in rows if abs(mm[index]) > 5e-4
        )
        for index in range(count)
    )
    return Uncertainty(parts, tuple(book.assumed))


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
    points, hub, spin = room.seen(found.spots)
    read_hub = np.array([course.hub if course.polar else np.zeros(3) for course in room.courses])
    read_spin = np.array(
        [course.spin if course.polar else room.rest_spin for course in room.courses]
    )
    out = points - read_hub
    out = out - np.sum(out * read_spin, axis=1, keepdims=True) * read_spin
    out = out / np.maximum(np.linalg.norm(out, axis=1, keepdims=True), 1e-9)

    def gap(shift: Array) -> Array:
        return section.distance(*frames.meridian(points + shift, hub, spin))

    by_axial = _central(lambda h: gap(h * read_spin), STEP_MM)
    rows = [
        ("survey radius", _central(lambda h: gap(h * out), STEP_MM) * sigma),
        ("survey axial", by_axial * sigma),
    ]
    planned = setting.corner.planned
    rolled = np.array([is_rolled(course.feature, planned) for course in room.courses])
    if rolled.any():
        rows.append(("rolled lip", by_axial * rolled * book.sigma(None, defaults.ROLLED_LIP)))
    return rows


def _tyre_and_wheel(
    setting: Setting, section: Section, moments: tuple[Array, Array], book: _Book
) -> list[tuple[str, Array]]:
    """Parts from the tyre's dimensions and the wheel's, as far as the latter are stated."""
    wheel, tyre, size = setting.corner.wheel, setting.corner.tyre, section.mounted
    if tyre.section_width_mm is None:
        width = defaults.WIDTH_NOMINAL
    else:
        width = defaults.WIDTH_PRINTED if tyre.width_printed else defaults.WIDTH_MEASURED
    sigma = {
        "section width": book.sigma(tyre.sigma_width_mm, width),
        "overall diameter": book.sigma(tyre.sigma_diameter_mm, defaults.DIAMETER),
        "wheel offset": book.sigma(wheel.sigma_offset_mm, defaults.OFFSET),
    }
    for what, stated in (
        ("wheel width", wheel.sigma_width_mm),
        ("barrel", wheel.sigma_barrel_mm),
        ("back of the spokes", wheel.sigma_spoke_mm),
    ):
        if stated is not None:
            sigma[what] = stated
    if size.assumed_shoulder:
        sigma["shoulder drop"] = book.sigma(None, defaults.SHOULDER_DROP)

    def gap(what: str, h: float) -> Array:
        return resized_gaps(setting.corner, section, moments, what, h)

    rows = []
    for what, amount in sigma.items():
        try:
            rows.append((what, _central(lambda h, what=what: gap(what, h), STEP_MM) * amount))  # type: ignore[misc]
        except BadSection:  # at the edge of what is a tyre: half the step on the side that is one
            rows.append((what, (gap(what, 0.0) - gap(what, -STEP_MM)) / STEP_MM * amount))
    return rows


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
    signed = [(what, sign * steps.get(what, STEP_MM)) for what in sigma for sign in (1.0, -1.0)]
    changes = [_change(planned, what, by) for what, by in signed]
    gaps = [
        None if row is None else row.gaps[0] for row in each_held(setting, section, found, changes)
    ]
    rows = []
    for index, (what, amount) in enumerate(sigma.items()):
        sides = [gap for gap in gaps[2 * index : 2 * index + 2] if gap is not None]
        step = steps.get(what, STEP_MM)
        if len(sides) == 2:
            rows.append((what, (sides[0] - sides[1]) / (2 * step) * amount))
        elif sides:
            rows.append((what, (sides[0] - found.clearance_mm) / step * amount))
        else:
            raise Unreachable(_at_the_end(setting, found, what))
    return rows


def _at_the_end(setting: Setting, found: Closest, what: str) -> Message:
    """Why no small change of ``what`` can be followed: the tightest poses are all but the last
    that the linkage can take, in lock where one of them is steered, else in travel."""
    spots, envelope = found.spots.at(np.flatnonzero(setting.room.moving)), setting.envelope
    steer = np.degrees(spots.steer[np.argmax(np.abs(spots.steer))])
    travel = envelope.travel(spots.steer, spots.share, spots.loaded) - envelope.static_travel
    farthest = travel[np.argmax(np.abs(travel))]
    source = message(f"source.{what}")
    if steer == 0.0:
        return message("stop.no-change-of-travel", travel_mm=float(farthest), source=source)
    return message("stop.no-change-of-lock", steer_deg=float(steer), source=source)


def _change(planned: Planned, what: str, by: float) -> Change:
    """One input of the plan or the limits changed by ``by`` (mm or degrees)."""
    if what == "planned camber" and planned.camber_deg is not None:
        return Change(replace(planned, camber_deg=planned.camber_deg + by))
    if what == "planned toe":
        return Change(replace(planned, toe_deg=planned.toe_deg + by))
    if what == "ride height":
        height = planned.adjusters.ride_height_mm + by
        adjusters = replace(planned.adjusters, ride_height_mm=height)
        return Change(replace(planned, adjusters=adjusters))
    bump = by if what == "bump limit" else 0.0
    return Change(planned, more_bump_mm=bump, more_lock_deg=by if what == "steering lock" else 0.0)


def _central(gap: Callable[[float], Array], step: float) -> Array:
    """Central difference of a clearance at zero change."""
    slope: Array = (gap(step) - gap(-step)) / (2 * step)
    return slope
