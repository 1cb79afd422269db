"""What a technician must know beside the moves of a corner: cautions and notes."""

from __future__ import annotations

from collections.abc import Iterator

from alignment.adjustments.services import CornerAdjustments
from alignment.adjustments.text import QUANTITY_WORDS
from alignment.geometry.adjustment_problem import TOE, TOE_LINK
from alignment.text.labels import adjuster_label
from alignment.visits.services.derived_quantities import included_angles
from common.corners import AXLE_CORNERS, FRONT, axle_of

#: Included angles that differ by this much (degrees) are asked about: a judgement from practice.
BENT_DEG = 0.45
HALF_IN_FRONT = (
    "Only the total toe was read. Half of it is put down to each wheel, as if the steering stood "
    "straight ahead: hold it there, and read wheel by wheel before the steering wheel is called "
    "straight."
)
HALF_BEHIND = (
    "Only the total toe of the rear axle was read, and it does not tell the thrust angle: one "
    "wheel may point out while the other points in. Half of it is put down to each wheel. Read the "
    "rear toe wheel by wheel before a link is moved."
)


def notes_of(corner: CornerAdjustments) -> list[str]:
    notes: list[str] = []
    if corner.why_not or corner.answer is None:
        return notes
    if corner.toe_is_split and axle_of(corner.corner) == FRONT:
        notes.append(HALF_IN_FRONT)
    elif TOE in corner.read and not corner.visit.steering_ahead and axle_of(corner.corner) == FRONT:
        notes.append(
            "The steering wheel was not noted as straight ahead and held, so front toe is good "
            "as a total only."
        )
    for name, typed in corner.unclear.items():
        notes.append(
            f"{adjuster_label(name)} stood at “{typed}”, which has no size here: say in the part "
            "what a mark or a turn of it is. It is taken as at the survey."
        )
    moved = {move.adjuster for option in corner.answer.options for move in option.adjustments}
    known = corner.recorded | corner.assumed
    blind = [name for name in sorted(moved - known) if name not in (*corner.unclear, TOE_LINK)]
    for name in blind:
        counted = "" if name in corner.unbounded else ", and its range is counted from there"
        notes.append(
            f"Nobody recorded where this stands: {adjuster_label(name).lower()}. It is taken as "
            f"at the survey{counted}."
        )
    for name in sorted((moved & corner.unbounded) - {TOE_LINK}):
        notes.append(
            f"No part of this car or order says how far this goes, or in which steps: "
            f"{adjuster_label(name).lower()}. Look whether it can be set like that."
        )
    if corner.assumed:
        names = ", ".join(adjuster_label(name).lower() for name in sorted(corner.assumed))
        notes.append(
            f"Not recorded since moves were accepted: {names}. Taken as moved; if a part stands "
            "elsewhere, record it with the readings."
        )
    if abs(corner.thrust_shift_deg) >= 0.01:
        notes.append(
            "Set the rear axle first: the line from which front toe is counted turns with it, and "
            f"the toe here is reckoned with {corner.thrust_shift_deg:+.2f}°.".replace("-", "−")
        )
    for name in corner.answer.unknown:
        notes.append(f"{QUANTITY_WORDS[name]} has a target but cannot be predicted here.")
    return notes


def cautions_of(corner: CornerAdjustments) -> Iterator[str]:
    """What comes before any move."""
    bent = _bent(corner)
    if bent:
        yield bent
    if needs_thrust(corner):
        yield HALF_BEHIND


def needs_thrust(corner: CornerAdjustments) -> bool:
    """Whether moves go by half of a rear total, which does not tell the thrust angle."""
    return corner.toe_is_split and axle_of(corner.corner) != FRONT and corner.answer is not None


def _bent(corner: CornerAdjustments) -> str:
    """Camber and inclination together do not change with a top mount, but with a bent part."""
    angles = included_angles(corner.visit)
    pair = [angles.get(one) for one in AXLE_CORNERS[axle_of(corner.corner)]]
    if pair[0] is None or pair[1] is None or abs(pair[0] - pair[1]) < BENT_DEG:
        return ""
    return (
        f"The included angles differ by {abs(pair[0] - pair[1]):.2f}° from left to right: a strut "
        "or a knuckle may be bent. Find it first; moves only cover it up."
    )
