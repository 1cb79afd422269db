"""What to read next at a corner, and why; what is missing for which use; what looks wrong.

Works on a :class:`fitment.engine.sheet.Sheet`. Texts are for technicians.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from alignment.geometry.linkage import Unreachable
from alignment.geometry.model import Planned
from alignment.geometry.motion import motion_of
from fitment.engine import defaults
from fitment.engine.checkfile import Measured
from fitment.engine.correction import predicted_gap
from fitment.engine.coverage import uncovered
from fitment.engine.model import BODY, EDGE, LINK, Corner, GapReading, PlaceAnswer, Tyre, Wheel
from fitment.engine.readings import (
    HANGING,
    LOCK_IN,
    LOCK_OUT,
    POSES,
    STANDING,
    Reading,
)
from fitment.engine.setting import Setting, courses_of, setting_of
from fitment.engine.sheet import LIP, Sheet
from fitment.engine.surveying import BadReading

#: A step asked for at a clock counts as done by a reading this near to it, degrees.
NEAR_CLOCK_DEG = 12.0
#: Left and right apart by more than this are asked about, mm.
SIDES_APART_MM = 6.0
#: Two readings of one spot, two heights, and a gap against the model: apart by this, mm.
SAME_SPOT_MM, SAME_HEIGHT_MM, GAP_OFF_MM = 6.0, 10.0, 12.0
#: Camber by rack and by plumb line, degrees.
CAMBER_APART_DEG = 0.6
#: Hub-to-lip heights that cars have, mm.
HEIGHTS_MM = (220.0, 650.0)
#: Where a survey asks for the lip and for the panel inside, and for lone marks; degrees.
LIP_CLOCKS, PANEL_CLOCKS = (0.0, -30.0, 30.0, -60.0, 60.0), (0.0, -30.0, 30.0, -60.0, 60.0)
PARTS: dict[str, str] = {
    "A": "Wheel on, standing",
    "B": "Both locks, on turn plates",
    "C": "Wheel off, bar on the hub",
    "D": "Damper",
}


@dataclass(frozen=True)
class Step:
    """One reading to take: its part of the survey, its form, where, and why."""

    part: str
    form: str
    why: str
    place: str = ""
    pose: str = STANDING
    clock_deg: float | None = None
    done: bool = False


def steps(sheet: Sheet, *, steered: bool) -> tuple[Step, ...]:
    """The whole survey of a corner in the order of the work, each with whether it was done."""
    return tuple(_steps(sheet, steered))


def next_step(wanted: Sequence[Step]) -> Step | None:
    """The first that was not done."""
    return next((step for step in wanted if not step.done), None)


def _steps(sheet: Sheet, steered: bool) -> Iterator[Step]:
    def step(part: str, form: str, why: str, pose: str = STANDING) -> Step:
        in_pose = pose if form in ("pose", "toe_string") else None
        return Step(part, form, why, pose=pose, done=sheet.newest(form, in_pose) is not None)

    def at(part: str, form: str, place: str, clock: float, why: str, pose: str = STANDING) -> Step:
        done = any(
            point.reading.place == place
            and abs(point.taken.point.clock_deg - clock) <= NEAR_CLOCK_DEG
            for point in sheet.points
        )
        return Step(part, form, why, place, pose, clock, done)

    yield step("A", "setting", "The pose that all points are counted from.")
    yield step("A", "front_space", "Where the rim's lips and the cap stand from the hub face.")
    yield step("A", "present_tyre", "So that gaps to the tyre on the car become points.")
    for clock in LIP_CLOCKS:
        form = "plumb_line" if clock == 0 else "straightedge"
        yield at("A", form, LIP, clock, "The lip is what a wide tyre meets first.")
    done = sheet.newest("turns_in", place=LIP) is not None
    yield Step("A", "turns_in", "The inner end of the lip is what the tyre meets.", LIP, done=done)
    for lock in (LOCK_IN, LOCK_OUT) if steered else ():
        yield step("B", "pose", "The plate angle tells this pose, and the steering stop.", lock)
        done = any(p.reading.form == "gap" and p.reading.pose == lock for p in sheet.points)
        why = "Tightest spot at this lock, where the panel cannot be reached with the wheel on."
        yield Step("B", "gap", why, "arch liner", lock, done=done)
    yield step("C", "pose", "Hanging is not standing: the height tells by how much.", HANGING)
    yield step("C", "toe_string", "Toe changes as it hangs; the bar turns with it.", HANGING)
    for clock in PANEL_CLOCKS:
        why = "What the inner wall meets; from −60° to +60° with no more than 40° between."
        yield at("C", "hub_bar", "inner panel", clock, why, HANGING)
    for place, least, why in (
        ("strut tube", 2, "It moves with the wheel: inner air ends there."),
        ("brake caliper", 3, "Its outline says which rims go over it."),
    ):
        count = sum(point.reading.place == place for point in sheet.points)
        yield Step("C", "hub_bar", why, place, HANGING, done=count >= least or _known(sheet, place))
    yield step("D", "bump_left", "How far it can still come up: without it, only standing counts.")


def _known(sheet: Sheet, place: str) -> bool:
    """Whether the survey that is corrected has a place already that wheels do not change."""
    return sheet.base is not None and any(f.place == place for f in sheet.base.survey.features)


# --- With a check at hand ---------------------------------------------------------------


@dataclass(frozen=True)
class Settling:
    """The reading that would cut a check's doubt most, and how far: one sigma before and after."""

    place: PlaceAnswer
    what: str
    form: str
    pose: str
    before_mm: float
    after_mm: float


