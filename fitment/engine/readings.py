"""The forms in which a corner is read: what each asks, with what it is read, and where.

Plain data for pages and for :mod:`fitment.engine.sheet`, which makes points of it. Millimetres and
degrees; poses are how the car stood while something was read.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

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
FRONT, REAR = "front", "rear"
CROWN, INNER_WALL, OUTER_WALL = "crown", "inner wall", "outer wall"


@dataclass(frozen=True)
class Figure:
    """One thing that a form asks: a number, or one of ``choices``, or ``text``."""

    name: str
    words: str
    required: bool = True
    help: str = ""
    choices: tuple[str, ...] = ()
    text: bool = False


@dataclass(frozen=True)
class Form:
    """A form of reading. ``at_place`` forms belong to a place of the car."""

    words: str
    tool: str
    figures: tuple[Figure, ...]
    gives_point: bool = False
    at_place: bool = False
    in_pose: bool = False


@dataclass(frozen=True)
class Place:
    """What a place is by its name: what carries it, and how its readings belong together."""

    carried_by: str = BODY
    shape: str = EDGE
    surface: str = HARD


PLACES: dict[str, Place] = {
    "fender lip": Place(),
    "arch liner": Place(surface=SOFT),
    "inner panel": Place(),
    "frame rail": Place(),
    "bumper edge": Place(surface=SOFT),
    "sill end": Place(),
    "strut tube": Place(STRUT_BODY),
    "spring seat": Place(STRUT_BODY, POINTS),
    "upper arm": Place(KNUCKLE, POINTS),
    "knuckle": Place(KNUCKLE, POINTS),
    "brake caliper": Place(KNUCKLE, POINTS),
    "brake hose": Place(KNUCKLE, POINTS, SOFT),
}
"""Places that most cars have; any other name is a hard edge of the body."""

_CLOCK = (
    Figure(
        "clock_deg",
        "Clock, °",
        False,
        "0 straight up, +90 to the front, −90 to the rear. Or lay the level on, below.",
    ),
    Figure("level_deg", "Level on the straightedge or bar, °", False, "Above the axis positive."),
    Figure("side", "It points to the", False, choices=(FRONT, REAR)),
)
_MOTION = Figure("motion_ratio", "Shaft movement over wheel travel", help="1 is one to one.")

FORMS: Mapping[str, Form] = {
    "setting": Form(
        "Camber, toe and height as it stands",
        "rack, tape",
        (
            Figure("camber_deg", "Camber, °", help="Top inboard negative."),
            Figure("toe_deg", "Toe of this wheel, °", help="Front edge inboard positive."),
            Figure("height_mm", "Middle of the cap up to the lip, mm"),
        ),
    ),
    "front_space": Form(
        "Front space and cap",
        "straightedge over the rim, depth gauge",
        (
            Figure("front_space_mm", "Rim's outboard lips to the mounting pad, mm"),
            Figure("spacer_mm", "Spacer, mm", False),
            Figure("cap_depth_mm", "Rim's lips to the middle of the cap, mm"),
        ),
    ),
    "present_tyre": Form(
        "Wheel and tyre on the car",
        "side wall, tape round the crown off the ground, callipers",
        (
            Figure("size", "Tyre size", text=True, help="As on the side wall, like 225/45R17."),
            Figure("rim_width_in", "Rim width, in"),
            Figure("circumference_mm", "Round the crown, mm", False),
            Figure("section_width_mm", "Section width, mm", False),
        ),
    ),
    "pose": Form(
        "How it stands",
        "tape, rack or level, turn plate",
        (
            Figure("height_mm", "Middle of the cap up to the lip, mm", False),
            Figure("camber_deg", "Camber, °", False, "Empty: as the suspension gives it."),
            Figure("plate_deg", "Turned on the plate from straight ahead, °", False),
        ),
        in_pose=True,
    ),
    "toe_string": Form(
        "Toe of the bare hub",
        "bar level on the hub, string along the car",
        (
            Figure("front_mm", "String to the front mark, mm"),
            Figure("rear_mm", "String to the rear mark, mm"),
            Figure("apart_mm", "Marks apart, mm"),
        ),
        in_pose=True,
    ),
    "plumb_line": Form(
        "Lip above the hub by a plumb line",
        "plumb line from the lip, tape",
        (
            Figure("height_mm", "Middle of the cap straight up to the lip, mm"),
            Figure("line_top_mm", "Rim's lip at the top to the line, mm", help="Line outboard: +."),
            Figure("line_bottom_mm", "Rim's lip at the bottom to the line, mm"),
            Figure("lip_radius_mm", "Radius of the rim's lip there, mm"),
        ),
        gives_point=True,
        at_place=True,
        in_pose=True,
    ),
    "straightedge": Form(
        "Edge beside a straightedge on blocks",
        "straightedge through the axis on two blocks, tape, level",
        (
            Figure("block_mm", "Blocks, mm"),
            Figure("along_mm", "Axis along the straightedge to the edge, mm"),
            Figure("edge_mm", "Straightedge out to the edge, mm", help="Edge inboard: −."),
            *_CLOCK,
        ),
        gives_point=True,
        at_place=True,
        in_pose=True,
    ),
    "tape": Form(
        "Lip by the tape from the cap",
        "tape, level",
        (
            Figure("tape_mm", "Middle of the cap to the lip, mm"),
            Figure("axial_mm", "Lip from the hub face, mm", help="Known otherwise. Outboard: +."),
            *_CLOCK,
        ),
        gives_point=True,
        at_place=True,
        in_pose=True,
    ),
    "hub_bar": Form(
        "Point beside a bar on the bare hub",
        "bar bolted to the hub, tape, level",
        (
            Figure("thickness_mm", "Bar thickness, mm"),
            Figure("along_mm", "Axis along the bar, mm"),
            Figure("depth_mm", "Bar's outer face to the point, mm"),
            Figure("depth_side", "The point is", choices=("inboard", "outboard")),
            *_CLOCK,
        ),
        gives_point=True,
        at_place=True,
        in_pose=True,
    ),
    "gap": Form(
        "Gap to the tyre on the car",
        "wedge or clay, level",
        (
            Figure(
                "gap_mm",
                "Gap, mm",
                help="A place that was measured otherwise is checked by it and not moved.",
            ),
            Figure("spot", "At the tyre's", choices=(CROWN, INNER_WALL, OUTER_WALL)),
            Figure("beside_mm", "Beside the middle of the tread, mm", False, "Outboard: +."),
            Figure("at_radius_mm", "Radius on the wall, mm", False, "Empty: at the bulge."),
            *_CLOCK,
        ),
        gives_point=True,
        at_place=True,
        in_pose=True,
    ),
    "turns_in": Form(
        "How far a lip turns in",
        "rule under the lip",
        (Figure("turns_in_mm", "Turns in by, mm", help="0 where it is plain or rolled."),),
        at_place=True,
    ),
    "bump_left": Form(
        "Bump that is left",
        "tape on the damper shaft",
        (
            Figure("shaft_mm", "Shaft from the gland to the stop's mount, mm"),
            Figure("solid_mm", "Stop squashed, mm", False, "Or its free length, below."),
            Figure("stop_mm", "Stop's free length, mm", False, "Foam: squashed to 0.4 of it."),
            _MOTION,
        ),
    ),
    "bump_used": Form(
        "Bump that a dip takes",
        "tie on the damper shaft, driven lawfully",
        (Figure("tie_mm", "Tie pushed along by, mm"), _MOTION),
    ),
    "steer_axis": Form(
        "Steering axis, where no joints were measured",
        "rack's caster and inclination, tape",
        (
            Figure("caster_deg", "Caster, °"),
            Figure("inclination_deg", "Steering axis inclination, °"),
            Figure("inboard_mm", "Axis inboard of the hub face at hub height, mm"),
            Figure("forward_mm", "Axis in front of the hub there, mm", False),
        ),
    ),
}


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
