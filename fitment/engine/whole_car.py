"""The whole car from the answers of its corners: left against right, front against rear.

Differences are left less right. Lengths in millimetres, angles in degrees.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from alignment.geometry.readings import cross, thrust_angle, total_toe
from common.corners import AXLE_CORNERS, CORNERS, FRONT, REAR
from common.message import Message, message
from fitment.engine.model import Answer, Check, Corner, CornerAnswer, SpotAnswer
from fitment.engine.mounting.law import PRACTICE
from fitment.engine.solid.mounted import mounted

ALL = "all"
#: Two tyres that a differential or a transfer case joins shall not differ in circumference by
#: more than this, unless the caller says otherwise: common practice, without a source.
MOST_APART = 0.01


@dataclass(frozen=True)
class Drive:
    """What a car's drive joins, and how far apart the tyres on it may be.

    ``driven`` is "front", "rear", "all", or "" where not said. ``original`` is the ratio of
    front to rear circumference as the car left the factory: what the drive of all four was
    made for; None where it is not known, and then alike is wanted. ``most_apart`` is a part of
    the circumference, ``source`` says whose figure it is.
    """

    driven: str = ""
    original: float | None = None
    most_apart: float = MOST_APART
    source: str = PRACTICE

    def __post_init__(self) -> None:
        if self.driven not in ("", FRONT, REAR, ALL):
            raise ValueError(f"no such drive: {self.driven!r}")

    def joins(self, names: tuple[str, str]) -> bool:
        """Whether a differential or a transfer case stands between two tyres or two axles."""
        if names == (FRONT, REAR):
            return self.driven == ALL
        return any(
            names == pair and self.driven in (axle, ALL) for axle, pair in AXLE_CORNERS.items()
        )


@dataclass(frozen=True)
class SideBySide:
    """One figure of both sides of an axle; None on a side where nothing can be said.

    ``sigma`` is the standard uncertainty of each side, where there is one.
    """

    what: Message
    unit: str
    left: float | None
    right: float | None
    sigma: tuple[float, float] | None = None

    @property
    def difference(self) -> float | None:
        """Left less right; None where either is not known."""
        if self.left is None or self.right is None:
            return None
        return self.left - self.right


@dataclass(frozen=True)
class OfBoth:
    """One figure that both sides of an axle make together; ``how`` says of what."""

    what: Message
    how: Message
    unit: str
    value: float


@dataclass(frozen=True)
class AxleSides:
    """What both sides of one axle have: clearances by place, and figures at static height.

    ``together`` holds total toe, cross camber and the like. ``left_only`` and ``right_only``
    name places that the other side's survey does not have.
    """

    name: str
    clearances: tuple[SideBySide, ...]
    figures: tuple[SideBySide, ...]
    together: tuple[OfBoth, ...] = ()
    left_only: tuple[str, ...] = ()
    right_only: tuple[str, ...] = ()


@dataclass(frozen=True)
class TyrePair:
    """Circumferences of two tyres, or of an axle's mean, that stand beside each other.

    ``joined`` tells whether the drive joins them, ``wanted`` the ratio that it was made for.
    """

    names: tuple[str, str]
    circumference_mm: tuple[float, float]
    joined: bool
    wanted: float
    drive: Drive

    @property
    def ratio(self) -> float:
        """The first against the second."""
        return self.circumference_mm[0] / self.circumference_mm[1]

    @property
    def off(self) -> float:
        """By what part the ratio is larger than the one wanted."""
        return self.ratio / self.wanted - 1.0

    @property
    def is_beyond(self) -> bool:
        """Whether the drive joins tyres that are further apart than wanted."""
        off = self.off
        return self.joined and max(off, -off / (1.0 + off)) > self.drive.most_apart + 1e-9

    @property
    def note(self) -> Message | None:
        """What is wrong with the pair; None where nothing is."""
        if not self.is_beyond:
            return None
        limit = {"most_share": self.drive.most_apart, "source": self.drive.source}
        if self.wanted != 1.0:
            return message(
                "tyres.off-ratio",
                ratio=self.ratio,
                wanted=self.wanted,
                off_share=abs(self.off),
                **limit,
            )
        larger, smaller = self.names if self.off > 0 else self.names[::-1]
        return message(
            "tyres.apart",
            larger=message(f"tyres-of.{larger}"),
            smaller=message(f"tyres-of.{smaller}"),
            apart_share=max(self.off, -self.off / (1.0 + self.off)),
            **limit,
        )


@dataclass(frozen=True)
class CarView:
    """A car's axles with both sides answered, its tyres in pairs, and the corners missing."""

    axles: tuple[AxleSides, ...]
    tyres: tuple[TyrePair, ...]
    missing: tuple[str, ...]

    @property
    def notes(self) -> tuple[Message, ...]:
        """Everything that should be looked at."""
        return tuple(pair.note for pair in self.tyres if pair.note is not None)