def settling(places: Sequence[PlaceAnswer]) -> Settling | None:
    """Of the place most likely in doubt, the reading that would cut it most; None if nothing would.

    A gap read on the car replaces what the survey put in; other readings make their own part as
    small as their form is good.
    """
    closest = sorted(places, key=lambda place: place.clearance_mm / max(place.sigma_mm, 0.1))
    for place in closest:
        found = [found for found in _settlings(place) if found.after_mm < 0.95 * found.before_mm]
        if found:
            return min(found, key=lambda settled: settled.after_mm)
    return None


def _settlings(place: PlaceAnswer) -> Iterator[Settling]:
    parts = {part.source: part.mm for part in place.doubt}
    rest2 = {source: mm * mm for source, mm in parts.items()}
    before = max(place.sigma_mm, math.sqrt(sum(rest2.values())))

    def settled(
        what: str, form: str, pose: str, sources: Sequence[str], left_mm: float
    ) -> Settling:
        rest = sum(mm for source, mm in rest2.items() if source not in sources)
        return Settling(place, what, form, pose, before, math.sqrt(rest + left_mm * left_mm))

    steer = place.at.steer_deg
    pose = LOCK_IN if steer > 5 else LOCK_OUT if steer < -5 else STANDING
    if place.carried_by == BODY:
        left = math.hypot(defaults.GAP_READING.value, defaults.PRESENT_TYRE_MM)
        what = f"the gap between the tyre on the car and the {place.place}, {POSES[pose]}"
        yield settled(what, "gap", pose, ("survey radius", "survey axial", "gap reading"), left)
    if "bump limit" in parts:
        share = parts["bump limit"] / defaults.BUMP_LIMIT.value
        yield settled("the bump that is left", "bump_left", STANDING, ("bump limit",), 3.0 * share)
    if "steering lock" in parts:
        share = parts["steering lock"] / defaults.STEER_LIMIT.value
        lock = pose if pose != STANDING else LOCK_IN
        yield settled("the plate at this lock", "pose", lock, ("steering lock",), 0.3 * share)
    if "ride height" in parts:
        share = parts["ride height"] / defaults.RIDE_HEIGHT.value
        yield settled("the height as it stands", "setting", STANDING, ("ride height",), 2.0 * share)


