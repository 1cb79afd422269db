"""Joints held against each other: what a wrong sign puts on the wrong side of its neighbour.

Millimetres from the middle of the hub's face, as read.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from common.message import Message, message
from fitment.engine.survey.readings import JOINT_NAMES, Reading

Question = tuple[int, Message]
#: A rod goes inboard by this at least, and from its middle joint no farther fore or aft than this;
#: judgements of this project, no source.
LEAST_ROD_MM, ROD_SLANT_MM = 80.0, 180.0
#: Joints that have another in front of them, or farther inboard.
IN_FRONT = (("lower_arm_front", "lower_arm_rear"), ("upper_arm_front", "upper_arm_rear"))
INBOARD = (
    ("tie_outer", "tie_inner"),
    ("lower_ball_joint", "lower_arm_front"),
    ("lower_ball_joint", "lower_arm_rear"),
    ("upper_ball_joint", "upper_arm_front"),
    ("upper_ball_joint", "upper_arm_rear"),
)


def against_each_other(readings: Sequence[Reading]) -> Iterator[Question]:
    """Questions about pairs of joints, each with the key of the joint that is the odd one."""
    newest: dict[str, Reading] = {}
    for reading in readings:
        name = JOINT_NAMES.get(reading.text("joint")) if reading.form == "joint" else None
        if name is not None:
            newest[name] = reading
    yield from _behind(newest)
    yield from _outboard(newest)
    yield from _slanting(newest)


def _pairs(
    newest: Mapping[str, Reading], names: Sequence[tuple[str, str]], figure: str
) -> Iterator[tuple[Reading, Reading, float, float]]:
    for one, other in names:
        if one in newest and other in newest:
            a, b = newest[one].number(figure), newest[other].number(figure)
            if a is not None and b is not None:
                yield newest[one], newest[other], a, b


def _behind(newest: Mapping[str, Reading]) -> Iterator[Question]:
    """A front bush that lies behind the rear one, or at it."""
    for front, rear, ahead, back in _pairs(newest, IN_FRONT, "forward_mm"):
        if ahead > back:
            continue
        # The one whose other sign puts them right; of two, the one that is farther out.
        either = [(rear, -back < ahead, abs(back)), (front, -ahead > back, abs(ahead))]
        odd = max(either, key=lambda one: (one[1], one[2]))[0]
        yield odd.key, _question("ask.bushes", odd, front if odd is rear else rear)


def _outboard(newest: Mapping[str, Reading]) -> Iterator[Question]:
    """What the body carries and lies hardly inboard of what the hub carries."""
    for outer, inner, near, far in _pairs(newest, INBOARD, "inboard_mm"):
        if far - near < LEAST_ROD_MM:
            odd = outer if abs(near) > abs(far) else inner
            yield odd.key, _question("ask.inboard", odd, inner if odd is outer else outer)


def _slanting(newest: Mapping[str, Reading]) -> Iterator[Question]:
    """A toe link or tie rod that runs along the car, and would not with the other sign."""
    for outer, inner, one, other in _pairs(newest, (("tie_outer", "tie_inner"),), "forward_mm"):
        if abs(one - other) > ROD_SLANT_MM and abs(one + other) <= ROD_SLANT_MM:
            odd = max((outer, inner), key=lambda reading: reading.key)
            yield odd.key, _question("ask.slant", odd, inner if odd is outer else outer)


def _question(code: str, odd: Reading, other: Reading) -> Message:
    return message(code, joint=odd.text("joint"), other=other.text("joint"))
