"""The reading that the measuring page asks for, in words, with what its form starts with."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from common.corners import is_left
from common.numerals import whole
from fitment.engine.survey.reading_forms import FORMS
from fitment.engine.survey.reading_sheet import Sheet
from fitment.engine.survey.readings import (
    HANGING,
    JACKED,
    LOCK_IN,
    LOCK_OUT,
    LOCKS,
    POSES,
    STANDING,
)
from fitment.engine.survey.steps import Step, together
from fitment.engine.survey.surveying import BadReading, level_of_clock
from shop.languages.figures import fixed
from shop.languages.formatting import capital

#: Characters that the name of a spot may have.
LONGEST_PLACE = 80


@dataclass(frozen=True)
class Asked:
    """The reading that the page asks for, or the row of alike ones that are taken in one go."""

    steps: tuple[Step, ...]
    sheet: Sheet

    @property
    def first(self) -> Step:
        return self.steps[0]

    @property
    def form(self) -> str:
        return self.first.form

    @property
    def pose(self) -> str:
        return self.first.pose

    @property
    def why(self) -> str:
        return self.first.why

    @property
    def is_series(self) -> bool:
        """Whether several are read in one go, or one whose clock or joint is given."""
        return len(self.steps) > 1 or bool(self.first.joint)

    @property
    def words(self) -> str:
        """What to read, in words."""
        if not self.is_series:
            return step_words(self.first)
        at = f", {self.first.place}" if self.first.place else ""
        pose = f", {POSES[self.pose]}" if FORMS[self.form].in_pose else ""
        many = MANY.get(self.form, FORMS[self.form].words)
        return f"{many}{at}{pose}"

    @property
    def tool(self) -> str:
        return FORMS[self.form].tool

    @property
    def how(self) -> str:
        return FORMS[self.form].how

    @property
    def key(self) -> str:
        """What the page sends along, so that the same is asked when something was wrong."""
        return ";".join(step.key for step in self.steps)

    def initial(self) -> dict[str, Any]:
        """What the form starts with."""
        step = self.first
        clock = {} if step.clock_deg is None or self.is_series else {"clock_deg": step.clock_deg}
        return {"place": step.place, "pose": step.pose, **clock}

    def rows(self) -> list[RowAsked]:
        """The rows of a series."""
        found = []
        for count, step in enumerate(self.steps, start=1):
            given: dict[str, Any] = {}
            if step.joint:
                given["joint"] = step.joint
            if step.clock_deg is not None:
                given["clock_deg"] = step.clock_deg
            found.append(RowAsked(self._row_words(step, count), given))
        return found

    def _row_words(self, step: Step, count: int) -> str:
        if step.joint:
            return capital(step.joint)
        if step.clock_deg is None:
            return f"{capital(step.place)}, point {count}"
        if step.clock_deg == 0:
            return "Straight up, by the plumb line"
        return f"At {degrees(step.clock_deg)}: {level_words(self.sheet, step)}"


#: What several readings of a form are called.
MANY = {
    "straightedge": "Edge beside the straightedge",
    "hub_bar": "Points beside the bar on the bare hub",
    "joint": "Middles of the joints",
}


def step_words(step: Step) -> str:
    """One step in words."""
    at = f", {step.joint or step.place}" if step.joint or step.place else ""
    told = step.clock_deg is not None and step.form != "plumb_line"
    clock = f" at {degrees(step.clock_deg or 0.0)}" if told else ""
    pose = f", {POSES[step.pose]}" if FORMS[step.form].in_pose else ""
    return f"{FORMS[step.form].words}{at}{clock}{pose}"


#: What can hurt people in a pose, or while a form is read.
CAUTIONS: dict[str, str] = {
    LOCK_IN: "Keep hands off the steering wheel while a hand is in the arch.",
    LOCK_OUT: "Keep hands off the steering wheel while a hand is in the arch.",
    HANGING: "Put the car on stands before the wheel comes off. Never go under a car that only a "
    "jack holds.",
    JACKED: "Jack up under the arm and stop before the body starts to lift from its stands. Put a "
    "stand under the arm before you read: never work under an arm that only a jack holds. The "
    "spring is under load: undo nothing that holds it.",
    "bump_used": "Only on a road where it is lawful and safe, with the speed that the road allows.",
}


def caution_words(step: Step) -> str:
    """What to take care of at a step; empty if nothing."""
    in_pose = FORMS[step.form].in_pose and CAUTIONS.get(step.pose, "")
    return in_pose or CAUTIONS.get(step.form, "")


def steer_words(pose: str, corner: str) -> str:
    """Which way the wheel is turned for a lock; empty for other poses."""
    if pose not in LOCKS:
        return ""
    right = (pose == LOCK_IN) == is_left(corner)
    return f"Steer to the {'right' if right else 'left'}, up to the stop."


def level_words(sheet: Sheet, step: Step) -> str:
    """What the level shows when the straightedge points to a clock, and which way that is."""
    clock = step.clock_deg or 0.0
    try:
        camber = sheet.pose(step.pose).camber_deg
    except BadReading:
        camber = 0.0
    level = level_of_clock(clock, camber)
    return f"the level shows {degrees(level)}, pointing to the {'front' if clock > 0 else 'rear'}"


def degrees(value: float) -> str:
    """A clock or a level to the degree."""
    return f"{fixed(value, 0, signed=True)}°"


def asked_by_name(sheet: Sheet, wanted: Sequence[Step], given: Mapping[str, str]) -> Asked | None:
    """What an address or a form that was sent names: steps of the survey, or any form; or None."""
    keys = [key for key in given.get("steps", "").split(";") if key]
    steps = _named(wanted, keys)
    if len(steps) == 1 and steps[0].is_open and given.get("act") != "read":
        return Asked(together(wanted, steps[0]), sheet)
    if steps:
        return Asked(steps, sheet)
    kind, pose, place = (given.get(name, "") for name in ("form", "pose", "place"))
    if kind not in FORMS or kind == "left_out" or len(place) > LONGEST_PLACE:
        return None
    step = Step(
        "",
        kind,
        "",
        place,
        pose if pose in POSES else STANDING,
        _clock(given.get("clock", "")),
    )
    return Asked((step,), sheet)


def _clock(text: str) -> float | None:
    """Whole degrees on the clock with their sign; None for any other text."""
    plain = text.strip().replace("−", "-")
    degrees = whole(plain.lstrip("+-"))
    if degrees is None:
        return None
    return float(-degrees if plain.startswith("-") else degrees)


def _named(wanted: Sequence[Step], keys: Sequence[str]) -> tuple[Step, ...]:
    """The steps of these keys, in their order, whether or not they were done meanwhile.

    Steps of one key stand as often as the key does, those that are open first.
    """
    left = sorted(wanted, key=lambda step: not step.is_open)
    found = []
    for key in keys:
        step = next((step for step in left if step.key == key), None)
        if step is not None:
            left.remove(step)
            found.append(step)
    return tuple(found)


@dataclass(frozen=True)
class RowAsked:
    """One row of a series: what it is called, and the figures that it starts with."""

    words: str
    initial: dict[str, Any]
