"""Two set-ups of an axle beside each other: their drawings, and what differs."""

from __future__ import annotations

import math
from dataclasses import dataclass
from decimal import Decimal

from django.utils.safestring import SafeString
from django.utils.translation import gettext

from fitment.engine.drawing.scene import Text
from fitment.engine.search.prices import pair_price
from fitment.text.answer_rows import PlaceRow, place_row
from fitment.text.labels import camber_method_text
from fitment.tryout.data import SetUp, Tried
from fitment.tryout.services.trial import drawn, same_room
from shop.languages.figures import format_number, short

#: Figures of two set-ups that differ by less are the same, mm.
SAME_MM = 0.05


@dataclass(frozen=True)
class Difference:
    """One place under both set-ups, mm; None where a set-up was not answered."""

    place: str
    first: PlaceRow
    second: PlaceRow
    by_mm: float


@dataclass(frozen=True)
class Drawing:
    """A drawing with its legend; ``which`` set-up it shows where two are drawn apart."""

    which: str
    svg: SafeString
    legend: tuple[Text, ...]
    has_dashed: bool


def drawings_of(first: Tried, second: Tried | None) -> list[Drawing]:
    """The side with the least clearance, and the second set-up beside it.

    Where only wheel and tyre differ, the second wheel is dashed in the one room of both; where
    the settings differ, each has a room of its own and is drawn in it.
    """
    side = first.sides[0]
    corner = side.corners[0]
    beside = None
    if second is not None:
        beside = next((s for s in second.sides if corner in s.corners), None)
    if second is None or beside is None:
        return [_drawing(side.key, corner)]
    if same_room(side.key, beside.key):
        dashed = beside.key if _wheel_differs(first, second) else ""
        return [_drawing(side.key, corner, dashed)]
    return [
        _drawing(side.key, corner, which=gettext("First trial")),
        _drawing(beside.key, corner, which=gettext("Second trial")),
    ]


def _drawing(key: str, corner: str, dashed: str = "", which: str = "") -> Drawing:
    svg, legend = drawn(key, corner, dashed, which)
    return Drawing(which, svg, legend, bool(dashed))


def _wheel_differs(first: Tried, second: Tried) -> bool:
    one, two = first.set_up, second.set_up
    return (one.wheel, one.tyre, one.size, one.spacer_mm) != (
        two.wheel,
        two.tyre,
        two.size,
        two.spacer_mm,
    )


def differences(first: Tried | None, second: Tried | None) -> list[Difference]:
    """Every place of the first set-up's tightest side under both, the largest change first."""
    if first is None or second is None:
        return []
    side = first.sides[0]
    beside = next((s for s in second.sides if side.corners[0] in s.corners), None)
    if beside is None:
        return []
    theirs = {place.place: place for place in beside.answer.places}
    found = [
        Difference(
            place.place,
            place_row(place),
            place_row(theirs[place.place]),
            theirs[place.place].clearance_mm - place.clearance_mm,
        )
        for place in side.answer.places
        if place.place in theirs
    ]
    return sorted(found, key=lambda row: -abs(row.by_mm) if math.isfinite(row.by_mm) else 0.0)


def choices_that_differ(first: Tried | None, second: Tried | None) -> list[tuple[str, str, str]]:
    """What the two set-ups choose differently: (what, first, second)."""
    if first is None or second is None:
        return []
    rows = zip(set_up_words(first.set_up), set_up_words(second.set_up), strict=True)
    return [(what, one, two) for (what, one), (_, two) in rows if one != two]


def set_up_words(set_up: SetUp) -> list[tuple[str, str]]:
    """Every choice of a set-up in words, always the same rows."""

    def length(value: float | None) -> str:
        return f"{format_number(value or 0.0, 1)} mm"

    camber = gettext("as the adjusters stand")
    if set_up.camber_deg is not None:
        camber = gettext("{angle}° by {method}").format(
            angle=format_number(set_up.camber_deg, 2), method=camber_method_text(set_up.camber_by)
        )
    return [
        (gettext("Wheel"), str(set_up.wheel)),
        (gettext("Tyre"), set_up.tyre_words),
        (
            gettext("Spacer"),
            f"{short(set_up.spacer_mm)} mm" if set_up.spacer_mm else gettext("none"),
        ),
        (gettext("Camber"), camber),
        (gettext("Toe, per wheel"), f"{format_number(set_up.toe_deg, 2)}°"),
        (gettext("Ride height"), length(set_up.ride_height_mm)),
        (gettext("Packer"), f"{short(set_up.bump_stop_mm or 0.0)} mm"),
        (gettext("Arch lips"), gettext("rolled") if set_up.rolled_lips else gettext("as they are")),
    ]


def price_of(set_up: SetUp) -> Decimal | None:
    """Price of the axle's two wheels with tyres; None where one is not known."""
    return pair_price(set_up.wheel.price, set_up.tyre.price if set_up.tyre else None)
