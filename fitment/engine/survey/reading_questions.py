"""What looks wrong in a sheet of readings, as questions to the technician.

Works on a :class:`fitment.engine.survey.reading_sheet.Sheet`. Each question comes with the key of
the reading that it is about, 0 where it is about none.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import numpy as np

from common.message import Message, message
from fitment.engine.checkfile import Measured
from fitment.engine.model import BODY, EDGE
from fitment.engine.solid.designation import BadSize, size_of
from fitment.engine.survey.joint_questions import against_each_other
from fitment.engine.survey.reading_sheet import LIP, Point, Sheet
from fitment.engine.survey.readings import (
    HANGING,
    JACKED,
    JOINT_NAMES,
    LOCK_IN,
    LOCK_OUT,
    LOCKS,
    ON_THE_KNUCKLE,
    STANDING,
    Reading,
)
from fitment.engine.survey.surveying import BadReading
from fitment.engine.survey.usual_figures import unusual

Question = tuple[int, Message]
#: Left and right apart by more than this are asked about, mm.
SIDES_APART_MM = 6.0
#: Two readings of one spot, and two heights: apart by this, mm.
SAME_SPOT_MM, SAME_HEIGHT_MM = 6.0, 10.0
#: Camber by rack and by plumb line, degrees.
CAMBER_APART_DEG = 0.6
#: A body stands out beyond its lip by this at most, within so much of the lip's radius, mm.
BEYOND_LIP_MM, NEAR_LIP_MM = 12.0, 90.0
#: A wheel turned by less is hardly at lock; its front edge goes in no farther than out; degrees.
LEAST_LOCK_DEG, LOCKS_APART_DEG = 18.0, 2.0
#: Camber and toe with which cars seldom stand, degrees.
CAMBERS_DEG, TOES_DEG = (-6.0, 1.0), (-1.0, 1.0)
#: Below this the tread of a loaded tyre bulges, so that a gap is not to the tyre as it turns.
BULGES_DEG = 150.0
#: Offsets that wheels have, mm; and how far a taped tyre may be from its size, as a share.
OFFSETS_MM, TAPED_OFF = (-60.0, 80.0), 0.04


def questions(sheet: Sheet, other_side: Measured | None) -> tuple[Question, ...]:
    """Everything that looks wrong so far."""
    found = [*_setting(sheet), *_wheel_on_the_car(sheet), *_inside_the_tyre(sheet)]
    found += [*_sides_apart(sheet, other_side), *_twice(sheet), *_heights(sheet), *_camber(sheet)]
    found += [*_locks(sheet), *_where_it_cannot_be(sheet), *_joints(sheet), *_bump(sheet)]
    found += [*unusual(sheet.readings), *against_each_other(sheet.readings)]
    return (*found, *_outboard_of_lip(sheet))


def question_of(sheet: Sheet, reading: Reading) -> Message | None:
    """The first question about one reading; None if there is none."""
    return next((told for key, told in questions(sheet, None) if key == reading.key), None)


def _setting(sheet: Sheet) -> Iterator[Question]:
    read = sheet.newest("setting")
    if read is None:
        return
    camber, toe = read.number("camber_deg") or 0.0, read.number("toe_deg") or 0.0
    if not CAMBERS_DEG[0] <= camber <= CAMBERS_DEG[1]:
        yield read.key, message("ask.camber", camber_deg=camber)
    if not TOES_DEG[0] <= toe <= TOES_DEG[1]:
        yield read.key, message("ask.toe", toe_deg=toe)


def _wheel_on_the_car(sheet: Sheet) -> Iterator[Question]:
    tyre, space = sheet.newest("present_tyre"), sheet.newest("front_space")
    try:
        fitted = sheet.fitted
    except BadReading:
        return
    if fitted is None or tyre is None or space is None:
        return
    offset = fitted[0].offset_mm
    if not OFFSETS_MM[0] <= offset <= OFFSETS_MM[1]:
        yield space.key, message("ask.front-space", offset_mm=offset)
    around = tyre.number("circumference_mm")
    if around is None:
        return
    try:
        printed = math.pi * size_of(tyre.text("size")).overall_diameter_mm
    except BadSize:
        return
    if abs(around / printed - 1) > TAPED_OFF:
        yield tyre.key, message("ask.around", around_mm=around, printed_mm=printed)


def _inside_the_tyre(sheet: Sheet) -> Iterator[Question]:
    try:
        section = sheet.section
    except BadReading:
        return
    if section is None:
        return
    for point in sheet.points:
        bare = point.reading.pose in OFF
        # With the wheel off a body is held against the wheel as it stood; what the hub carries
        # lies about it in any pose.
        at = point.taken.point if bare else point.as_read.point
        if bare and at.radius_mm < section.rim_radius_mm:
            continue  # spokes and barrel are not known
        inside = -float(section.distance(np.array(at.axial_mm), np.array(at.radius_mm)))
        if inside > max(1.0, point.taken.sigma_mm if bare else 1.0) and point.reading.form != "gap":
            yield (
                point.reading.key,
                message(
                    "ask.inside-tyre",
                    spot=point.reading.place,
                    clock_deg=at.clock_deg,
                    inside_mm=inside,
                ),
            )


#: Poses in which the wheel may be off the car.
OFF = (HANGING, JACKED)


def _outboard_of_lip(sheet: Sheet) -> Iterator[Question]:
    """A spot of the body inside the arch that would stand out beyond the arch's lip."""
    lip = sorted(
        (point.taken.point.clock_deg, point.taken.point.axial_mm, point.taken.point.radius_mm)
        for point in sheet.points
        if point.reading.place == LIP
    )
    for point in sheet.points if len(lip) > 1 else ():
        at, place = point.taken.point, point.reading.place
        kind = sheet.place(place)
        if place == LIP or kind.carried_by != BODY or not lip[0][0] <= at.clock_deg <= lip[-1][0]:
            continue
        clocks, axials, radii = zip(*lip, strict=True)
        beyond = at.axial_mm - float(np.interp(at.clock_deg, clocks, axials))
        away = abs(at.radius_mm - float(np.interp(at.clock_deg, clocks, radii)))
        if beyond > BEYOND_LIP_MM and away <= NEAR_LIP_MM:
            yield (
                point.reading.key,
                message(
                    "ask.outboard-of-lip", spot=place, clock_deg=at.clock_deg, beyond_mm=beyond
                ),
            )


