"""The survey of a corner as a row of steps, in the order of the work, each done or not.

Works on a :class:`fitment.engine.survey.reading_sheet.Sheet`. Texts are for technicians.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from alignment.geometry.model import CURVES, JOINTS, LINKS
from fitment.engine.model import BODY, Feature
from fitment.engine.survey.joints import joints_read
from fitment.engine.survey.reading_sheet import LIP, Sheet
from fitment.engine.survey.readings import HANGING, JACKED, JOINT_NAMES, LOCKS, STANDING

#: A step asked for at a clock counts as done by a reading this near to it, degrees.
NEAR_CLOCK_DEG = 12.0
#: Where a survey asks for the lip and for the panel inside; and a look at one car only, degrees.
LIP_CLOCKS, PANEL_CLOCKS = (0.0, -60.0, -30.0, 30.0, 60.0), (-60.0, -30.0, 0.0, 30.0, 60.0)
THIS_CAR_CLOCKS = (0.0, -45.0, 45.0)
PARTS: dict[str, str] = {
    "0": "Taken over from another car model: one spot of each place",
    "A": "Wheel on, standing",
    "B": "Both locks, on turn plates",
    "C": "Wheel off, bar on the hub",
    "D": "Damper",
    "E": "Joints",
    "F": "How it moves, without joints",
}
#: Minutes that a part takes with practice; judgement from practice.
MINUTES: dict[str, int] = {"0": 8, "A": 8, "B": 5, "C": 10, "D": 3, "E": 25, "F": 15}


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
    joint: str = ""
    left_out: str = ""

    @property
    def key(self) -> str:
        """What tells it from other steps; kept with a reading that says why it was left out."""
        clock = "" if self.clock_deg is None else f"{self.clock_deg:g}"
        return "|".join((self.form, self.place, self.pose, clock, self.joint))

    @property
    def is_open(self) -> bool:
        """Whether it is still to be read."""
        return not self.done and not self.left_out


def steps(sheet: Sheet, *, steered: bool) -> tuple[Step, ...]:
    """The whole survey of a corner in the order of the work, each with whether it was done."""
    found = list(_confirming(sheet))
    if sheet.base is None:
        why = "It decides what to read: the whole car model, or what this one car needs."
        found.append(Step("A", "plan", why, done=sheet.newest("plan") is not None))
    found += _standing(sheet)
    if steered:
        found += _locks(sheet)
    if not sheet.this_car_only:
        found += _wheel_off(sheet)
    found += _damper(sheet)
    found += _moving(sheet, steered)
    left_out = {
        row.text("step"): row.text("why") for row in sheet.readings if row.form == "left_out"
    }
    return tuple(
        step if step.done else replace(step, left_out=left_out.get(step.key, "")) for step in found
    )


def next_step(wanted: Sequence[Step]) -> Step | None:
    """The first that is still to be read."""
    return next((step for step in wanted if step.is_open), None)


def together(wanted: Sequence[Step], first: Step) -> tuple[Step, ...]:
    """The steps that are read in one go with ``first``: same form, place and pose, none done."""
    if first.form not in ("straightedge", "hub_bar", "joint"):
        return (first,)
    alike = (first.part, first.form, first.place, first.pose)
    return tuple(
        step
        for step in wanted
        if step.is_open and (step.part, step.form, step.place, step.pose) == alike
    )


def minutes_left(wanted: Sequence[Step]) -> int:
    """How long the rest takes, by its parts."""
    total = 0.0
    for part, minutes in MINUTES.items():
        mine = [step for step in wanted if step.part == part]
        if mine:
            total += minutes * sum(step.is_open for step in mine) / len(mine)
    return round(total)


def _step(sheet: Sheet, part: str, form: str, why: str, pose: str = STANDING) -> Step:
    in_pose = pose if form in ("pose", "toe_string") else None
    return Step(part, form, why, pose=pose, done=sheet.newest(form, in_pose) is not None)


def _at(
    sheet: Sheet, part: str, form: str, place: str, clock: float, why: str, pose: str = STANDING
) -> Step:
    done = any(
        point.reading.place == place and abs(point.taken.point.clock_deg - clock) <= NEAR_CLOCK_DEG
        for point in sheet.points
    )
    return Step(part, form, why, place, pose, clock, done)


def _confirming(sheet: Sheet) -> Iterator[Step]:
    """One spot of every place that came from another car model; two of a line through space."""
    why = "It was read on another car model. One spot tells whether it is the same here."
    for feature in sheet.base.survey.features if sheet.base else ():
        if not feature.to_confirm:
            continue
        outboard = feature.carried_by == BODY and feature.place == LIP
        form, pose = ("straightedge", STANDING) if outboard else ("hub_bar", HANGING)
        read = sum(point.reading.place == feature.place for point in sheet.points)
        if feature.points:
            yield Step("0", form, why, feature.place, pose, _middle(feature), read > 0)
            continue
        for nth in (1, 2):
            two = "It was read on another car model. Two spots take the place of its line."
            yield Step("0", form, two, feature.place, pose, done=read >= nth)


def _middle(feature: Feature) -> float:
    clocks = sorted(point.clock_deg for point in feature.points)
    return round(clocks[len(clocks) // 2])


def _standing(sheet: Sheet) -> Iterator[Step]:
    yield _step(sheet, "A", "setting", "The pose that all points are counted from.")
    why = "Where the rim's lips and the cap stand from the hub face."
    yield _step(sheet, "A", "front_space", why)
    yield _step(sheet, "A", "present_tyre", "So that gaps to the tyre on the car become points.")
    for clock in THIS_CAR_CLOCKS if sheet.this_car_only else LIP_CLOCKS:
        form = "plumb_line" if clock == 0 else "straightedge"
        yield _at(sheet, "A", form, LIP, clock, "The lip is what a wide tyre meets first.")
    done = sheet.newest("turns_in", place=LIP) is not None
    yield Step("A", "turns_in", "The inner end of the lip is what the tyre meets.", LIP, done=done)
    if sheet.this_car_only:
        done = any(p.reading.form == "gap" and p.reading.pose == STANDING for p in sheet.points)
        why = "The tightest spot inside: feel for it all round above the middle of the wheel."
        yield Step("A", "gap", why, "inner panel", done=done)


def _locks(sheet: Sheet) -> Iterator[Step]:
    for lock in LOCKS:
        why = "The plate angle tells this pose, and the steering stop."
        yield _step(sheet, "B", "pose", why, lock)
        done = any(p.reading.form == "gap" and p.reading.pose == lock for p in sheet.points)
        why = "Tightest spot at this lock, where the panel cannot be reached with the wheel on."
        yield Step("B", "gap", why, "arch liner", lock, done=done)


def _wheel_off(sheet: Sheet) -> Iterator[Step]:
    yield _step(
        sheet, "C", "pose", "Hanging is not standing: the height tells by how much.", HANGING
    )
    yield _step(
        sheet, "C", "toe_string", "Toe changes as it hangs; the bar turns with it.", HANGING
    )
    for clock in PANEL_CLOCKS:
        why = "What the inner wall meets; from −60° to +60° with no more than 40° between."
        yield _at(sheet, "C", "hub_bar", "inner panel", clock, why, HANGING)
    for place, least, why in (
        (
            "frame rail",
            2,
            "The nearest hard thing behind the panel; leave it out if none is there.",
        ),
        ("strut tube", 2, "It moves with the wheel: inner air ends there. A knuckle will do."),
        ("brake caliper", 3, "Its outline says which rims go over it."),
    ):
        count = sum(point.reading.place == place for point in sheet.points)
        known = _known(sheet, place)
        for nth in range(1, least + 1):
            yield Step("C", "hub_bar", why, place, HANGING, done=known or count >= nth)


def _damper(sheet: Sheet) -> Iterator[Step]:
    done, why = sheet.newest("bump_left") is not None, "How far it can still come up: without it, "
    pose = STANDING if sheet.newest("pose", HANGING) is None else HANGING
    yield Step("D", "bump_left", f"{why}only standing counts.", pose=pose, done=done)
    if done and sheet.motion_ratio is None and sheet.bump is None:
        other = STANDING if sheet.newest("bump_left", HANGING) is not None else HANGING
        why = "The shaft in a second pose tells how far it moves for each mm of the wheel."
        yield Step("D", "bump_left", why, pose=other)


def _moving(sheet: Sheet, steered: bool) -> Iterator[Step]:
    """Joints of a kind that has them, and two heights; else heights and the steering axis."""
    if sheet.base is not None and not sheet.base.suspension.typical:
        return
    names = JOINTS.get(sheet.kind, ())
    if sheet.this_car_only:
        done = sheet.newest("typical") is not None
        why = "Not measured for one car: it shows in driving, not at a standstill."
        yield Step("F", "typical", why, done=done)
        return
    if names:
        read = joints_read(sheet)
        for words, name in JOINT_NAMES.items():
            if name in names:
                why = "All of them make the linkage: how wheel and tyre move over bumps."
                done = name in read
                yield Step("E", "joint", why, joint=words, done=done)
        why = (
            "Joints are read to some millimetres; camber and toe here bring them to a tenth of it."
        )
        yield _step(sheet, "E", "pose", why, JACKED)
        return
    if sheet.kind in ("", CURVES, LINKS):
        why = "Camber and toe at a third height, the body still on its stands, make the curves."
        yield _step(sheet, "F", "pose", why, JACKED)
        if steered:
            yield _step(sheet, "F", "steer_axis", "The wheel steers about it at both locks.")
        why = "What the wheel tips about when camber is set at the top mount or at the lower arm."
        yield _step(sheet, "F", "pivots", why)


def _known(sheet: Sheet, place: str) -> bool:
    """Whether the survey that is corrected has a place already that wheels do not change."""
    features = sheet.base.survey.features if sheet.base else ()
    return any(f.place == place and not f.to_confirm for f in features)
