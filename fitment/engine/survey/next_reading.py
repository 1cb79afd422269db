"""What a check depends on most, what is missing for which use, and gaps before they are read.

Works on a :class:`fitment.engine.survey.reading_sheet.Sheet`. Texts are for technicians.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from alignment.geometry.linkage import Unreachable
from alignment.geometry.model import Limits, Planned
from common.message import Message, message
from fitment.engine import defaults
from fitment.engine.checkfile import Measured
from fitment.engine.minimum.coverage import TYPICAL, coverage, uncovered
from fitment.engine.minimum.envelope import RestsOnStops
from fitment.engine.minimum.setting import Setting, courses_of, motion_for, setting_of
from fitment.engine.model import BODY, LINK, Corner, Duty, GapReading, SpotAnswer, Tyre, Wheel
from fitment.engine.solid.section import section_of
from fitment.engine.survey.joined import single_spots_of
from fitment.engine.survey.reading_sheet import Sheet
from fitment.engine.survey.readings import LOCK_IN, LOCK_OUT, LOCKS, STANDING
from fitment.engine.survey.surveying import BadReading
from fitment.engine.uncertainty.this_car import (
    HEIGHT_READ_MM,
    Expectation,
    error_on_this_car,
    expected_gap,
)

#: Lock of a steered wheel where it is not read yet.
LOCK_DEG = 30.0
#: Standing at the height of the survey, straight ahead and at the locks.
STILL = Duty("standing", envelope=((0.0, 0.0), (1.0, 0.0)), droop_fraction=0.0)

# --- With a check at hand ---------------------------------------------------------------


@dataclass(frozen=True)
class Settling:
    """The reading that would cut a check's uncertainty most: one sigma before and after it."""

    place: SpotAnswer
    what: Message
    form: str
    pose: str
    before_mm: float
    after_mm: float


def settling(places: Sequence[SpotAnswer]) -> Settling | None:
    """Of the spot most likely doubtful, the reading that would cut it most; None if nothing would.

    A gap read on the car replaces what the survey put in; other readings make their own part as
    small as their form is good.
    """
    known = (place for place in places if place.is_measured)
    closest = sorted(known, key=lambda place: place.clearance_mm / max(place.sigma_mm, 0.1))
    for place in closest:
        found = [found for found in _settlings(place) if found.after_mm < 0.95 * found.before_mm]
        if found:
            return min(found, key=lambda settled: settled.after_mm)
    return None


def _settlings(place: SpotAnswer) -> Iterator[Settling]:
    parts = {part.source: part.mm for part in place.uncertainty}
    rest2 = {source: mm * mm for source, mm in parts.items()}
    before = place.sigma_mm

    def settled(
        what: Message, form: str, pose: str, sources: Sequence[str], left_mm: float
    ) -> Settling:
        rest = sum(mm for source, mm in rest2.items() if source not in sources)
        return Settling(place, what, form, pose, before, math.sqrt(rest + left_mm * left_mm))

    steer = place.at.steer_deg
    pose = LOCK_IN if steer > 5 else LOCK_OUT if steer < -5 else STANDING
    if place.carried_by == BODY:
        survey, between = place.sigma_parts.survey_mm, place.sigma_parts.between_cars_mm
        own = math.hypot(defaults.GAP_READING.value, defaults.PRESENT_TYRE_MM, HEIGHT_READ_MM)
        read = error_on_this_car(np.zeros(1), np.array([own]), survey, between)[1]
        left = min(math.hypot(read, defaults.SAME_CAR_MM), math.hypot(survey, between))
        what = message("settle.gap", spot=place.place, pose=message(f"stood.{pose}"))
        yield Settling(place, what, "gap", pose, before, math.hypot(place.sigma_parts.job_mm, left))
    if "bump limit" in parts:
        share = parts["bump limit"] / defaults.BUMP_LIMIT.value
        yield settled(message("settle.bump"), "bump_left", STANDING, ("bump limit",), 3.0 * share)
    if "steering lock" in parts:
        share = parts["steering lock"] / defaults.STEER_LIMIT.value
        lock = pose if pose != STANDING else LOCK_IN
        yield settled(message("settle.plate"), "pose", lock, ("steering lock",), 0.3 * share)
    if "ride height" in parts:
        share = parts["ride height"] / defaults.RIDE_HEIGHT.value
        yield settled(message("settle.height"), "setting", STANDING, ("ride height",), 2.0 * share)


