"""What a reading of a corner is: its form, its place, the pose in which it was taken.

Plain data for pages and for :mod:`fitment.engine.survey.reading_sheet`, which makes points of it;
the forms themselves stand in :mod:`fitment.engine.survey.reading_forms`. Millimetres and degrees;
poses are how the car stood while something was read.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from alignment.geometry.model import LINKS, STRUT, WISHBONES
from fitment.engine.model import BODY, EDGE, HARD, KNUCKLE, POINTS, SOFT, STRUT_BODY

STANDING, LOCK_IN, LOCK_OUT, HANGING, JACKED = (
    "standing",
    "lock_in",
    "lock_out",
    "hanging",
    "jacked",
)
POSES: dict[str, str] = {
    STANDING: "standing, straight ahead",
    LOCK_IN: "at lock, front edge turned in",
    LOCK_OUT: "at lock, front edge turned out",
    HANGING: "wheel off, hanging",
    JACKED: "jacked up under the arm",
}
LOCKS, OFF_STANDING = (LOCK_IN, LOCK_OUT), (HANGING, JACKED)
FRONT, REAR = "front", "rear"
CROWN, INNER_WALL, OUTER_WALL = "crown", "inner wall", "outer wall"


@dataclass(frozen=True)
class Figure:
    """One thing that a form asks: a number, or one of ``choices``, or ``text``.

    ``poses``: where it is asked; everywhere if empty.
    """

    name: str
    words: str
    required: bool = True
    help: str = ""
    choices: tuple[str, ...] = ()
    text: bool = False
    poses: tuple[str, ...] = ()

    @property
    def unit(self) -> str:
        """The unit in which a bare number is taken; empty for words and ratios."""
        return next((u for u in ("mm", "in", "°") if self.words.endswith(f", {u}")), "")


@dataclass(frozen=True)
class Form:
    """A form of reading. ``at_place`` forms belong to a place of the car; ``how`` says how it is
    taken, to a technician who does it for the first time."""

    words: str
    tool: str
    figures: tuple[Figure, ...]
    gives_point: bool = False
    at_place: bool = False
    in_pose: bool = False
    how: str = ""

    def figures_in(self, pose: str) -> tuple[Figure, ...]:
        """What it asks in a pose."""
        return tuple(one for one in self.figures if not one.poses or pose in one.poses)


@dataclass(frozen=True)
class Place:
    """What a place is by its name: what carries it, and how its readings belong together.

    ``straight``: its spots are joined by straight lines through space, not around the hub.
    """

    carried_by: str = BODY
    shape: str = EDGE
    surface: str = HARD
    straight: bool = False


PLACES: dict[str, Place] = {
    "arch lip": Place(),
    "arch liner": Place(surface=SOFT),
    "inner panel": Place(),
    "frame rail": Place(straight=True),
    "bumper edge": Place(surface=SOFT),
    "sill end": Place(),
    "strut tube": Place(STRUT_BODY, straight=True),
    "spring seat": Place(STRUT_BODY, POINTS),
    "upper arm": Place(KNUCKLE, POINTS),
    "knuckle": Place(KNUCKLE, POINTS),
    "brake caliper": Place(KNUCKLE, POINTS),
    "brake hose": Place(KNUCKLE, POINTS, SOFT),
}
"""Places that most cars have; any other name is a hard edge of the body."""

#: How much is to be surveyed, and what kind of suspension it is.
WHOLE, THIS_CAR = "the whole corner, for the car model", "this car, wheel stays on"
KIND_CHOICES: dict[str, str] = {
    "a strut": STRUT,
    "two wishbones": WISHBONES,
    "five links": LINKS,
    "something else, or not known": "",
}
#: Joints by their words, and whether the hub carries them.
JOINT_NAMES: dict[str, str] = {
    "lower ball joint": "lower_ball_joint",
    "upper ball joint": "upper_ball_joint",
    "toe link or tie rod, at the wheel": "tie_outer",
    "strut axis, low on the strut": "strut_lower",
    "strut top mount": "strut_top",
    "lower arm, front bush": "lower_arm_front",
    "lower arm, rear bush": "lower_arm_rear",
    "upper arm, front bush": "upper_arm_front",
    "upper arm, rear bush": "upper_arm_rear",
    "toe link or tie rod, at the body": "tie_inner",
}
ON_THE_KNUCKLE = ("lower_ball_joint", "upper_ball_joint", "tie_outer", "strut_lower")


@dataclass(frozen=True)
class Reading:
    """One reading: numbers, and words where its form asks for them. ``key`` tells it apart."""

    form: str
    values: Mapping[str, float | str] = field(default_factory=dict)
    place: str = ""
    pose: str = STANDING
    key: int = 0

    def number(self, name: str) -> float | None:
        """A figure, None where it was left out."""
        value = self.values.get(name)
        return None if value is None or isinstance(value, str) else float(value)

    def text(self, name: str) -> str:
        """A word, empty where it was left out."""
        return str(self.values.get(name) or "")
