"""Predicted against read, in the rows and words of the page of moves."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from alignment.adjustments.prediction_review import ACCEPTED, PROPOSED, UNMOVED, Followed
from alignment.adjustments.text import QUANTITY_WORDS, adjustments_said, position_said
from alignment.geometry.adjuster_units import Hand
from alignment.geometry.adjustment_problem import CAMBER, CASTER, TOE, Adjustment
from alignment.geometry.units import format_degrees
from alignment.text.labels import adjuster_label

HALF_TOE = "Toe, half of the total"


@dataclass(frozen=True)
class FollowedRow:
    """One angle. ``beside`` is what the rack read beside the model at the readings before, and
    ``beside_after`` at those after."""

    name: str
    predicted: float
    read: float
    uncertainty: float
    beside: float | None
    beside_after: float | None

    @property
    def off(self) -> float:
        return self.read - self.predicted

    @property
    def is_told(self) -> bool:
        """Whether the rack can tell predicted and read apart."""
        return abs(self.off) > self.uncertainty

    @property
    def beside_said(self) -> str:
        """What the rack reads beside the model, and by how much that has changed."""
        if self.beside is None or self.beside_after is None:
            return ""
        was, now = format_degrees(self.beside), format_degrees(self.beside_after)
        change = format_degrees(self.beside_after - self.beside)
        return f"{self.name.lower()} {was} before, {now} now, changed by {change}"


@dataclass(frozen=True)
class FollowedPage:
    followed: Followed
    sentence: str
    notes: tuple[str, ...]
    rows: tuple[FollowedRow, ...]
    verdict: str

    @property
    def beside(self) -> str:
        return "; ".join(row.beside_said for row in self.rows if row.beside_said)


def followed_page(followed: Followed, hands: Mapping[str, Hand]) -> FollowedPage:
    rows = tuple(
        FollowedRow(
            HALF_TOE if name == TOE and followed.toe_is_split else QUANTITY_WORDS[name],
            followed.predicted[name],
            followed.read[name],
            followed.uncertainty[name],
            followed.offset.get(name),
            followed.offset_after.get(name),
        )
        for name in (CAMBER, CASTER, TOE)
        if name in followed.predicted
    )
    return FollowedPage(
        followed,
        _sentence(followed),
        tuple(_notes(followed, hands)),
        rows,
        _verdict(rows),
    )


def _sentence(followed: Followed) -> str:
    """For which moves or positions the prediction holds."""
    row = followed.accepted
    if row is not None and followed.basis == ACCEPTED:
        return f"With the moves that were accepted: {adjustments_said(row.adjustments)}."
    if row is not None:
        return (
            f"Accepted were {adjustments_said(row.adjustments)}. The prediction is for "
            f"where the adjusters "
            "are recorded now."
        )
    if followed.basis == UNMOVED:
        return "Nothing was to be moved."
    if followed.basis == PROPOSED:
        return (
            "With the moves that are proposed for those readings: none were accepted, and no "
            "adjuster was recorded since."
        )
    return "With the adjusters where they are recorded now."


def _notes(followed: Followed, hands: Mapping[str, Hand]) -> Iterator[str]:
    for move in followed.elsewhere:
        yield _elsewhere_said(move, hands.get(move.adjuster))
    for name in followed.unclear:
        yield (
            f"{adjuster_label(name)} was recorded in a unit that has no size here, so what follows "
            "from it is left out."
        )
    if followed.toe_unlike:
        yield (
            "Toe was read wheel by wheel at one of the two visits and as a total at the other: it "
            "is not held against the prediction."
        )


def _elsewhere_said(move: Adjustment, hand: Hand | None) -> str:
    name = adjuster_label(move.adjuster)
    start, end = (position_said(move.adjuster, at, hand) for at in (move.start, move.end))
    return f"{name}: {start} was accepted, {end} is recorded."


def _verdict(rows: tuple[FollowedRow, ...]) -> str:
    """Whether the rack sees any difference, in a sentence."""
    told = [row.name.split(",")[0].lower() for row in rows if row.is_told]
    if not rows:
        return "Nothing that was predicted has been read since."
    if not told:
        return "As predicted: no difference that the rack can tell."
    names = " and ".join(told) if len(told) < 3 else f"{', '.join(told[:-1])} and {told[-1]}"
    return f"Not as predicted in {names}: from here on the moves go by what was read."
