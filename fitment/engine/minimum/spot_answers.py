"""The answer of every spot: its tightest moment, weighed and judged."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from alignment.geometry.frames import Array
from fitment.engine import defaults
from fitment.engine.minimum.closest import Closest
from fitment.engine.minimum.setting import Setting
from fitment.engine.model import (
    HARD,
    UNMEASURED,
    Assumed,
    DoubtPart,
    PoseAt,
    Remark,
    SigmaParts,
    SpotAnswer,
    Wheel,
)
from fitment.engine.solid.section import Section
from fitment.engine.uncertainty.budget import Budget, budget_of
from fitment.engine.uncertainty.inputs import BETWEEN_CARS, JOB, SURVEY, Inputs, shares, sigmas
from fitment.engine.uncertainty.this_car import corrected
from fitment.engine.uncertainty.touching import joined, touch_chance
from fitment.engine.verdict import judge, judge_whole

#: Shares of an uncertainty below this are not named, mm.
NAMED_MM = 5e-4


@dataclass(frozen=True)
class Weighed:
    """The spots of a corner, judged, and all that their clearances hang on.

    ``clearance_mm`` (m,) and ``inputs`` are those of the moments of every spot that can be judged:
    what a chance for the corner or the car is worked out from.
    """

    spots: tuple[SpotAnswer, ...]
    clearance_mm: Array
    inputs: tuple[Inputs, ...]
    assumed: tuple[Assumed, ...]
    left_out: tuple[Remark, ...] = ()

    def verdict(self) -> tuple[str, Remark | None]:
        """Verdict of the corner as far as its spots go, and a remark where they go together."""
        chance, most = self.any_touch_chance, defaults.CORNER_MAY_TOUCH
        return judge_whole((spot.verdict for spot in self.spots), chance, most)

    @cached_property
    def any_touch_chance(self) -> float:
        """Chance that anything touches on this corner; no less than that of its worst spot."""
        judged = (s.touch_chance for s in self.spots if s.verdict != UNMEASURED)
        together = touch_chance(self.clearance_mm, joined([self.inputs]))
        return max(together, max(judged, default=0.0))


def any_touch_chance(corners: Sequence[Weighed]) -> float:
    """Chance that anything touches on a car; no less than on its worst corner."""
    if len(corners) == 1:
        return corners[0].any_touch_chance
    gaps = np.concatenate([corner.clearance_mm for corner in corners])
    together = touch_chance(gaps, joined([corner.inputs for corner in corners]))
    return max(together, *(corner.any_touch_chance for corner in corners))


def weigh(setting: Setting, section: Section, coarse: Section, found: Closest) -> Weighed:
    """Judge every spot, in the survey's order; ``coarse`` is the rough twin of ``section``."""
    poses = _poses(setting, found)
    budget, shift, left_out = corrected(setting, budget_of(setting, section, coarse, found), poses)
    moments = budget.moments
    gaps = moments.clearance_mm + shift[moments.which]
    slopes, sigma = joined([budget.inputs]), sigmas(budget.inputs)
    touch, on_tyre = section.nearest(
        moments.axial_mm[: len(poses)], moments.radius_mm[: len(poses)]
    )
    answers, known = [], np.zeros(len(gaps), bool)
    for index, course in enumerate(setting.room.courses):
        feature, duty = course.feature, setting.duty
        axial, radius = float(moments.axial_mm[index]), float(moments.radius_mm[index])
        needed = duty.needed_hard_mm if feature.surface == HARD else duty.needed_soft_mm
        rows = moments.which == index
        chance = touch_chance(gaps[rows], slopes[rows])
        note = _unknown_inside(section, setting.corner.wheel, axial, radius)
        known |= rows & (not note)
        clearance = float(gaps[index])
        answers.append(
            SpotAnswer(
                place=feature.place,
                carried_by=feature.carried_by,
                surface=feature.surface,
                clearance_mm=clearance,
                needed_mm=needed,
                sigma_mm=float(sigma[index]),
                touch_chance=chance,
                verdict=UNMEASURED if note else judge(clearance, needed, chance),
                at=poses[index],
                nearest_mm=(axial, radius),
                touch_mm=(float(touch[index, 0]), float(touch[index, 1])),
                part="tyre" if on_tyre[index] else "wheel",
                uncertainty=_parts(budget, index),
                note=note,
                shift_mm=float(shift[index]),
                sigma_parts=_sigma_parts(budget, index),
            )
        )
    inputs = tuple(
        Inputs(block.source, block.kind, block.keys, block.mm[known]) for block in budget.inputs
    )
    return Weighed(tuple(answers), gaps[known], inputs, budget.assumed, left_out)


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


def _parts(budget: Budget, index: int) -> tuple[DoubtPart, ...]:
    """Shares of a spot's uncertainty by source, the largest first."""
    found = shares(budget.inputs, index).items()
    return tuple(DoubtPart(source, mm) for source, mm in found if mm > NAMED_MM)


def _sigma_parts(budget: Budget, index: int) -> SigmaParts:
    parts = budget.parts_mm(index)
    return SigmaParts(*(parts.get(kind, 0.0) for kind in (SURVEY, BETWEEN_CARS, JOB)))


def _unknown_inside(section: Section, wheel: Wheel, axial: float, radius: float) -> str:
    """Why nothing can be said of a point inside the wheel; empty where something can."""
    inside = radius < section.barrel_radius_mm and axial > section.rim_edge_axial_mm
    if not inside or (wheel.spoke_back and wheel.barrel_mm is not None):
        return ""
    return "inside the wheel: the back of the spokes and the barrel were not measured"
