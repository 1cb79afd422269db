"""What each thing that a hand can change does to every place.

Derivatives of the clearances by every adjuster, spacer, offset, tyre dimension, ride height
and packer, as a technician would see them: one thing is changed, toe is set again, camber
follows. Millimetres of clearance per millimetre, or per degree where the unit says so.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np

from alignment.geometry.frames import Array
from alignment.geometry.linkage import Unreachable
from alignment.geometry.model import ADJUSTERS, CURVES, Planned
from alignment.geometry.motion import adjuster_values
from fitment.engine.closest import Closest
from fitment.engine.envelope import RestsOnStops
from fitment.engine.held import Change, held_gaps, resized
from fitment.engine.model import Lever
from fitment.engine.mounted import BadSection
from fitment.engine.section import Section, section_of
from fitment.engine.setting import Setting

#: Wheel and tyre dimensions that have a lever.
SIZES = ("spacer", "wheel offset", "section width", "overall diameter")
STEP = 0.25  # mm, or a fiftieth of it in degrees
STEP_DEG = 0.01


def levers(
    setting: Setting, section: Section, found: Closest, moments: tuple[Array, Array]
) -> tuple[Lever, ...]:
    """Levers of one corner at its planned setting; ``moments`` is (axial, radius) of the places.

    An adjuster that cannot be moved a quarter of a millimetre either way has no lever.
    """
    rows = [_adjuster(setting, section, found, name) for name in _adjusters(setting)]
    if setting.corner.suspension.kind == CURVES and setting.corner.planned.camber_deg is not None:
        rows.append(_adjuster(setting, section, found, "camber"))
    rows += [_size(setting, section, moments, what) for what in SIZES]
    return tuple(row for row in rows if row is not None)


def as_set(setting: Setting) -> Planned:
    """The plan with every adjuster where it was solved to, so that camber follows from them."""
    planned = setting.corner.planned
    if setting.corner.suspension.kind == CURVES:
        return planned
    plan = replace(planned, camber_deg=None, camber_by=None)
    for name, value in setting.solved.items():
        plan = with_adjuster(plan, name, value)
    return plan


def with_adjuster(planned: Planned, name: str, value: float) -> Planned:
    """A plan with one adjuster, rods as ``rod:NAME``, at a position."""
    adjusters = planned.adjusters
    if name.startswith("rod:"):
        rods = {**adjusters.rods_mm, name[4:]: value}
        return replace(planned, adjusters=replace(adjusters, rods_mm=rods))
    changed: dict[str, Any] = {name: value}
    return replace(planned, adjusters=replace(adjusters, **changed))


def _adjusters(setting: Setting) -> list[str]:
    """Adjusters of this kind that change more than toe, rods as ``rod:NAME``."""
    suspension = setting.corner.suspension
    names = [
        name
        for name, kinds in ADJUSTERS.items()
        if suspension.kind in kinds and name != "toe_link_mm"
    ]
    return names + [f"rod:{rod.name}" for rod in suspension.links if not rod.toe]


def moved(planned: Planned, name: str, by: float) -> Planned:
    """A plan with one adjuster moved, or ``camber`` where the plan states it."""
    if name == "camber" and planned.camber_deg is not None:
        return replace(planned, camber_deg=planned.camber_deg + by)
    return with_adjuster(planned, name, adjuster_values(planned.adjusters).get(name, 0.0) + by)


def _adjuster(setting: Setting, section: Section, found: Closest, name: str) -> Lever | None:
    unit = "°" if name in ("camber", "knuckle_camber_deg") else "mm"
    step = STEP_DEG if unit == "°" else STEP
    base = as_set(setting)
    for ahead, behind in ((step, -step), (step, 0.0), (0.0, -step)):
        plans = [moved(base, name, by) for by in (ahead, behind)]
        try:
            gaps = held_gaps(setting, section, found, [Change(plan) for plan in plans])
            camber = np.degrees(setting.motion.settle(plans).camber)
        except (Unreachable, RestsOnStops):
            continue
        slope = (gaps[0] - gaps[1]) / (ahead - behind)
        turn = float(camber[0] - camber[1]) / (ahead - behind)
        return Lever(name, unit, tuple(float(part) for part in slope), turn)
    return None


def _size(
    setting: Setting, section: Section, moments: tuple[Array, Array], what: str
) -> Lever | None:
    wheel, tyre = setting.corner.wheel, setting.corner.tyre
    for ahead, behind in ((STEP, -STEP), (STEP, 0.0), (0.0, -STEP)):
        try:
            gaps = [
                section_of(*resized(wheel, tyre, section, what, by)).distance(*moments)
                for by in (ahead, behind)
            ]
        except BadSection:
            continue
        slope = (gaps[0] - gaps[1]) / (ahead - behind)
        return Lever(what, "mm", tuple(float(part) for part in slope), 0.0)
    return None
