"""Predicted against read, in the rows and words of the page of adjustments."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from alignment.adjustments.prediction_review import ACCEPTED, Followed
from alignment.adjustments.text import adjustments_said, position_said, quantity_label
from alignment.geometry.adjuster_units import HandSetting
from alignment.geometry.adjustment_problem import CAMBER, CASTER, TOE, Adjustment
from alignment.text.labels import adjuster_here
from shop.languages import speech_of_page
from shop.languages.figures import format_degrees

HALF_TOE = gettext_lazy("Toe, half of the total")


@dataclass(frozen=True)
class FollowedRow:
    """One angle; ``target`` is the one it was accepted for. ``beside`` is rack minus model at the
    readings before, ``beside_after`` at those after.
    """

    name: str
    predicted: float
    read: float
    uncertainty: float
    beside: float | None
    beside_after: float | None
    target: float | None = None

    @property
    def off(self) -> float:
        return self.read - self.predicted

    @property
    def is_told(self) -> bool:
        """Whether predicted and read differ by more than the rack's accuracy explains."""
        return abs(self.off) > self.uncertainty

    @property
    def beside_said(self) -> str:
        """Rack minus model, and by how much that has changed."""
        if self.beside is None or self.beside_after is None:
            return ""
        was, now = format_degrees(self.beside), format_degrees(self.beside_after)
        change = format_degrees(self.beside_after - self.beside)
        return _("{quantity} {before} before, {now} now, changed by {change}").format(
            quantity=speech_of_page().within(self.name), before=was, now=now, change=change
        )


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


def followed_page(followed: Followed, hands: Mapping[str, HandSetting]) -> FollowedPage:
    rows = tuple(
        FollowedRow(
            str(HALF_TOE) if name == TOE and followed.toe_is_split else quantity_label(name),
            followed.predicted[name],
            followed.read[name],
            followed.uncertainty[name],
            followed.offset.get(name),
            followed.offset_after.get(name),
            followed.wanted.get(name),
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
    """The adjustments or positions for which the prediction was made."""
    row = followed.accepted
    if followed.basis == ACCEPTED:
        return _("With the accepted adjustments: {adjustments}.").format(
            adjustments=adjustments_said(row.adjustments)
        )
    return _("Accepted: {adjustments}. The prediction is for the positions recorded now.").format(
        adjustments=adjustments_said(row.adjustments)
    )


def _notes(followed: Followed, hands: Mapping[str, HandSetting]) -> Iterator[str]:
    for move in followed.elsewhere:
        yield _elsewhere_said(move, hands.get(move.adjuster))
    for name in followed.unclear:
        yield _(
            "{adjuster} was recorded in a unit that has no size here. Predictions that depend on "
            "it are left out."
        ).format(adjuster=adjuster_here(name))
    if followed.toe_unlike:
        yield _(
            "Toe was read wheel by wheel at one of the two visits and as a total at the other. It "
            "is not compared with the prediction."
        )


def _elsewhere_said(move: Adjustment, hand: HandSetting | None) -> str:
    name = adjuster_here(move.adjuster)
    start, end = (position_said(move.adjuster, at, hand) for at in (move.start, move.end))
    return _("{adjuster}: {accepted} was accepted, {recorded} is recorded.").format(
        adjuster=name, accepted=start, recorded=end
    )


def _verdict(rows: tuple[FollowedRow, ...]) -> str:
    """Whether read and predicted differ significantly, in a sentence."""
    speech = speech_of_page()
    told = [speech.within(row.name.split(",")[0]) for row in rows if row.is_told]
    if not rows:
        return _("Nothing that was predicted has been read since.")
    if not told:
        return _("As predicted: no significant difference.")
    return _("Not as predicted: {quantities}. Further adjustments start from the readings.").format(
        quantities=speech.listed(told)
    )
