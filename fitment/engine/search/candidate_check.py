"""One changed plan of an axle, and what a full check says of wheels and tyres on it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from alignment.geometry.frames import Array, Flags, Index
from alignment.geometry.linkage import Unreachable
from common.message import Message, message
from common.verdicts import Verdict, worst
from fitment.engine import defaults
from fitment.engine.check import Decided, Solids, answer_of, decided, solids_of
from fitment.engine.minimum.coverage import coverage, uncovered
from fitment.engine.minimum.setting import Setting
from fitment.engine.model import Corner, CornerAnswer, SpotAnswer, Tyre, Wheel
from fitment.engine.search.combos import Combos
from fitment.engine.search.screening import LIGHT, Weighed, weigh
from fitment.engine.solid.section import section_of
from fitment.engine.spot_answers import any_touch_chance, unknown_inside
from fitment.engine.uncertainty.budget import between_cars_mm
from fitment.engine.verdict import judge_whole

#: A clearance under so many of its least sigmas may touch: the chance of a check's ``doubtful``.
SIGMAS = 1.6448


@dataclass(frozen=True)
class Judged:
    """What a full check of the axle says of a candidate.

    ``place`` decides where it does not clear, or is what was not measured. ``least_mm`` is the
    least clearance; ``corners`` and ``answers``, by name, are kept of what clears.
    """

    verdict: Verdict
    place: str | Message
    least_mm: float = -np.inf
    corners: Mapping[str, Corner] | None = None
    answers: Mapping[str, CornerAnswer] | None = None


@dataclass(frozen=True)
class Stand:
    """One changed plan of one corner, all wheels and tyres held against it."""

    names: tuple[str, ...]
    setting: Setting
    weighed: Weighed
    required: Array  # clearance (features,) up to which no check says clear or tight

    def with_fit(self, wheel: Wheel, tyre: Tyre) -> Setting:
        """The corner with a wheel and tyre on it; its room stays."""
        corner = replace(self.setting.corner, wheel=wheel, tyre=tyre)
        return replace(self.setting, corner=corner)


def stand_of(names: tuple[str, ...], setting: Setting, combos: Combos) -> Stand:
    """Hold all wheels and tyres against one changed plan."""
    return Stand(names, setting, weigh(setting, combos, LIGHT), _required(setting))


def judge(stands: Sequence[Stand], wheel: Wheel, tyre: Tyre) -> Judged:
    """What a full check says of a candidate: the verdict of ``check.run`` for all its corners.

    A clearance that was found somewhere bounds the least one from above, so a check is not carried
    to its end where that alone tells that no spot can be clear or tight.
    """
    try:
        return _judged([(stand, stand.with_fit(wheel, tyre)) for stand in stands])
    except Unreachable:
        return Judged(Verdict.UNMEASURED, message("limit.pose-beyond-linkage"))


def _judged(settings: Sequence[tuple[Stand, Setting]]) -> Judged:
    for _, setting in settings:  # quick, and enough where a survey does not cover the duty
        section = section_of(setting.corner.wheel, setting.corner.tyre)
        missing = uncovered(setting, coverage(setting, section))
        if missing:
            return Judged(Verdict.UNMEASURED, missing[0])
    solids = []
    for stand, setting in settings:
        solids.append(solids_of(setting))
        gaps = solids[-1].found.clearance_mm + stand.weighed.shift
        spare = np.where(_unseen(setting, solids[-1]), np.inf, gaps - stand.required)
        if spare.min() <= 0:
            first = int(np.argmin(spare))
            verdict = Verdict.CONTACT if gaps[first] <= 0 else Verdict.DOUBTFUL
            return Judged(verdict, stand.weighed.places[first])
    wholes: list[Decided] = []
    for (_, setting), solid in zip(settings, solids, strict=True):
        whole = decided(setting, solid)
        if not whole.verdict.clears:
            return Judged(whole.verdict, _decides(whole))
        wholes.append(whole)
    parts = [
        whole.parts for (stand, _), whole in zip(settings, wholes, strict=True) for _ in stand.names
    ]
    verdict, _ = judge_whole(
        (whole.verdict for whole in wholes), any_touch_chance(parts), defaults.CAR_MAY_TOUCH
    )
    if not verdict.clears:
        likeliest = max(wholes, key=lambda whole: whole.parts.any_touch_chance)
        return Judged(verdict, _decides(likeliest))
    return _cleared(settings, wholes)


def _cleared(settings: Sequence[tuple[Stand, Setting]], wholes: Sequence[Decided]) -> Judged:
    corners: dict[str, Corner] = {}
    answers: dict[str, CornerAnswer] = {}
    for (stand, setting), whole in zip(settings, wholes, strict=True):
        answer = answer_of(setting, whole)
        for name in stand.names:
            corners[name], answers[name] = setting.corner, answer
    _, spot = tightest_of(answers)
    verdict = worst(answer.verdict for answer in answers.values())
    return Judged(verdict, spot.place, spot.clearance_mm, corners, answers)


def tightest_of(answers: Mapping[str, CornerAnswer]) -> tuple[str, SpotAnswer]:
    """The spot with the least clearance, and its corner."""
    rows = [(name, place) for name, one in answers.items() for place in one.places]
    return min(rows, key=lambda pair: pair[1].order_mm)


def _unseen(setting: Setting, solids: Solids) -> Flags:
    """Which spots are tightest inside a wheel that was not measured: nothing is said of them."""
    wheel = setting.corner.wheel
    seen = zip(*setting.room.meridian(solids.found.spots), strict=True)
    return np.array([bool(unknown_inside(solids.section, wheel, a, r)) for a, r in seen])


def _decides(whole: Decided) -> str | Message:
    """The spot whose verdict it is; where none has it by itself, the one likeliest to touch."""
    if whole.verdict == Verdict.UNMEASURED and whole.missing:
        return whole.missing[0]
    spots = whole.parts.spots
    own = [one for one in spots if one.verdict == whole.verdict]
    return max(own or spots, key=lambda one: one.touch_chance).place


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
    """For every fit the place (-1: none) that lies wholly inside a wheel that was not measured."""
    room, view = stand.setting.room, stand.weighed.view
    place = np.full(len(combos), -1)
    fits = np.flatnonzero(unknown[combos.wheel])
    if view is None or not len(fits):
        return place
    samples = view.samples
    edge = np.array([w.offset_mm + w.rim_mm / 2 + w.flange_mm for w in combos.wheels])
    rim_edge = np.array(combos.spacers_mm)[combos.spacer[fits]] - edge[combos.wheel[fits]]
    depth = [w.barrel_mm or 0.0 for w in combos.wheels]
    inner = np.array([w.seat_radius_mm for w in combos.wheels]) - np.array(depth)
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