# --- What is missing --------------------------------------------------------------------


@dataclass(frozen=True)
class Use:
    """A use of a survey and what keeps it from being told."""

    name: Message
    missing: tuple[Message, ...]


def uses(measured: Measured | None, sheet: Sheet, *, steered: bool) -> tuple[Use, ...]:
    """For each use what is missing; ``measured`` is the survey as it would become."""
    if measured is None:
        nothing = (message("lacks.survey"),)
        return tuple(Use(message(f"use.{name}"), nothing) for name in ("standing", "driven"))
    standing = _uncovered(measured, sheet, STILL, steered=False)
    found = [Use(message("use.standing"), tuple(w for w in standing if w != TYPICAL))]
    driven = list(_uncovered(measured, sheet, defaults.STREET, steered=steered))
    if steered:
        locks = [
            message("lacks.turn-plate", pose=message(f"stood.{lock}"))
            for lock, stop in (
                (LOCK_IN, measured.limits.steer_in_deg),
                (LOCK_OUT, measured.limits.steer_out_deg),
            )
            if not stop
        ]
        at_locks = _uncovered(measured, sheet, STILL, steered=True)
        found.append(Use(message("use.locks"), (*at_locks, *locks)))
        driven += locks
    if measured.limits.bump_mm is None:
        driven.append(message("lacks.bump"))
    found.append(Use(message("use.bumps"), tuple(driven)))
    if measured.compliance is None or measured.compliance.assumed:
        driven.append(message("lacks.compliance"))
    found.append(Use(message("use.side-load"), tuple(driven)))
    return tuple(found)


def _uncovered(
    measured: Measured, sheet: Sheet, duty: Duty, *, steered: bool
) -> tuple[Message, ...]:
    """What has to be looked at of what a use visits, with the wheel that is on the car."""
    wheel, tyre = sheet.fitted or (Wheel(17.0, 8.0, 45.0), Tyre("225/45R17"))
    survey, limits = measured.survey, measured.limits
    locks = (
        lock or LOCK_DEG if steered else 0.0 for lock in (limits.steer_in_deg, limits.steer_out_deg)
    )
    corner = Corner(
        survey,
        measured.suspension,
        Limits(limits.bump_mm, limits.droop_mm, *locks),
        Planned(survey.toe_deg),
        wheel,
        tyre,
    )
    try:
        courses_of(corner, motion_for(corner))
    except Unreachable:
        return (message("lacks.possible-pose"),)
    try:
        setting = setting_of("sheet", corner, duty)
        sectors = coverage(setting, section_of(wheel, tyre))
    except (Unreachable, RestsOnStops) as error:
        return (error.message,)
    return uncovered(setting, sectors)


# --- Before it is read ------------------------------------------------------------------


class GapsExpected:
    """The gaps that the survey so far expects between its places and the tyre on the car.

    Raises BadReading while the tyre is not known, Unreachable or RestsOnStops where the corner
    cannot stand so.
    """

    def __init__(self, sheet: Sheet, measured: Measured) -> None:
        if sheet.fitted is None:
            raise BadReading("", "Read the wheel and tyre on the car first.")
        wheel, tyre = sheet.fitted
        survey = measured.survey
        corner = Corner(
            survey, measured.suspension, measured.limits, Planned(survey.toe_deg), wheel, tyre
        )
        self._sheet = sheet
        self._setting: Setting = setting_of("sheet", corner, defaults.STREET)
        self.places = tuple(
            feature.place for feature in survey.features if feature.carried_by in (BODY, LINK)
        )
        self._index = {feature.place: i for i, feature in enumerate(survey.features)}

    def gap(self, place: str, pose: str) -> Expectation | None:
        """The tightest gap expected at a place; None for a place or pose that is not known."""
        steer = 0.0 if pose == STANDING else self._sheet.steer_deg(pose)
        if place not in self.places and pose in LOCKS:
            place = single_spots_of(place)
        if place not in self.places or steer is None:
            return None
        reading = GapReading(place, 0.0, self._sheet.travel_mm(pose), steer)
        other_car = self._sheet.base is not None
        return expected_gap(self._setting, self._index[place], reading, other_car=other_car)
