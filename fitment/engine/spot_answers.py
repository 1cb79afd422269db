"""The answer of every spot: its tightest moment, weighed and judged."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from alignment.geometry.frames import Array
from common.message import Message, message
from common.verdicts import Verdict, worst
from fitment.engine import defaults
from fitment.engine.margins import margins
from fitment.engine.minimum.setting import Setting
from fitment.engine.model import (
    SigmaParts,
    SpotAnswer,
    UncertaintyPart,
    Wheel,
    without_clearance,
)
from fitment.engine.solid.section import Section
from fitment.engine.uncertainty.budget import Budget
from fitment.engine.uncertainty.inputs import BETWEEN_CARS, JOB, SURVEY, Inputs, shares, sigmas
from fitment.engine.uncertainty.touching import joined, touch_chance
from fitment.engine.verdict import judge, judge_whole

#: A clearance of so many sigmas over its margin is as good as any larger one.
ENOUGH_SIGMAS = 3.0
#: Shares of an uncertainty below this are not named, mm.
NAMED_MM = 5e-4


@dataclass(frozen=True)
class Judged:
    """The spots of a corner, judged, and all that their clearances hang on.

    ``clearance_mm`` (m,) and ``inputs`` are those of the moments of every spot that can be judged:
    what a chance for the corner or the car is worked out from. ``notes`` say what was added to
    their margins.
    """

    spots: tuple[SpotAnswer, ...]
    clearance_mm: Array
    inputs: tuple[Inputs, ...]
    notes: tuple[Message, ...] = ()

    def verdict(self) -> tuple[Verdict, tuple[Message, ...]]:
        """Verdict of the corner as far as its spots go, and a message where they go together."""
        chance, most = self.any_touch_chance, defaults.CORNER_MAY_TOUCH
        return judge_whole((spot.verdict for spot in self.spots), chance, most)

    @cached_property
    def any_touch_chance(self) -> float:
        """Chance that anything touches on this corner; no less than that of its worst spot, and
        NaN where no spot is known."""
        known = [spot.touch_chance for spot in self.spots if spot.is_measured]
        if not known:
            return math.nan
        together = touch_chance(self.clearance_mm, joined([self.inputs]))
        return max(together, *known)


def any_touch_chance(corners: Sequence[Judged]) -> float:
    """Chance that anything touches on a car; no less than on its worst corner."""
    corners = [corner for corner in corners if not math.isnan(corner.any_touch_chance)]
    if len(corners) < 2:
        return corners[0].any_touch_chance if corners else math.nan
    gaps = np.concatenate([corner.clearance_mm for corner in corners])
    together = touch_chance(gaps, joined([corner.inputs for corner in corners]))
    return max(together, *(corner.any_touch_chance for corner in corners))


def judged(
    setting: Setting, section: Section, budget: Budget, certified_mm: Array | None = None
) -> Judged:
    """Answers in the survey's order.

    Where the proved bounds ``certified_mm`` (n,) give another verdict, it is theirs. A spot inside
    a wheel that was not measured has none.
    """
    moments, shift = budget.moments, budget.shift_mm
    count = len(setting.room.courses)
    proved = np.full(count, np.nan) if certified_mm is None else certified_mm + shift
    gaps = moments.clearance_mm + shift[moments.which]
    slopes, sigma = joined([budget.inputs]), sigmas(budget.inputs)
    touch, on_tyre = section.nearest(moments.axial_mm[:count], moments.radius_mm[:count])
    asked = margins(setting, section, moments)
    answers, known = [], np.zeros(len(gaps), bool)
    for index, course in enumerate(setting.room.courses):
        feature = course.feature
        axial, radius = float(moments.axial_mm[index]), float(moments.radius_mm[index])
        needed = float(asked.needed_mm[index])
        rows = moments.which == index
        chance = touch_chance(gaps[rows], slopes[rows])
        note = unknown_inside(section, setting.corner.wheel, axial, radius)
        known |= rows & (not note)
        clearance, bound = float(gaps[index]), float(proved[index])
        lower = touch_chance(gaps[rows] - max(clearance - bound, 0.0), slopes[rows])
        answer = SpotAnswer(
            place=feature.place,
            carried_by=feature.carried_by,
            surface=feature.surface,
            clearance_mm=clearance,
            needed_mm=needed,
            sigma_mm=float(sigma[index]),
            touch_chance=chance,
            verdict=_verdict((clearance, chance), (bound, lower), needed),
            at=budget.poses[index],
            nearest_mm=(axial, radius),
            touch_mm=(float(touch[index, 0]), float(touch[index, 1])),
            part="tyre" if on_tyre[index] else "wheel",
            uncertainty=_parts(budget, index),
            shift_mm=float(shift[index]),
            certified_mm=bound,
            sigma_parts=_sigma_parts(budget, index),
        )
        if note:
            answer = without_clearance(replace(answer, verdict=Verdict.UNMEASURED, note=note))
        answers.append(answer)
    inputs = tuple(
        Inputs(block.source, block.kind, block.keys, block.mm[known]) for block in budget.inputs
    )
    return Judged(tuple(answers), gaps[known], inputs, asked.notes(setting))


def enough_mm(setting: Setting, section: Section, budget: Budget) -> Array:
    """Clearances (n,), corrections by this car's gaps left out, beyond which neither the verdict
    nor the chance of a touch changes."""
    needed = margins(setting, section, budget.moments).needed_mm
    sigma = sigmas(budget.inputs)[: len(needed)]
    return np.asarray(needed + ENOUGH_SIGMAS * sigma - budget.shift_mm, float)


def _verdict(found: tuple[float, float], proved: tuple[float, float], needed_mm: float) -> Verdict:
    """The worse of what a clearance and its proved bound, each with its chance, are judged."""
    known = [one for one in (found, proved) if not np.isnan(one[0])]
    return worst(judge(clearance, needed_mm, chance) for clearance, chance in known)


def _parts(budget: Budget, index: int) -> tuple[UncertaintyPart, ...]:
    """Shares of a spot's uncertainty by source, the largest first."""
    found = shares(budget.inputs, index).items()
    return tuple(UncertaintyPart(source, mm) for source, mm in found if mm > NAMED_MM)


def _sigma_parts(budget: Budget, index: int) -> SigmaParts:
    parts = budget.parts_mm(index)
    return SigmaParts(*(parts.get(kind, 0.0) for kind in (SURVEY, BETWEEN_CARS, JOB)))


def unknown_inside(section: Section, wheel: Wheel, axial: float, radius: float) -> Message | None:
    """Why nothing can be said of a point inside the wheel; None where something can."""
    # The usual barrel stands in for an unknown one, so what lies in it is not known to touch.
    reach = section.rim_radius_mm if wheel.barrel_mm is None else section.barrel_radius_mm
    inside = radius < reach and axial > section.rim_edge_axial_mm
    if not inside or (wheel.spoke_back and wheel.barrel_mm is not None):
        return None
    return message("inside.not-measured")