def _sides_apart(sheet: Sheet, other: Measured | None) -> Iterator[Question]:
    for point in sheet.points if other is not None else ():
        at, place = point.taken.point, point.reading.place
        apart = _from_other_side(other, point, at.clock_deg)
        if apart is None or apart <= SIDES_APART_MM:
            continue
        swapped = _from_other_side(other, point, -at.clock_deg)
        if swapped is not None and swapped <= SIDES_APART_MM / 2:
            yield (
                point.reading.key,
                message(
                    "ask.front-and-rear",
                    spot=place,
                    clock_deg=at.clock_deg,
                    other_deg=-at.clock_deg,
                ),
            )
            continue
        yield (
            point.reading.key,
            message("ask.sides-apart", spot=place, clock_deg=at.clock_deg, apart_mm=apart),
        )


def _from_other_side(other: Measured | None, point: Point, clock_deg: float) -> float | None:
    """How far a point is from the other side's edge at a clock; None where that has none."""
    there = _on_other_side(other, point.reading.place, clock_deg)
    if there is None:
        return None
    at = point.taken.point
    return math.hypot(at.radius_mm - there[0], at.axial_mm - there[1])


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


def _twice(sheet: Sheet) -> Iterator[Question]:
    for index, later in enumerate(sheet.points):
        for earlier in sheet.points[:index]:
            a, b = later.taken.point, earlier.taken.point
            same = later.reading.place == earlier.reading.place
            kind = sheet.place(later.reading.place)
            if not same or kind.shape != EDGE or kind.carried_by != BODY:
                continue
            apart = math.hypot(a.radius_mm - b.radius_mm, a.axial_mm - b.axial_mm)
            if abs(a.clock_deg - b.clock_deg) <= 3.0 and apart > SAME_SPOT_MM:
                yield (
                    later.reading.key,
                    message(
                        "ask.read-twice",
                        spot=later.reading.place,
                        clock_deg=a.clock_deg,
                        apart_mm=apart,
                    ),
                )


def _heights(sheet: Sheet) -> Iterator[Question]:
    standing = sheet.newest("setting")
    if standing is None:
        return
    height = standing.number("height_mm") or 0.0
    line = sheet.newest("plumb_line", STANDING)
    if line is not None and abs((line.number("height_mm") or 0.0) - height) > SAME_HEIGHT_MM:
        yield line.key, message("ask.plumb-line-height")
    hanging, jacked = sheet.newest("pose", HANGING), sheet.newest("pose", JACKED)
    if hanging is not None and (hanging.number("height_mm") or height) < height:
        yield hanging.key, message("ask.hanging")
    if jacked is not None and (jacked.number("height_mm") or height) > height:
        yield jacked.key, message("ask.jacked")


def _camber(sheet: Sheet) -> Iterator[Question]:
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
            message("ask.plumb-line-camber", line_deg=by_line.value, camber_deg=camber),
        )


def _locks(sheet: Sheet) -> Iterator[Question]:
    for lock in LOCKS:
        read, steer = sheet.newest("pose", lock), sheet.steer_deg(lock)
        if read is not None and steer is not None and abs(steer) < LEAST_LOCK_DEG:
            yield read.key, message("ask.plate", plate_deg=abs(steer))
    turned_in, turned_out = sheet.steer_deg(LOCK_IN), sheet.steer_deg(LOCK_OUT)
    read = sheet.newest("pose", LOCK_IN)
    if turned_in is None or turned_out is None or read is None:
        return
    if turned_in > abs(turned_out) + LOCKS_APART_DEG:
        yield read.key, message("ask.locks", in_deg=turned_in, out_deg=abs(turned_out))


def _where_it_cannot_be(sheet: Sheet) -> Iterator[Question]:
    for point in sheet.points:
        reading, clock = point.reading, point.as_read.point.clock_deg
        if reading.form == "hub_bar" and reading.pose == STANDING:
            yield reading.key, message("ask.bar-standing")
        if reading.form in ("plumb_line", "straightedge") and reading.pose == HANGING:
            yield reading.key, message("ask.rim-hanging")
        if reading.form == "gap" and abs(clock) > BULGES_DEG and reading.pose not in OFF:
            yield reading.key, message("ask.bulge", clock_deg=clock)


def _joints(sheet: Sheet) -> Iterator[Question]:
    for reading in sheet.readings:
        joint = reading.text("joint")
        carried = reading.form == "joint" and JOINT_NAMES.get(joint) in ON_THE_KNUCKLE
        if carried and reading.pose != STANDING:
            yield reading.key, message("ask.joint-pose", joint=joint)


def _bump(sheet: Sheet) -> Iterator[Question]:
    used, left, read = sheet.bump_used, sheet.bump, sheet.newest("bump_used")
    if used is not None and left is not None and read is not None and used.value > left.value:
        yield read.key, message("ask.dip", used_mm=used.value, left_mm=left.value)
