"""One way of adjusting a corner as its page shows it, and which of several comes first."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from alignment.adjustments.data import ClearanceAfter, Stand
from alignment.adjustments.prediction_page import HALF_TOE
from alignment.adjustments.services import CornerAdjustments
from alignment.adjustments.text import QUANTITY_WORDS, Said, adjustment_text
from alignment.geometry.adjuster_units import Hand
from alignment.geometry.adjustment_problem import (
    CAMBER,
    QUANTITIES,
    TOE,
    TOE_LINK,
    Adjustment,
    Option,
)
from alignment.geometry.model import CAMBER_MEANS
from alignment.text.labels import adjuster_label
from common.verdicts import VERDICTS

Ask = Callable[[str, Stand], ClearanceAfter | None]
#: Ways whose room is asked for, so that one with more room is not missed.
MOST_ASKED = 6
#: Rooms nearer to each other than this (mm) do not decide which way comes first.
SAME_ROOM_MM = 0.5
QUANTITY_ORDER = ("Camber", "Caster", "Toe")


@dataclass(frozen=True)
class ReadingRow:
    """One quantity: read, wanted, what the moves make of it, and by how much that is off."""

    name: str
    read: float | None
    target: float | None
    tolerance: float
    predicted: float | None
    uncertainty: float | None = None

    @property
    def off(self) -> float | None:
        if self.predicted is None or self.target is None:
            return None
        return self.predicted - self.target

    @property
    def is_out(self) -> bool:
        return self.off is not None and abs(self.off) > max(self.tolerance, 0.005)


@dataclass(frozen=True)
class Way:
    """One way: the moves in words, and the room that it leaves where somebody can tell."""

    option: Option
    title: str
    adjustments: tuple[Said, ...]
    rows: tuple[ReadingRow, ...]
    room: ClearanceAfter | None

    @property
    def movement_mm(self) -> float:
        return self.option.movement_mm

    @property
    def link_by_mm(self) -> float:
        return sum(move.by for move in self.option.adjustments if move.adjuster == TOE_LINK)


def by_room(ways: list[Way]) -> list[Way]:
    """The way that leaves most room first; where that is much the same, the least movement."""
    if any(way.room is None for way in ways):
        return ways
    return sorted(ways, key=lambda way: (*_room_rank(way), way.movement_mm))


def _room_rank(way: Way) -> tuple[int, int]:
    if way.room is None:
        return (0, 0)
    return -VERDICTS.index(way.room.verdict), -round(way.room.clearance_mm / SAME_ROOM_MM)


def why_first(ways: list[Way]) -> str:
    """Why the first way stands before the next, in a sentence; empty where there is but one."""
    if len(ways) < 2:
        return ""
    first, second = ways[0], ways[1]
    if any(way.room is None for way in ways) or first.room is None or second.room is None:
        return "This way comes first because it moves least."
    mine, its = _room_rank(first), _room_rank(second)
    if mine[0] < its[0]:
        return f"This way comes first: with the next the answer is “{second.room.verdict}”."
    more = round(first.room.clearance_mm, 1) - round(second.room.clearance_mm, 1)  # as shown
    if mine[1] < its[1]:
        return f"This way comes first because it leaves {more:.1f} mm more room than the next."
    return "The ways leave much the same room; this one moves least."


def way_of(ask: Ask, corner: CornerAdjustments, option: Option) -> Way:
    """An option of a corner in words, numbers, and with the room that it leaves."""
    taught = corner.taught
    said = [_said(corner, move) for move in option.adjustments]
    rows = []
    for name in QUANTITIES:
        target = corner.wanted.get(name)
        if name not in corner.read and target is None:
            continue
        rows.append(
            ReadingRow(
                HALF_TOE if name == TOE and corner.toe_is_split else QUANTITY_WORDS[name],
                corner.read.get(name),
                target.deg if target else None,
                target.tolerance_deg if target else 0.0,
                option.predicted.get(name),
                taught.learned.expanded_deg(name, option.adjustments)
                if taught and name in option.predicted
                else None,
            )
        )
    rows.sort(key=lambda row: QUANTITY_ORDER.index(row.name.split(",")[0]))
    return Way(
        option=option,
        title=_title(option),
        adjustments=tuple(said),
        rows=tuple(rows),
        room=_room(ask, corner, option),
    )


def _said(corner: CornerAdjustments, move: Adjustment) -> Said:
    if corner.taught is not None:
        unit = corner.taught.units[move.adjuster]
        return Said(adjuster_label(move.adjuster), f"{move.by:+.2f} {unit}".replace("-", "−"))
    known = corner.recorded | corner.assumed
    return adjustment_text(move, hand_of(corner, move), is_known=move.adjuster in known)


def hand_of(corner: CornerAdjustments, move: Adjustment) -> Hand | None:
    """How an adjuster is set by hand, where that is known."""
    return corner.hands.get(move.adjuster)


def _title(option: Option) -> str:
    names = [adjuster_label(name).lower() for name in option.camber_method]
    if not names:
        return "by the toe link alone" if option.adjustments else "as it stands"
    return f"by {' and '.join(names)}"


def _room(ask: Ask, corner: CornerAdjustments, option: Option) -> ClearanceAfter | None:
    toe = option.predicted.get(TOE)
    if toe is None or corner.taught is not None or not (option.adjustments or corner.set_anyway):
        return None
    stand = Stand(option.positions, option.predicted.get(CAMBER), toe, _means(corner, option))
    return ask(corner.corner, stand)


def _means(corner: CornerAdjustments, option: Option) -> str:
    """The means that the option moves; the plan's where it moves none."""
    words = {
        name: word
        for camber_method in CAMBER_MEANS.values()
        for word, name in camber_method.items()
    }
    for name in option.camber_method:
        if name in words or name.startswith("rod:"):
            return words.get(name, name)
    return corner.camber_by
