"""One changed plan of one corner, and what a check would say of wheels and tyres on it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from alignment.geometry.frames import Array, Flags, Index
from common.message import Message, message
from common.verdicts import Verdict, worst
from fitment.engine import defaults
from fitment.engine.certified import certified
from fitment.engine.minimum.closest import closest
from fitment.engine.minimum.coverage import uncovered
from fitment.engine.minimum.setting import Setting
from fitment.engine.model import Corner, Tyre, Wheel
from fitment.engine.search.combos import Combos
from fitment.engine.search.screening import LIGHT, Weighed, weigh
from fitment.engine.solid.section import section_of
from fitment.engine.spot_answers import spot_answers
from fitment.engine.uncertainty.budget import uncertainties

#: A clearance under so many of its least sigmas may touch: the chance of a check's ``doubtful``.
SIGMAS = 1.6448
#: Moments so near to one another have like doubts: steer (rad), share of height.
NEAR = np.array([np.radians(4.0), 0.15])


@dataclass(frozen=True)
class Doubted:
    """The doubt that a check found at one moment of a feature: steer (rad), share of height."""

    feature: int
    moment: tuple[float, float]
    sigma_mm: float

    def is_near(self, moment: Array) -> bool:
        """Whether a moment (2,) is so like this one that its doubt is too."""
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
    weighed = weigh(setting, combos, LIGHT)
    return Stand(names, setting, weighed, _required(setting, weighed))


def judge(stand: Stand, wheel: Wheel, tyre: Tyre) -> Judged:
    """Verdict of one corner as ``corner_answer`` gives it, without what only people read."""
    corner = replace(stand.setting.corner, wheel=wheel, tyre=tyre)
    setting = replace(stand.setting, corner=corner)
    section, coarse = (section_of(corner.wheel, corner.tyre, rough) for rough in (False, True))
    found = closest(setting.room, section, coarse)
    gaps = found.clearance_mm + stand.weighed.shift
    at = int(np.argmin(gaps - stand.weighed.needed))
    slack, place = float(gaps[at] - stand.weighed.needed[at]), stand.weighed.places[at]
    spare = gaps - stand.required
    if spare.min() <= 0:
        first = int(np.argmin(spare))
        verdict = Verdict.CONTACT if gaps[first] <= 0 else Verdict.DOUBTFUL
        return Judged(verdict, slack, stand.weighed.places[first])
    moments = setting.room.meridian(found.spots)
    uncertainty = uncertainties(setting, section, found, moments)
    places = spot_answers(setting, section, found, moments, uncertainty)
    verdict = worst(one.verdict for one in places)
    spots = found.spots
    learned = tuple(
        Doubted(index, (float(spots.steer[index]), float(spots.share[index])), one.sigma_mm)
        for index, one in enumerate(places)
    )
    if not verdict.clears:
        place = next(one.place for one in places if one.verdict == verdict)
        return Judged(verdict, slack, place, learned)
    missing = uncovered(corner, setting.room.courses, setting.room.rest_spin)
    if corner.limits.bump_mm is None:
        missing = (message("open.bump"), *missing)
    if missing:
        return Judged(Verdict.UNMEASURED, slack, missing[0], learned)
    proof = certified(setting, section, coarse, found, uncertainty)
    places = spot_answers(
        setting, section, proof.found, proof.moments, proof.uncertainty, proof.certified_mm
    )
    verdict = worst(one.verdict for one in places)
    tightest = min(places, key=lambda one: one.clearance_mm - one.needed_mm)
    slack = tightest.clearance_mm - tightest.needed_mm
    if not verdict.clears:
        tightest = next(one for one in places if one.verdict == verdict)
    return Judged(verdict, slack, tightest.place, learned)


def kind_of(wheel: Wheel, tyre: Tyre) -> tuple[object, ...]:
    """What wheels and tyres have in common whose doubts are alike."""
    measured = tyre.section_width_mm is not None
    shape = tyre.shoulder_drop_mm is None, bool(tyre.profile)
    known = measured, tyre.width_printed, tyre.sigma_width_mm, tyre.sigma_diameter_mm
    sigmas = wheel.sigma_offset_mm, wheel.sigma_width_mm
    return *known, *shape, *sigmas, wheel.sigma_barrel_mm, wheel.sigma_spoke_mm


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
    """For every fit the place (-1: none) that lies wholly inside a wheel nobody measured."""
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


def _required(setting: Setting, weighed: Weighed) -> Array:
    """Clearance (features,) that even the least doubt of a check would call doubtful."""
    present = setting.corner.present
    read = {gap.place for gap in present.gaps} if present is not None else set()
    least = [
        defaults.SAME_CAR_MM if place in read else defaults.CAR_TO_CAR_MM
        for place in weighed.places
    ]
    return SIGMAS * np.array(least)
