"""What is tried on one axle, and what the engine said to it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from django.utils.translation import gettext

from common.numerals import whole
from common.verdicts import GateResult, Verdict, reached, worst
from fitment.engine.deciding import worst_spot
from fitment.engine.model import CornerAnswer, SpotAnswer
from fitment.engine.solid.typed import TypedTyre, TypedWheel, read_tyre
from fitment.job.car import Document, planned_document
from fitment.models import TyreModel, WheelModel


@dataclass(frozen=True)
class SetUp:
    """What is tried on one axle. ``size`` is a bare designation, for a tyre not in the catalogue.

    A wheel that was typed is a row that was never saved; ``wheel_typed`` and ``tyre_typed`` are
    what was typed, in its plain notation, and empty for rows of the catalogue.
    ``adjusters`` and ``state`` come from the order and stay: other adjusters that are stated
    there, and the state in which the tyre is judged.
    """

    axle: str
    wheel: WheelModel
    tyre: TyreModel | None
    size: str
    spacer_mm: float
    camber_deg: float | None
    camber_by: str
    toe_deg: float
    ride_height_mm: float | None
    bump_stop_mm: float | None
    adjusters: Mapping[str, Any] = field(default_factory=dict)
    state: Mapping[str, Any] = field(default_factory=dict)
    rolled_lips: bool = False
    wheel_typed: str = ""
    tyre_typed: str = ""

    @property
    def tyre_words(self) -> str:
        if self.tyre:
            return str(self.tyre)
        return gettext("{size}, nominal").format(size=self.tyre_typed or self.size)

    @property
    def wheel_key(self) -> str:
        """The wheel as an address holds it."""
        return self.wheel_typed or str(self.wheel.pk)

    @property
    def tyre_key(self) -> str:
        """The tyre as an address holds it."""
        return str(self.tyre.pk) if self.tyre else self.tyre_typed or self.size

    @property
    def worn(self) -> TyreModel:
        """The tyre as a row, which is not a saved one where it was typed."""
        if self.tyre is not None:
            return self.tyre
        return typed_tyre_row(read_tyre(self.tyre_typed or self.size))

    def stated(self) -> Document:
        """Adjusters as a check file states them."""
        named = dict(self.adjusters)
        for name, value in (
            ("ride_height_mm", self.ride_height_mm),
            ("bump_stop_mm", self.bump_stop_mm),
        ):
            named.pop(name, None)
            if value is not None:
                named[name] = value
        return {name: value for name, value in named.items() if value is not None}

    def as_document(self) -> Document:
        """``planned``, ``wheel`` and ``tyre`` of a check file's corner."""
        tyre = self.worn.as_document(self.wheel.width_in)
        return {
            "planned": planned_document(
                toe_deg=self.toe_deg,
                camber_deg=self.camber_deg,
                camber_by=self.camber_by,
                adjusters=self.stated(),
                rolled_lips=self.rolled_lips,
            ),
            "wheel": self.wheel.as_document(spacer_mm=self.spacer_mm),
            "tyre": tyre | dict(self.state),
        }


@dataclass(frozen=True)
class Side:
    """Corners that were asked alike, with their answer."""

    corners: tuple[str, ...]
    answer: CornerAnswer
    key: str


@dataclass(frozen=True)
class Tried:
    """A set-up with its answers, the side with the least clearance first; or what is in the way.

    ``problems`` are (field of the try-out, sentence); the field is empty where none is meant.
    """

    set_up: SetUp
    sides: tuple[Side, ...] = ()
    problems: tuple[tuple[str, str], ...] = ()
    unmeasured: tuple[str, ...] = ()

    @property
    def verdict(self) -> GateResult:
        """The word for the axle: out of reach where it would clear but cannot be set."""
        word = worst(side.answer.verdict for side in self.sides)
        if self.unmeasured and word != Verdict.CONTACT:
            return GateResult.UNMEASURED
        return reached(word, not any(side.answer.out_of_reach for side in self.sides))

    @property
    def tightest(self) -> SpotAnswer | None:
        return worst_spot(self.sides[0].answer) if self.sides else None


def typed_wheel_row(typed: TypedWheel) -> WheelModel:
    """A typed wheel as a row that is not saved; its inside is not known."""
    return WheelModel(
        name=typed.name,
        diameter_in=typed.diameter_in,
        width_in=typed.width_in,
        offset_mm=typed.offset_mm,
        bolt_count=typed.bolt_count,
        bolt_circle_mm=typed.bolt_circle_mm,
        centre_bore_mm=typed.centre_bore_mm,
    )


def typed_tyre_row(typed: TypedTyre) -> TyreModel:
    """A typed tyre as a row that is not saved: its nominal size and its marking."""
    return TyreModel(
        name=typed.name,
        size=typed.size,
        load_index="" if typed.load_index is None else str(typed.load_index),
        speed_symbol=typed.speed_symbol,
        snow=typed.snow,
    )


#: How keys of choices begin, so that a wheel and a tyre never share one.
WHEEL_KEY, TYRE_KEY = "wheel ", "tyre "


def pk_in(key: str, kind: str) -> str:
    """The row that a choice stands for; empty for a size that is none, and for other kinds."""
    rest = key.removeprefix(kind)
    return rest if rest != key and whole(rest) is not None else ""
