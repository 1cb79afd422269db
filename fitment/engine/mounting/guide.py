"""Does a job meet what a maker's fitment table asks for, condition by condition?

A table states conditions; a job meets them or not, or nothing can be said because something is
not planned yet. Meeting every condition says that the table promises a fit, and no more: the
geometry of the car decides. Lengths in millimetres, rim sizes in inches, camber in degrees.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from alignment.geometry.adjuster_units import adjuster_message, camber_method
from common.message import Message, message
from common.verdicts import Outcome
from fitment.engine.solid.designation import BadSize, size_of

PROMISED, NOT_PROMISED, OPEN, OTHER = "promised", "not promised", "open", "other sizes"
"""What a row says of a job: fits; fits not as planned; depends on what is not known; is about
other wheels or tyres."""

#: Camber is planned and written to about so much, degrees.
CAMBER_ROUNDING_DEG = 0.005
NOT_PLANNED = message("condition.not-planned")


@dataclass(frozen=True)
class AdjusterAsked:
    """An adjuster and its range in the table; None is open."""

    adjuster: str
    low: float | None
    high: float | None


@dataclass(frozen=True)
class Row:
    """One row of a table, about one axle; empty and None ask nothing.

    ``camber_deg`` is the least negative camber that will do: -2.4 asks for -2.4 or more negative.
    """

    axle: str
    wheel_diameter_in: float | None = None
    wheel_width_in: float | None = None
    offset_min_mm: float | None = None
    offset_max_mm: float | None = None
    tyre_size: str = ""
    spacer_max_mm: float | None = None
    camber_deg: float | None = None
    camber_by: str = ""
    height_min_mm: float | None = None
    adjuster: AdjusterAsked | None = None
    parts: tuple[str, ...] = ()
    note: str = ""


@dataclass(frozen=True)
class Job:
    """One axle of an order; None where it is not known yet."""

    axle: str
    wheel_diameter_in: float
    wheel_width_in: float
    offset_mm: float
    spacer_mm: float
    tyre_size: str
    camber_deg: float | None = None
    camber_by: str = ""
    adjusters: Mapping[str, float] = field(default_factory=dict)
    height_mm: float | None = None
    parts: frozenset[str] = frozenset()


@dataclass(frozen=True)
class Condition:
    """One thing that a row asks, what the job has, and how they compare."""

    what: Message
    asked: str | Message
    has: str | Message
    outcome: Outcome


def conditions(row: Row, job: Job) -> list[Condition]:
    """Every condition of a row held against a job, sizes first."""
    return [*size_conditions(row, job), *setting_conditions(row, job)]


def said(row: Row, job: Job, met: list[Condition]) -> str:
    """What the row as a whole says of the job, from its conditions."""
    if any(one.outcome == Outcome.FAILS for one in size_conditions(row, job)):
        return OTHER
    outcomes = {one.outcome for one in met}
    if Outcome.FAILS in outcomes:
        return NOT_PROMISED
    return OPEN if Outcome.CANNOT_SAY in outcomes else PROMISED


def size_conditions(row: Row, job: Job) -> list[Condition]:
    """What a row says about wheel and tyre: whether it is about this job at all."""
    found = []
    if row.wheel_width_in is not None and row.wheel_diameter_in is not None:
        same = (row.wheel_width_in, row.wheel_diameter_in) == (
            job.wheel_width_in,
            job.wheel_diameter_in,
        )
        asked = _rim(row.wheel_width_in, row.wheel_diameter_in)
        has = _rim(job.wheel_width_in, job.wheel_diameter_in)
        found.append(Condition(_what("wheel"), asked, has, _met(same)))
    if row.tyre_size:
        same = _same_size(row.tyre_size, job.tyre_size)
        found.append(Condition(_what("tyre"), row.tyre_size, job.tyre_size, _met(same)))
    return found


def setting_conditions(row: Row, job: Job) -> list[Condition]:
    """Offset, spacer, camber and how it is set, height, adjusters, parts, and what is in words."""
    found = []
    if row.offset_min_mm is not None or row.offset_max_mm is not None:
        span = (row.offset_min_mm, row.offset_max_mm)
        found.append(_range(_what("offset"), "mm", span, job.offset_mm))
    if row.spacer_max_mm is not None:
        found.append(_range(_what("spacer"), "mm", (None, row.spacer_max_mm), job.spacer_mm))
    if row.camber_deg is not None:
        high = row.camber_deg + CAMBER_ROUNDING_DEG
        found.append(
            Condition(
                _what("camber"),
                message("condition.camber-or-more", camber_deg=row.camber_deg),
                NOT_PLANNED
                if job.camber_deg is None
                else message("condition.camber-is", camber_deg=job.camber_deg),
                Outcome.CANNOT_SAY if job.camber_deg is None else _met(job.camber_deg <= high),
            )
        )
    if row.camber_by:
        found.append(
            Condition(
                _what("camber-method"),
                camber_method(row.camber_by),
                camber_method(job.camber_by) if job.camber_by else NOT_PLANNED,
                _met(job.camber_by == row.camber_by) if job.camber_by else Outcome.CANNOT_SAY,
            )
        )
    if row.height_min_mm is not None:
        found.append(_range(_what("height"), "mm", (row.height_min_mm, None), job.height_mm))
    if row.adjuster is not None:
        name = row.adjuster.adjuster
        unit = "deg" if name.endswith("_deg") else "mm"
        span = (row.adjuster.low, row.adjuster.high)
        found.append(_range(adjuster_message(name), unit, span, job.adjusters.get(name)))
    for number in row.parts:
        there = number in job.parts
        has = number if there else message("condition.not-on-it")
        found.append(Condition(_what("part"), number, has, _met(there)))
    if row.note:
        look = message("condition.read-and-look")
        found.append(Condition(_what("in-words"), row.note, look, Outcome.CANNOT_SAY))
    return found


def _what(name: str) -> Message:
    return message(f"condition.{name}")


def _rim(width: float, diameter: float) -> Message:
    return message("rim-size", width=width, diameter=diameter)


def _range(
    what: Message, unit: str, span: tuple[float | None, float | None], has: float | None
) -> Condition:
    low, high = span
    ends = {f"low_{unit}": low, f"high_{unit}": high}
    if low is not None and high is not None:
        asked = message(f"condition.between-{unit}", **ends)
    elif low is not None:
        asked = message(f"condition.at-least-{unit}", **ends)
    else:
        asked = message(f"condition.at-most-{unit}", **ends)
    if has is None:
        return Condition(what, asked, NOT_PLANNED, Outcome.CANNOT_SAY)
    good = (low is None or has >= low - 1e-9) and (high is None or has <= high + 1e-9)
    return Condition(
        what, asked, message(f"condition.is-{unit}", **{f"has_{unit}": has}), _met(good)
    )


def _met(good: bool) -> Outcome:
    return Outcome.PASSES if good else Outcome.FAILS


def _same_size(one: str, other: str) -> bool:
    try:
        return size_of(one) == size_of(other)
    except BadSize:
        return one.strip().casefold() == other.strip().casefold()
