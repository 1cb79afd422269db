"""The answer of every place: its tightest moment, weighed and judged."""

from __future__ import annotations

import numpy as np

from alignment.geometry.frames import Array
from common.message import Message, message
from common.verdicts import Verdict, worst
from fitment.engine import defaults
from fitment.engine.minimum.closest import Closest
from fitment.engine.minimum.setting import Setting
from fitment.engine.model import HARD, Feature, PoseAt, SpotAnswer, Wheel
from fitment.engine.solid.section import Section
from fitment.engine.uncertainty.budget import Uncertainty
from fitment.engine.uncertainty.this_car import Shift, corrected, shifts
from fitment.engine.verdict import judge, touch_chance

#: A clearance of so many sigmas over its margin is as good as any larger one.
ENOUGH_SIGMAS = 3.0


def spot_answers(
    setting: Setting,
    section: Section,
    found: Closest,
    moments: tuple[Array, Array],
    uncertainty: Uncertainty,
    certified_mm: Array | None = None,
) -> tuple[SpotAnswer, ...]:
    """Answers in the survey's order; ``moments`` is (axial, radius) of the tightest moments.

    Where the proved bounds ``certified_mm`` (n,) give another verdict, it is theirs.
    """
    proved = np.full(len(found.clearance_mm), np.nan) if certified_mm is None else certified_mm
    poses = _poses(setting, found)
    read_here = shifts(setting.corner, setting.duty)
    touch, on_tyre = section.nearest(*moments)
    answers = []
    for index, course in enumerate(setting.room.courses):
        feature, shift = course.feature, read_here.get(index)
        axial, radius = float(moments[0][index]), float(moments[1][index])
        shifted = shift.by_mm if shift else 0.0
        clearance, bound = (float(part[index]) + shifted for part in (found.clearance_mm, proved))
        parts, sigma = _uncertainty(uncertainty, index, shift, poses[index])
        needed = _needed(setting, feature)
        chance = touch_chance(clearance, sigma)
        note = _unknown_inside(section, setting.corner.wheel, axial, radius)
        answers.append(
            SpotAnswer(
                place=feature.place,
                carried_by=feature.carried_by,
                surface=feature.surface,
                clearance_mm=clearance,
                needed_mm=needed,
                sigma_mm=sigma,
                touch_chance=chance,
                verdict=Verdict.UNMEASURED if note else _verdict(clearance, bound, needed, sigma),
                at=poses[index],
                nearest_mm=(axial, radius),
                touch_mm=(float(touch[index, 0]), float(touch[index, 1])),
                part="tyre" if on_tyre[index] else "wheel",
                uncertainty=parts.parts[index],
                note=note,
                shift_mm=shifted,
                certified_mm=bound,
            )
        )
    return tuple(answers)


def enough_mm(setting: Setting, found: Closest, uncertainty: Uncertainty) -> Array:
    """Clearances (n,), corrections by this car's gaps left out, beyond which neither the verdict
    nor the chance of a touch changes."""
    poses = _poses(setting, found)
    read_here = shifts(setting.corner, setting.duty)
    enough = []
    for index, course in enumerate(setting.room.courses):
        shift = read_here.get(index)
        _, sigma = _uncertainty(uncertainty, index, shift, poses[index])
        shifted = shift.by_mm if shift else 0.0
        enough.append(_needed(setting, course.feature) + ENOUGH_SIGMAS * sigma - shifted)
    return np.array(enough)


def _needed(setting: Setting, feature: Feature) -> float:
    """The margin that the duty asks of a feature, mm."""
    duty = setting.duty
    return duty.needed_hard_mm if feature.surface == HARD else duty.needed_soft_mm


def _verdict(clearance: float, bound: float, needed: float, sigma: float) -> Verdict:
    """The worse of what a clearance and its proved bound would be judged."""
    known = [value for value in (clearance, bound) if not np.isnan(value)]
    return worst(judge(value, needed, touch_chance(value, sigma)) for value in known)


def _poses(setting: Setting, found: Closest) -> list[PoseAt]:
    """Pose of every tightest moment; what knuckle or strut carries is judged once, at rest."""
    spots, envelope = found.spots, setting.envelope
    travel = envelope.travel(spots.steer, spots.share, spots.loaded) - envelope.static_travel
    steer = np.degrees(spots.steer)
    return [
        PoseAt(float(travel[index]), float(steer[index]), bool(spots.loaded[index]))
        if moving
        else PoseAt(0.0, 0.0, False)
        for index, moving in enumerate(setting.room.moving)
    ]


def _uncertainty(
    uncertainty: Uncertainty, index: int, shift: Shift | None, moment: PoseAt
) -> tuple[Uncertainty, float]:
    """Doubt of a place, corrected where this car's gap was read near its tightest moment."""
    if shift is None or not shift.speaks_for(moment):
        return uncertainty, uncertainty.sigma(index, defaults.CAR_TO_CAR_MM)
    closer = corrected(uncertainty, shift)
    return closer, closer.sigma(index, defaults.SAME_CAR_MM)


def _unknown_inside(section: Section, wheel: Wheel, axial: float, radius: float) -> Message | None:
    """Why nothing can be said of a point inside the wheel; None where something can."""
    inside = radius < section.barrel_radius_mm and axial > section.rim_edge_axial_mm
    if not inside or (wheel.spoke_back and wheel.barrel_mm is not None):
        return None
    return message("inside.not-measured")
