"""The whole car from the answers of its corners: left against right, front against rear.

Differences are left less right. Lengths in millimetres, angles in degrees.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace

from fitment.engine.model import (
    CORNERS,
    UNMEASURED,
    Answer,
    Check,
    Corner,
    CornerAnswer,
    PlaceAnswer,
)
from fitment.engine.mounted import mounted
from fitment.engine.words import CORNER_WORDS

FRONT, REAR, ALL = "front", "rear", "all"
AXLES: dict[str, tuple[str, str]] = {FRONT: ("LF", "RF"), REAR: ("LR", "RR")}
#: Two tyres that a differential or a transfer case joins shall not differ in circumference by
#: more than this, unless the caller says otherwise: common practice, without a source.
MOST_APART = 0.01


@dataclass(frozen=True)
class SideBySide:
    """One figure of both sides of an axle; None on a side where nothing can be said."""

    what: str
    unit: str
    left: float | None
    right: float | None

    @property
    def difference(self) -> float | None:
        """Left less right; None where either is not known."""
        if self.left is None or self.right is None:
            return None
        return self.left - self.right


@dataclass(frozen=True)
class Axle:
    """What both sides of one axle have: clearances by place, and figures at static height.

    ``left_only`` and ``right_only`` name places that the other side's survey does not have.
    """

    name: str
    clearances: tuple[SideBySide, ...]
    figures: tuple[SideBySide, ...]
    left_only: tuple[str, ...] = ()
    right_only: tuple[str, ...] = ()


@dataclass(frozen=True)
class TyrePair:
    """Circumferences of two tyres, or of an axle's mean, that stand beside each other.

    ``driven`` tells whether the drive joins them; ``note`` says so where they differ by more
    than the limit.
    """

    names: tuple[str, str]
    circumference_mm: tuple[float, float]
    driven: bool
    note: str = ""

    @property
    def ratio(self) -> float:
        """The first against the second."""
        return self.circumference_mm[0] / self.circumference_mm[1]


@dataclass(frozen=True)
class CarView:
    """A car's axles with both sides answered, its tyres in pairs, and the corners missing."""

    axles: tuple[Axle, ...]
    tyres: tuple[TyrePair, ...]
    missing: tuple[str, ...]

    @property
    def notes(self) -> tuple[str, ...]:
        """Everything that should be looked at."""
        return tuple(pair.note for pair in self.tyres if pair.note)

    @property
    def front_to_rear(self) -> float | None:
        """Ratio of the front tyres' circumference to the rear ones'; None without both axles."""
        for pair in self.tyres:
            if pair.names == (FRONT, REAR):
                return pair.ratio
        return None


def car_view(
    check: Check, answer: Answer, *, driven: str = "", most_apart: float = MOST_APART
) -> CarView:
    """Compare the corners of one answer with each other.

    ``driven`` is "front", "rear", "all", or "" where it is not known; then no pair counts as
    driven. ``most_apart`` is the largest difference in circumference of a driven pair, as a
    part of the smaller. Raises ValueError for another word.
    """
    if driven not in ("", FRONT, REAR, ALL):
        raise ValueError(f"no such drive: {driven!r}")
    axles = tuple(
        _axle(name, answer.corners[left], answer.corners[right])
        for name, (left, right) in AXLES.items()
        if left in answer.corners and right in answer.corners
    )
    return CarView(
        axles=axles,
        tyres=_tyres(check, driven, most_apart),
        missing=tuple(name for name in CORNERS if name not in answer.corners),
    )


# Left and right


def _axle(name: str, left: CornerAnswer, right: CornerAnswer) -> Axle:
    lefts, rights = _places(left), _places(right)
    return Axle(
        name=name,
        clearances=tuple(
            SideBySide(place, "mm", _clearance(answer), _clearance(rights[place]))
            for place, answer in lefts.items()
            if place in rights
        ),
        figures=tuple(_figures(left, right)),
        left_only=tuple(place for place in lefts if place not in rights),
        right_only=tuple(place for place in rights if place not in lefts),
    )


def _places(corner: CornerAnswer) -> dict[str, PlaceAnswer]:
    return {place.place: place for place in corner.places}


def _clearance(place: PlaceAnswer) -> float | None:
    known = place.verdict != UNMEASURED and math.isfinite(place.clearance_mm)
    return place.clearance_mm if known else None


def _figures(left: CornerAnswer, right: CornerAnswer) -> list[SideBySide]:
    """Camber and toe, and where the corners have a steering axis caster and trail."""
    rows: tuple[tuple[str, str, float | None, float | None], ...] = (
        ("camber", "°", left.static.camber_deg, right.static.camber_deg),
        ("toe", "°", left.static.toe_deg, right.static.toe_deg),
        ("caster", "°", left.static.caster_deg, right.static.caster_deg),
        ("trail", "mm", _trail(left), _trail(right)),
    )
    return [SideBySide(*row) for row in rows if row[2] is not None or row[3] is not None]


def _trail(corner: CornerAnswer) -> float | None:
    return corner.seat.trail_mm if corner.seat else None


# Tyres


def _tyres(check: Check, driven: str, most_apart: float) -> tuple[TyrePair, ...]:
    round_mm = {name: _round(corner) for name, corner in check.corners.items()}
    pairs = [
        _pair((left, right), (round_mm[left], round_mm[right]), driven in (name, ALL), most_apart)
        for name, (left, right) in AXLES.items()
        if left in round_mm and right in round_mm
    ]
    means = {name: _mean(round_mm, corners) for name, corners in AXLES.items()}
    front, rear = means[FRONT], means[REAR]
    if front is not None and rear is not None:
        pairs.append(_pair((FRONT, REAR), (front, rear), driven == ALL, most_apart))
    return tuple(pairs)


def _round(corner: Corner) -> float:
    """Circumference over the crown, unloaded, as worn; what a check allows for is left out."""
    tyre = replace(corner.tyre, growth_mm=0.0, largest_allowed=False)
    return math.pi * mounted(corner.wheel, tyre).overall_diameter_mm


def _mean(round_mm: Mapping[str, float], corners: tuple[str, str]) -> float | None:
    """Mean circumference of an axle's tyres that are known; None without any."""
    known = [round_mm[name] for name in corners if name in round_mm]
    return sum(known) / len(known) if known else None


def _pair(
    names: tuple[str, str], circumference: tuple[float, float], driven: bool, most_apart: float
) -> TyrePair:
    one, other = circumference
    apart = abs(one - other) / min(one, other)
    note = ""
    if driven and apart > most_apart:
        larger, smaller = names if one > other else names[::-1]
        note = (
            f"{_tyres_of(larger).capitalize()} {100 * apart:.1f} % longer around than "
            f"{_tyres_of(smaller)}, and the drive joins them: at the most "
            f"{100 * most_apart:g} % is wanted."
        )
    return TyrePair(names, circumference, driven, note)


def _tyres_of(name: str) -> str:
    """The tyre of a corner or the tyres of an axle, in words."""
    return f"{CORNER_WORDS[name]} tyre" if name in CORNER_WORDS else f"{name} tyres"
