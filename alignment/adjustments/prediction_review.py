"""Readings after adjustments, against what had been predicted for them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import pairwise

from alignment.adjustments.adjusters import AdjusterPositions, CornerAdjusters
from alignment.adjustments.axle_toe import read_at, shift_at, thrust_of
from alignment.geometry import readings
from alignment.geometry.adjustment_problem import (
    QUANTITIES,
    TOE,
    TOE_LINK,
    Adjustment,
    Forward,
)
from alignment.geometry.continuous_solver import predicted
from alignment.geometry.linkage import Unreachable
from alignment.models import RackVisit
from alignment.models.accepted import AcceptedAdjustments
from alignment.visits.services.derived_quantities import limits_of

#: Positions nearer than this (mm, degrees) are the same.
SAME_PLACE = 0.05
ACCEPTED, RECORDED = "accepted", "recorded"


@dataclass(frozen=True)
class Followed:
    """One visit's prediction for the next, and what was read then.

    Only what was accepted is a prediction. ``basis`` says for which positions: those that were
    accepted, or those that were recorded since. ``wanted`` are the targets it was made for, by
    quantity. ``elsewhere`` are adjusters that were recorded at another position than accepted.
    ``offset`` is rack minus model, before and after; ``uncertainty`` what may lie between two
    readings that should be the same, both by quantity. ``toe_is_split``: toe is half of a total at
    both visits; ``toe_unlike``: at one of them. ``unclear`` are adjusters that were recorded in
    units without a size.
    """

    before: RackVisit
    after: RackVisit
    basis: str
    predicted: Mapping[str, float]
    read: Mapping[str, float]
    uncertainty: Mapping[str, float]
    accepted: AcceptedAdjustments
    offset: Mapping[str, float] = field(default_factory=dict)
    offset_after: Mapping[str, float] = field(default_factory=dict)
    elsewhere: tuple[Adjustment, ...] = ()
    toe_is_split: bool = False
    toe_unlike: bool = False
    unclear: tuple[str, ...] = ()

    @property
    def wanted(self) -> dict[str, float]:
        """The targets that the accepted adjustments were made for, degrees by quantity."""
        return {name: float(target[0]) for name, target in self.accepted.wanted.items()}


def followed_of(
    setup: CornerAdjusters, forward: Forward, read_on: Sequence[RackVisit]
) -> tuple[Followed, ...]:
    """Every accepted option with readings after it; the newest first.

    ``read_on`` are the visits that read the corner, in the order of time.
    """
    found = []
    for first, last in pairwise(read_on):
        accepted = setup.rows.accepted.get((first.pk, setup.corner))
        if accepted is None:
            continue
        try:
            found.append(_followed(setup, forward, first, last, accepted))
        except Unreachable:
            continue
    return tuple(reversed(found))


def followed_as_accepted(
    corner: str,
    read_on: Sequence[RackVisit],
    accepted: Mapping[tuple[int, str], AcceptedAdjustments],
) -> tuple[Followed, ...]:
    """The same without surveyed joints: only what was kept can be compared with readings."""
    found = []
    for first, last in pairwise(read_on):
        row = accepted.get((first.pk, corner))
        if row is not None:
            told = _with_turned_line(row.predicted, corner, first, last, row.thrust_shift_deg)
            found.append(_held(corner, first, last, ACCEPTED, told, row))
    return tuple(reversed(found))


def _followed(
    setup: CornerAdjusters,
    forward: Forward,
    first: RackVisit,
    last: RackVisit,
    accepted: AcceptedAdjustments,
) -> Followed:
    corner = setup.corner
    before, now = setup.stood(first), setup.stood(last)
    elsewhere = _elsewhere(accepted, now)
    told: Mapping[str, float]
    basis, planned = RECORDED, 0.0
    offset = _beside(forward, before, read_at(first, corner).values)
    if elsewhere or accepted.ends.keys() & now.unclear.keys():
        told = predicted(forward, offset, now.at)
    else:
        basis, told = ACCEPTED, accepted.predicted
        planned = accepted.thrust_shift_deg
    told = _with_turned_line(told, corner, first, last, planned)
    after = _beside(forward, now, read_at(last, corner).values)
    unclear: tuple[str, ...] = ()
    if basis == RECORDED:
        unclear = tuple(sorted({*before.unclear, *now.unclear}))
    if unclear:  # the position is unknown, so nothing follows from it
        lost = (TOE,) if unclear == (TOE_LINK,) else QUANTITIES
        told = {name: value for name, value in told.items() if name not in lost}
    held = _held(corner, first, last, basis, told, accepted, elsewhere, offset, after)
    return replace(held, unclear=unclear)


def _beside(
    forward: Forward, stood: AdjusterPositions, read: Mapping[str, float]
) -> dict[str, float]:
    """Rack minus model with the adjusters at their positions."""
    here = predicted(forward, dict.fromkeys(QUANTITIES, 0.0), stood.at)
    return {name: read[name] - value for name, value in here.items() if name in read}


def _held(
    corner: str,
    first: RackVisit,
    last: RackVisit,
    basis: str,
    told: Mapping[str, float],
    accepted: AcceptedAdjustments,
    elsewhere: tuple[Adjustment, ...] = (),
    offset: Mapping[str, float] | None = None,
    offset_after: Mapping[str, float] | None = None,
) -> Followed:
    """Predicted against read. Halves of a total are not compared with a wheel's own toe."""
    was, now = read_at(first, corner), read_at(last, corner)
    alike = was.is_split == now.is_split
    both = {
        name: value for name, value in told.items() if name in now.values and (alike or name != TOE)
    }
    said = accepted.uncertainty
    return Followed(
        first,
        last,
        basis,
        both,
        now.values,
        {name: _uncertainty(first, last, corner, name, said.get(name)) for name in both},
        accepted,
        offset or {},
        offset_after or {},
        elsewhere,
        now.is_split and alike,
        not alike,
    )


def _uncertainty(
    first: RackVisit, last: RackVisit, corner: str, name: str, said_deg: float | None
) -> float:
    """What the racks' accuracies may put between the two readings, or the prediction's own
    uncertainty, whichever is larger."""
    limits = [limits_of(one, corner, name) for one in (first, last)]
    return max(readings.change_between(0.0, 0.0, *limits).expanded_deg, said_deg or 0.0)


def _elsewhere(accepted: AcceptedAdjustments, now: AdjusterPositions) -> tuple[Adjustment, ...]:
    """Adjusters that were recorded at another position than accepted."""
    return tuple(
        Adjustment(name, end, now.at[name])
        for name, end in accepted.ends.items()
        if name in now.recorded and abs(now.at[name] - end) > SAME_PLACE
    )


def _with_turned_line(
    told: Mapping[str, float],
    corner: str,
    first: RackVisit,
    last: RackVisit,
    planned_deg: float,
) -> dict[str, float]:
    """Predicted toe as the rack counts it now: the thrust line turned by what was read, not by
    what was planned."""
    told = dict(told)
    lines = thrust_of(first), thrust_of(last)
    if TOE in told and lines[0] is not None and lines[1] is not None:
        told[TOE] += shift_at(corner, last, lines[1] - lines[0]) - planned_deg
    return told