# --- What is missing --------------------------------------------------------------------


@dataclass(frozen=True)
class Use:
    """A use of a survey and what keeps it from being told."""

    words: str
    missing: tuple[str, ...]


def uses(measured: Measured | None, sheet: Sheet, *, steered: bool) -> tuple[Use, ...]:
    """For each use what is missing, in words; ``measured`` is the survey as it would become."""
    if measured is None:
        nothing = ("not enough for a survey yet",)
        return tuple(Use(words, nothing) for words in ("Standing, straight ahead", "Driven"))
    still = _uncovered(measured, sheet, steered=False)
    found = [Use("Standing, straight ahead", still)]
    driven: list[str] = list(_uncovered(measured, sheet, steered=steered))
    if steered:
        locks = [
            f"the turn plate {POSES[lock]}"
            for lock, stop in (
                (LOCK_IN, measured.limits.steer_in_deg),
                (LOCK_OUT, measured.limits.steer_out_deg),
            )
            if not stop
        ]
        found.append(Use("Standing, at both locks", (*driven, *locks)))
        driven += locks
    if measured.limits.bump_mm is None:
        driven.append("the bump that is left, on the damper's shaft")
    found.append(Use("Driven, over bumps", tuple(driven)))
    if measured.compliance is None or measured.compliance.assumed:
        driven.append("how camber and toe give under side load")
    found.append(Use("Driven, under side load", tuple(driven)))
    return tuple(found)


def _uncovered(measured: Measured, sheet: Sheet, *, steered: bool) -> tuple[str, ...]:
    wheel, tyre = sheet.fitted or (Wheel(17.0, 8.0, 45.0), Tyre("225/45R17"))
    survey = measured.survey
    lock = 30.0 if steered else 0.0  # coverage asks only whether the wheel steers
    limits = replace(measured.limits, steer_in_deg=lock, steer_out_deg=lock)
    corner = Corner(survey, measured.suspension, limits, Planned(survey.toe_deg), wheel, tyre)
    motion = motion_of(measured.suspension, survey.camber_deg, survey.toe_deg)
    try:
        missing = uncovered(corner, courses_of(corner, motion), motion.spin)
    except Unreachable:
        return ("a place was read in a pose that the surveyed suspension cannot take",)
    return tuple(words.replace("-", "−") for words in missing)


# --- Questions --------------------------------------------------------------------------


def questions(sheet: Sheet, other_side: Measured | None) -> tuple[tuple[int, str], ...]:
    """What looks wrong, as questions, each with the key of the reading that it is about (or 0)."""
    found = [*_inside_the_tyre(sheet), *_sides_apart(sheet, other_side)]
    return (*found, *_twice(sheet), *_heights(sheet), *_camber(sheet))


def question_of(sheet: Sheet, reading: Reading) -> str:
    """The first question about one reading; empty if there is none."""
    return next((words for key, words in questions(sheet, None) if key == reading.key), "")


def _inside_the_tyre(sheet: Sheet) -> Iterator[tuple[int, str]]:
    try:
        section = sheet.section
    except BadReading:
        return
    if section is None:
        return
    for point in sheet.points:
        at = point.as_read.point
        inside = -float(section.distance(np.array(at.axial_mm), np.array(at.radius_mm)))
        if inside > 1.0 and point.reading.form != "gap":
            yield (
                point.reading.key,
                f"The {point.reading.place} at {_degrees(at.clock_deg)} would lie "
                f"{inside:.0f} mm inside the tyre that is on the car. Sign or reference wrong?",
            )


