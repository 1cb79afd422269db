"""One changed plan of one corner, and what a check would say of wheels and tyres on it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from alignment.geometry.frames import Array, Flags, Index
from common.message import Message, message
from common.verdicts import Verdict
from fitment.engine import defaults
from fitment.engine.certified import certified
from fitment.engine.minimum.closest import closest
from fitment.engine.minimum.coverage import coverage, uncovered
from fitment.engine.minimum.setting import Setting
from fitment.engine.model import Corner, SpotAnswer, Tyre, Wheel
from fitment.engine.search.combos import Combos
from fitment.engine.search.screening import LIGHT, Weighed, weigh
from fitment.engine.solid.section import section_of
from fitment.engine.spot_answers import judged
from fitment.engine.uncertainty.budget import between_cars_mm
from fitment.engine.uncertainty.this_car import weighed

#: A clearance under so many of its least sigmas may touch: the chance of a check's ``doubtful``.
SIGMAS = 1.6448
#: Moments so near to one another have like uncertainties: steer (rad), share of height.
NEAR = np.array([np.radians(4.0), 0.15])


@dataclass(frozen=True)
class Doubted:
    """The uncertainty found by a check at one moment of a feature: steer (rad), share of height."""

    feature: int
    moment: tuple[float, float]
    sigma_mm: float

    def is_near(self, moment: Array) -> bool:
        """Whether a moment (2,) is so like this one that its uncertainty is too."""
        return bool(np.all(np.abs(moment - self.moment) <= NEAR))


@dataclass(frozen=True)
class Judged:
    """What a check would say of one candidate; ``place`` may be what was not measured, instead."""

    verdict: Verdict
    slack_mm: float
    place: str | Message
    uncertainties: tuple[Doubted, ...] = ()


@dataclass(frozen=True)
class Stand:
    """One changed plan of one corner, all wheels and tyres held against it."""

    names: tuple[str, ...]
    setting: Setting
    weighed: Weighed
    required: Array  # least clearance (features,) below which no check says clear or tight


def stand_of(names: tuple[str, ...], setting: Setting, combos: Combos) -> Stand:
    """Hold all wheels and tyres against one changed plan."""
    return Stand(names, setting, weigh(setting, combos, LIGHT), _required(setting))


def judge(stand: Stand, wheel: Wheel, tyre: Tyre) -> Judged:
    """Verdict of one corner as ``corner_answer`` gives it, without what only people read."""
    corner = replace(stand.setting.corner, wheel=wheel, tyre=tyre)
    setting = replace(stand.setting, corner=corner)
    section, coarse = (section_of(corner.wheel, corner.tyre, rough) for rough in (False, True))
    found = closest(setting.room, section, coarse)
    gaps = found.clearance_mm + stand.weighed.shift
    at = int(np.argmin(gaps - stand.weighed.needed))
    slack = float(gaps[at] - stand.weighed.needed[at])
    spare = gaps - stand.required
    if spare.min() <= 0:
        first = int(np.argmin(spare))
        verdict = Verdict.CONTACT if gaps[first] <= 0 else Verdict.DOUBTFUL
        return Judged(verdict, slack, stand.weighed.places[first])
    budget = weighed(setting, section, coarse, found)
    parts = judged(setting, section, budget)
    places, (verdict, _) = parts.spots, parts.verdict()
    spots = found.spots
    learned = tuple(
        Doubted(index, (float(spots.steer[index]), float(spots.share[index])), one.sigma_mm)
        for index, one in enumerate(places)
    )
    if not verdict.clears:
        return Judged(verdict, slack, _decides(places, verdict), learned)
    missing = uncovered(setting, coverage(setting, section))
    if corner.limits.bump_mm is None:
        missing = (message("open.bump"), *missing)
    if missing:
        return Judged(Verdict.UNMEASURED, slack, missing[0], learned)
    proof = certified(setting, section, coarse, found, budget)
    parts = judged(setting, section, proof.budget, proof.certified_mm)
    places, (verdict, _) = parts.spots, parts.verdict()
    tightest = min(places, key=lambda one: one.clearance_mm - one.needed_mm)
    slack = tightest.clearance_mm - tightest.needed_mm
    decides = tightest.place if verdict.clears else _decides(places, verdict)
    return Judged(verdict, slack, decides, learned)


def _decides(places: tuple[SpotAnswer, ...], verdict: Verdict) -> str:
    """The spot whose verdict it is; where none has it by itself, the one likeliest to touch."""
    own = [one for one in places if one.verdict == verdict]
    return max(own or places, key=lambda one: one.touch_chance).place


def kind_of(wheel: Wheel, tyre: Tyre) -> tuple[object, ...]:
    """What wheels and tyres have in common whose uncertainties are alike."""
    known = tyre.how_width_is_known, tyre.how_diameter_is_known, tyre.shoulder
    shape = tyre.shoulder_drop_mm is None, tyre.tread_width_mm is None, bool(tyre.profile)
    sigmas = [
        value for one in (tyre, wheel) for name, value in vars(one).items() if "sigma" in name
    ]
    return *known, *shape, *sigmas


def apart(corners: Mapping[str, Corner]) -> list[tuple[tuple[str, ...], Corner]]:
    """Corners that differ, each with the names of all that are like it."""
    found: list[tuple[list[str], Corner]] = []
    for name, corner in corners.items():
        same = next((names for names, other in found if other == corner), None)
        if same is None:
            found.append(([name], corner))
        else:
            same.append(name)
    return [(tuple(names), corner) for names, corner in found]


def unseen_inside(stand: Stand, combos: Combos, unknown: Flags) -> Index:
    """For every fit the spot (-1: none) wholly inside a wheel whose inside is unmeasured."""
    room, view = stand.setting.room, stand.weighed.view
    place = np.full(len(combos), -1)
    fits = np.flatnonzero(unknown[combos.wheel])
    if view is None or not len(fits):
        return place
    samples = view.samples
    edge = np.array([w.offset_mm + w.rim_mm / 2 + w.flange_mm for w in combos.wheels])
    rim_edge = np.array(combos.spacers_mm)[combos.spacer[fits]] - edge[combos.wheel[fits]]
    depth = [defaults.BARREL_MM if w.barrel_mm is None else w.barrel_mm for w in combos.wheels]
    inner = np.array([12.7 * w.diameter_in for w in combos.wheels]) - np.array(depth)
    for index in np.flatnonzero(~room.moving):
        mine = samples.spots.which == index
        axial, radius = samples.axial[mine], samples.radius[mine]
        wholly = (radius.max() < inner[combos.wheel[fits]]) & (axial.min() > rim_edge)
        place[fits[wholly & (place[fits] < 0)]] = index
    return place


def _required(setting: Setting) -> Array:
    """Clearance (features,) that even the least doubt of a check would call doubtful."""
    present = setting.corner.present
    read = {gap.place for gap in present.gaps} if present is not None else set()
    least = []
    for feature in setting.corner.survey.features:
        between = between_cars_mm(feature)
        if feature.learned is not None:
            between = feature.learned.between_cars_mm
        least.append(min(between, defaults.SAME_CAR_MM) if feature.place in read else between)
    return SIGMAS * np.array(least)
