"""Effects: what each adjustment, spacer or tyre dimension does to the clearance of every spot.

Derivatives by central differences (standard method) of the clearances by every adjuster, spacer,
offset, tyre dimension, ride height and packer, as a technician would see them: one thing is
changed, toe is set again, camber follows. Millimetres of clearance per millimetre, or per degree
where the unit says so.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from alignment.geometry.frames import Array
from alignment.geometry.kinds import ROD_PREFIX
from alignment.geometry.model import ADJUSTERS, Planned
from alignment.geometry.motion import adjuster_values
from fitment.engine.minimum.closest import Closest
from fitment.engine.minimum.setting import Setting
from fitment.engine.model import Effect
from fitment.engine.solid.mounted import BadSection
from fitment.engine.solid.section import Section
from fitment.engine.uncertainty.first_order_effects import Change, each_held, resized_gaps
from fitment.engine.uncertainty.solid_inputs import STEP_MM

#: Wheel and tyre dimensions that have an effect.
SIZES = ("spacer", "wheel offset", "section width", "overall diameter")
STEP = 0.25  # mm, or a fiftieth of it in degrees
STEP_DEG = 0.01


def effects(
    setting: Setting, section: Section, found: Closest, moments: tuple[Array, Array]
) -> tuple[Effect, ...]:
    """Effects of one corner at its planned setting; ``moments`` is (axial, radius) of the spots.

    An adjuster that cannot be moved a quarter of a millimetre either way has none.
    """
    rows = _adjuster_effects(setting, section, found)
    rows += [_size(setting, section, moments, what) for what in SIZES]
    return tuple(row for row in rows if row is not None)


def as_set(setting: Setting) -> Planned:
    """The plan with every adjuster where it was solved to, so that camber follows from them."""
    planned = setting.corner.planned
    if setting.corner.suspension.is_read_as_curves:
        return planned
    plan = replace(planned, camber_deg=None, camber_by=None)
    for name, value in setting.solved.items():
        plan = with_adjuster(plan, name, value)
    return plan


def with_adjuster(planned: Planned, name: str, value: float) -> Planned:
    """A plan with one adjuster, rods as ``rod:NAME``, at a position."""
    adjusters = planned.adjusters
    if name.startswith(ROD_PREFIX):
        rods = {**adjusters.rods_mm, name.removeprefix(ROD_PREFIX): value}
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
    return names + [f"{ROD_PREFIX}{rod.name}" for rod in suspension.links if not rod.toe]


def moved(planned: Planned, name: str, by: float) -> Planned:
    """A plan with one adjuster moved, or ``camber`` where the plan states it."""
    if name == "camber" and planned.camber_deg is not None:
        return replace(planned, camber_deg=planned.camber_deg + by)
    return with_adjuster(planned, name, adjuster_values(planned.adjusters).get(name, 0.0) + by)


def _adjuster_effects(setting: Setting, section: Section, found: Closest) -> list[Effect | None]:
    names, base = _adjusters(setting), as_set(setting)
    if setting.corner.suspension.is_read_as_curves and base.camber_deg is not None:
        names.append("camber")
    steps = [STEP_DEG if _unit(name) == "°" else STEP for name in names]
    plans = [
        moved(base, name, sign * step)
        for name, step in zip(names, steps, strict=True)
        for sign in (1.0, -1.0)
    ]
    changes = [Change(plan) for plan in (base, *plans)]
    here, *there = each_held(setting, section, found.spots, changes)
    rows: list[Effect | None] = []
    for index, (name, step) in enumerate(zip(names, steps, strict=True)):
        sides = [side or here for side in there[2 * index : 2 * index + 2]]
        ahead, behind = sides
        count = sum(side is not here for side in sides)
        if ahead is None or behind is None or not count:
            rows.append(None)
            continue
        slope = (ahead.gaps[0] - behind.gaps[0]) / (count * step)
        turn = float(ahead.camber_deg[0] - behind.camber_deg[0]) / (count * step)
        rows.append(Effect(name, _unit(name), tuple(float(part) for part in slope), turn))
    return rows


def _unit(name: str) -> str:
    return "°" if name in ("camber", "knuckle_camber_deg") else "mm"


def _size(
    setting: Setting, section: Section, moments: tuple[Array, Array], what: str
) -> Effect | None:
    """Effect of a wheel or tyre dimension, by the same step as its uncertainty."""

    def gaps(by: float) -> Array:
        return resized_gaps(setting.corner, section, moments, what, by)

    for ahead, behind in ((STEP_MM, -STEP_MM), (STEP_MM, 0.0), (0.0, -STEP_MM)):
        try:
            slope = (gaps(ahead) - gaps(behind)) / (ahead - behind)
        except BadSection:
            continue
        return Effect(what, "mm", tuple(float(part) for part in slope), 0.0)
    return None
