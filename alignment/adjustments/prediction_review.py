"""Readings after adjustments, against what had been predicted for them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import pairwise

from alignment.adjustments.adjusters import Setup, Stood
from alignment.adjustments.axle_toe import read_at, shift_at, thrust_of
from alignment.geometry import readings
from alignment.geometry.adjustment_problem import (
    QUANTITIES,
    TOE,
    TOE_LINK,
    Adjustment,
    Forward,
    Target,
)
from alignment.geometry.adjustments import adjustments_for
from alignment.geometry.continuous_solver import predicted
from alignment.geometry.linkage import Unreachable
from alignment.models import RackVisit
from alignment.models.accepted import AcceptedAdjustments
from alignment.visits.services.derived_quantities import limits_of

#: Positions nearer than this (mm, degrees) are the same.
SAME_PLACE = 0.05
ACCEPTED, RECORDED, PROPOSED, UNMOVED = "accepted", "recorded", "proposed", "unmoved"


@dataclass(frozen=True)
class Followed:
    """One visit's prediction for the next, and what was read then.

    ``basis`` says for which positions: those of accepted adjustments, those that were recorded, or,
    where there are neither, those that are proposed; or no adjustment was needed. ``elsewhere``
    are adjusters that were recorded at another position than accepted. ``offset`` is rack minus
    model, before and after; ``uncertainty`` what may lie between two readings that should be the
    same, both by quantity. ``toe_is_split``: toe is half of a total at
    both visits; ``toe_unlike``: at one of them. ``unclear`` are adjusters that were recorded in
    units without a size.
    """

    before: RackVisit
    after: RackVisit
    basis: str
    predicted: Mapping[str, float]
    read: Mapping[str, float]
    uncertainty: Mapping[str, float]
    offset: Mapping[str, float] = field(default_factory=dict)
    offset_after: Mapping[str, float] = field(default_factory=dict)
    accepted: AcceptedAdjustments | None = None
    elsewhere: tuple[Adjustment, ...] = ()
    toe_is_split: bool = False
    toe_unlike: bool = False
    unclear: tuple[str, ...] = ()


def followed_of(
    setup: Setup, forward: Forward, wanted: Mapping[str, Target], read_on: Sequence[RackVisit]
) -> tuple[Followed, ...]:
    """Every accepted option with readings after it, and the last two visits; the newest first.

    ``read_on`` are the visits that read the corner, in the order of time.
    """
    found = []
    pairs = list(pairwise(read_on))
    for first, last in pairs:
        accepted = setup.rows.accepted.get((first.pk, setup.corner))
        if accepted is None and (first, last) != pairs[-1]:
            continue
        try:
            one = _followed(setup, forward, wanted, first, last, accepted)
        except Unreachable:
            continue
        if accepted is not None or one.predicted:
            found.append(one)
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
    setup: Setup,
    forward: Forward,
    wanted: Mapping[str, Target],
    first: RackVisit,
    last: RackVisit,
    accepted: AcceptedAdjustments | None,
) -> Followed:
    corner = setup.corner
    before, now = setup.stood(first), setup.stood(last)
    has_new = any(position.corner == corner for position in last.positions.all())
    elsewhere = _elsewhere(accepted, now)
    told: Mapping[str, float]
    basis, planned = RECORDED, 0.0
    offset = _beside(forward, before, read_at(first, corner).values)
    if accepted is not None and not elsewhere:
        basis, told = ACCEPTED, accepted.predicted
        planned = accepted.thrust_shift_deg
    elif has_new or accepted is not None:
        told = predicted(forward, offset, now.at)
    else:
        option = adjustments_for(forward, setup.task(first, before, wanted)).options[0]
        basis, told = PROPOSED if option.adjustments else UNMOVED, option.predicted
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


def _beside(forward: Forward, stood: Stood, read: Mapping[str, float]) -> dict[str, float]:
    """Rack minus model with the adjusters at their positions."""
    here = predicted(forward, dict.fromkeys(QUANTITIES, 0.0), stood.at)
    return {name: read[name] - value for name, value in here.items() if name in read}


def _held(
    corner: str,
    first: RackVisit,
    last: RackVisit,
    basis: str,
    told: Mapping[str, float],
    accepted: AcceptedAdjustments | None,
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
    said = accepted.uncertainty if accepted is not None else {}
    return Followed(
        first,
        last,
        basis,
        both,
        now.values,
        {name: _uncertainty(first, last, corner, name, said.get(name)) for name in both},
        offset or {},
        offset_after or {},
        accepted,
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


def _elsewhere(accepted: AcceptedAdjustments | None, now: Stood) -> tuple[Adjustment, ...]:
    """Adjusters that were recorded at another position than accepted."""
    ends = accepted.ends if accepted is not None else {}
    return tuple(
        Adjustment(name, end, now.at[name])
        for name, end in ends.items()
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