def _sides_apart(sheet: Sheet, other: Measured | None) -> Iterator[tuple[int, str]]:
    for point in sheet.points if other is not None else ():
        at = point.taken.point
        there = _on_other_side(other, point.reading.place, at.clock_deg)
        if there is None:
            continue
        apart = math.hypot(at.radius_mm - there[0], at.axial_mm - there[1])
        if apart > SIDES_APART_MM:
            yield (
                point.reading.key,
                f"The {point.reading.place} at {_degrees(at.clock_deg)} is {apart:.0f} mm from "
                "where the other side has it. Read it again, or is the body not straight?",
            )


def _on_other_side(other: Measured | None, place: str, clock_deg: float) -> Sequence[float] | None:
    """Radius and axial of an edge of the other side at a clock; None where it has none."""
    for feature in other.survey.features if other else ():
        usable = feature.place == place and feature.shape == EDGE and not feature.taken_at
        rows = [(p.clock_deg, p.radius_mm, p.axial_mm) for p in feature.points]
        clocks = [row[0] for row in rows]
        if not usable or len(rows) < 2 or clocks != sorted(clocks):
            continue
        if clocks[0] <= clock_deg <= clocks[-1]:
            return [float(np.interp(clock_deg, clocks, [r[i] for r in rows])) for i in (1, 2)]
    return None


def _twice(sheet: Sheet) -> Iterator[tuple[int, str]]:
    for index, later in enumerate(sheet.points):
        for earlier in sheet.points[:index]:
            a, b = later.taken.point, earlier.taken.point
            same = later.reading.place == earlier.reading.place
            if not same or sheet.place(later.reading.place).shape != EDGE:
                continue
            apart = math.hypot(a.radius_mm - b.radius_mm, a.axial_mm - b.axial_mm)
            if abs(a.clock_deg - b.clock_deg) <= 3.0 and apart > SAME_SPOT_MM:
                yield (
                    later.reading.key,
                    f"The {later.reading.place} at {_degrees(a.clock_deg)} was read "
                    f"{apart:.0f} mm from here before. Which of the two holds?",
                )


def _heights(sheet: Sheet) -> Iterator[tuple[int, str]]:
    for reading in sheet.readings:
        height = reading.number("height_mm")
        if height is not None and not HEIGHTS_MM[0] <= height <= HEIGHTS_MM[1]:
            yield reading.key, f"{height:.0f} mm from hub to lip: is it in millimetres?"
    standing, hanging = sheet.newest("setting"), sheet.newest("pose", HANGING)
    if standing is None:
        return
    height = standing.number("height_mm") or 0.0
    line = sheet.newest("plumb_line", STANDING)
    if line is not None and abs((line.number("height_mm") or 0.0) - height) > SAME_HEIGHT_MM:
        yield line.key, "The plumb line's height is not the one that it stands at. Read it again?"
    if hanging is not None and (hanging.number("height_mm") or height) < height:
        yield hanging.key, "Hanging, the lip should be farther from the hub than standing."


def _camber(sheet: Sheet) -> Iterator[tuple[int, str]]:
    line, standing = sheet.newest("plumb_line", STANDING), sheet.newest("setting")
    if line is None or standing is None:
        return
    try:
        by_line = sheet.camber_by_plumb_line()
    except BadReading:
        return
    camber = standing.number("camber_deg") or 0.0
    if by_line is not None and abs(by_line.value - camber) > CAMBER_APART_DEG:
        yield (
            line.key,
            f"The plumb line tells {by_line.value:+.1f}° of camber where {camber:+.1f}° was read. "
            "Is the line outboard of the rim counted positive?",
        )


def _degrees(clock: float) -> str:
    return f"{clock:+.0f}°".replace("-", "−")


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

    def gap_mm(self, place: str, pose: str) -> float | None:
        """The tightest gap expected at a place; None for a place or pose that is not known."""
        steer = 0.0 if pose == STANDING else self._sheet.steer_deg(pose)
        if place not in self.places or steer is None:
            return None
        reading = GapReading(place, 0.0, self._sheet.travel_mm(pose), steer)
        return predicted_gap(self._setting, self._index[place], reading)
