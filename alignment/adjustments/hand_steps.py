"""What a hand can set: steps below it are neither made nor printed, and plans keep to it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from alignment.geometry.adjuster_units import FLATS_IN_A_TURN, HandSetting
from alignment.geometry.adjustment_problem import Adjustment, Adjustments, Forward, Option
from alignment.geometry.continuous_solver import predicted

#: Lengths and angles are printed, and set, to a tenth.
LEAST_MM = LEAST_DEG = 0.05
#: How near a planned position must be to a whole shim, mm.
SAME_SHIM_MM = 0.01


def least_of(name: str, hand: HandSetting | None) -> float:
    """The smallest move (mm, degrees at the knuckle) that a hand can make of an adjuster."""
    if hand is not None and hand.turn_mm:
        return hand.turn_mm / FLATS_IN_A_TURN / 2
    if hand is not None and hand.least:
        return hand.least / 2
    return LEAST_DEG if name.endswith("_deg") else LEAST_MM


def can_be_set(move: Adjustment, hand: HandSetting | None) -> bool:
    """Whether a move is one that a hand can make."""
    return abs(move.by) >= least_of(move.adjuster, hand) - 1e-9


def as_set_by_hand(
    answer: Adjustments, hands: Mapping[str, HandSetting], forward: Forward
) -> Adjustments:
    """The same answer without moves that no hand can make: those adjusters stay, and the readings
    are predicted for that. Options that become the same are one."""
    found: list[Option] = []
    for option in answer.options:
        kept = tuple(
            move for move in option.adjustments if can_be_set(move, hands.get(move.adjuster))
        )
        if len(kept) < len(option.adjustments):
            stays = {m.adjuster: m.start for m in option.adjustments if m not in kept}
            positions = {**option.positions, **stays}
            told = predicted(forward, answer.offset, positions)
            option = replace(option, adjustments=kept, positions=positions, predicted=told)
        if not any(one.adjustments == option.adjustments for one in found):
            found.append(option)
    return replace(answer, options=tuple(found))


@dataclass(frozen=True)
class OutOfRange:
    """A planned position that the parts cannot take: beyond ``low``..``high``, or, with
    ``shim_mm``, between two whole numbers of shims."""

    adjuster: str
    planned: float
    low: float | None = None
    high: float | None = None
    shim_mm: float | None = None


def out_of_range(
    stated: Mapping[str, float],
    reach: Mapping[str, tuple[float, float]],
    hands: Mapping[str, HandSetting],
) -> tuple[OutOfRange, ...]:
    """Planned positions against the ranges of the parts and the shims there are."""
    found = []
    for name, planned in stated.items():
        low, high = reach.get(name, (None, None))
        below = low is not None and planned < low - 1e-6
        above = high is not None and planned > high + 1e-6
        if below or above:
            found.append(OutOfRange(name, planned, low, high))
            continue
        shim = hands[name].shim_mm if name in hands else None
        if shim and abs(planned - shim * round(planned / shim)) > SAME_SHIM_MM:
            found.append(OutOfRange(name, planned, shim_mm=shim))
    return tuple(found)