def car_view(check: Check, answer: Answer, drive: Drive | None = None) -> CarView:
    """Compare the corners of one answer with each other; without a drive, no tyres are joined."""
    axles = tuple(
        _axle(name, answer.corners[left], answer.corners[right])
        for name, (left, right) in AXLE_CORNERS.items()
        if left in answer.corners and right in answer.corners
    )
    return CarView(
        axles=axles,
        tyres=_tyres(check, drive or Drive()),
        missing=tuple(name for name in CORNERS if name not in answer.corners),
    )


# Left and right


def _axle(name: str, left: CornerAnswer, right: CornerAnswer) -> AxleSides:
    lefts, rights = _places(left), _places(right)
    return AxleSides(
        name=name,
        clearances=tuple(
            SideBySide(
                message("figure.clearance", spot=place),
                "mm",
                _clearance(answer),
                _clearance(rights[place]),
                (answer.sigma_mm, rights[place].sigma_mm),
            )
            for place, answer in lefts.items()
            if place in rights
        ),
        figures=tuple(_figures(left, right)),
        together=tuple(_together(name, left, right)),
        left_only=tuple(place for place in lefts if place not in rights),
        right_only=tuple(place for place in rights if place not in lefts),
    )


def _places(corner: CornerAnswer) -> dict[str, SpotAnswer]:
    return {place.place: place for place in corner.places}


def _clearance(place: SpotAnswer) -> float | None:
    return place.clearance_mm if place.is_measured else None


def _figures(left: CornerAnswer, right: CornerAnswer) -> list[SideBySide]:
    """Camber and toe, and where the corners have a steering axis caster and trail."""
    rows: tuple[tuple[str, str, float | None, float | None], ...] = (
        ("camber", "°", left.static.camber_deg, right.static.camber_deg),
        ("toe", "°", left.static.toe_deg, right.static.toe_deg),
        ("caster", "°", left.static.caster_deg, right.static.caster_deg),
        ("trail", "mm", _trail(left), _trail(right)),
    )
    return [
        SideBySide(message(f"figure.{name}"), unit, one, other)
        for name, unit, one, other in rows
        if one is not None or other is not None
    ]


def _together(name: str, left: CornerAnswer, right: CornerAnswer) -> Iterator[OfBoth]:
    """Total toe, cross camber and caster; of a rear axle the thrust angle."""
    one, other = left.static, right.static
    less = message("figure-of.difference")
    yield OfBoth(
        message("figure.total-toe"),
        message("figure-of.both"),
        "°",
        total_toe(one.toe_deg, other.toe_deg),
    )
    yield OfBoth(message("figure.cross-camber"), less, "°", cross(one.camber_deg, other.camber_deg))
    if one.caster_deg is not None and other.caster_deg is not None and name == FRONT:
        yield OfBoth(
            message("figure.cross-caster"), less, "°", cross(one.caster_deg, other.caster_deg)
        )
    if name == REAR:
        angle = thrust_angle(one.toe_deg, other.toe_deg)
        yield OfBoth(
            message("figure.thrust-angle"), message("figure-of.half-difference"), "°", angle
        )


def _trail(corner: CornerAnswer) -> float | None:
    return corner.seat.trail_mm if corner.seat else None


# Tyres


def _tyres(check: Check, drive: Drive) -> tuple[TyrePair, ...]:
    round_mm = {name: _round(corner) for name, corner in check.corners.items()}
    found = [
        (pair, (round_mm[pair[0]], round_mm[pair[1]]), 1.0)
        for pair in AXLE_CORNERS.values()
        if pair[0] in round_mm and pair[1] in round_mm
    ]
    front, rear = (_mean(round_mm, AXLE_CORNERS[name]) for name in (FRONT, REAR))
    if front is not None and rear is not None:
        found.append(((FRONT, REAR), (front, rear), drive.original or 1.0))
    return tuple(
        TyrePair(names, around, drive.joins(names), wanted, drive)
        for names, around, wanted in found
    )


def _round(corner: Corner) -> float:
    """Circumference over the crown, unloaded, as worn; what a check allows for is left out."""
    tyre = replace(corner.tyre, growth_mm=0.0, largest_allowed=False)
    return math.pi * mounted(corner.wheel, tyre).overall_diameter_mm


def _mean(round_mm: Mapping[str, float], corners: tuple[str, str]) -> float | None:
    """Mean circumference of an axle's tyres that are known; None without any."""
    measured = [round_mm[name] for name in corners if name in round_mm]
    return sum(measured) / len(measured) if measured else None
