"""The forms in which a corner is read: what each asks, with what it is read, and how.

Plain data; millimetres and degrees. A new form needs its conversion in
:mod:`fitment.engine.survey.surveying` and its call in
:class:`fitment.engine.survey.reading_sheet.Sheet`.
"""

from __future__ import annotations

from collections.abc import Mapping

from fitment.engine.survey import typical
from fitment.engine.survey.readings import (
    CROWN,
    FRONT,
    HANGING,
    INNER_WALL,
    JACKED,
    JOINT_NAMES,
    KIND_CHOICES,
    LOCKS,
    OFF_STANDING,
    OUTER_WALL,
    REAR,
    STANDING,
    THIS_CAR,
    WHOLE,
    Figure,
    Form,
)

_CLOCK = (
    Figure(
        "clock_deg",
        "Clock, °",
        False,
        "0 straight up, +90 to the front, −90 to the rear. Or what the level shows.",
    ),
    Figure(
        "level_deg",
        "Level on the straightedge or bar, °",
        False,
        "Instead of the clock; pointing above the axis: +.",
    ),
    Figure("side", "It points to the", False, choices=(FRONT, REAR)),
)
_MOTION = Figure(
    "motion_ratio",
    "Shaft movement over wheel travel",
    False,
    "1 is one to one, as on most struts. Empty: from the shaft read in two poses.",
)

FORMS: Mapping[str, Form] = {
    "plan": Form(
        "What is to be surveyed",
        "a look under the car",
        (
            Figure("level", "How much", choices=(WHOLE, THIS_CAR)),
            Figure("kind", "What holds the wheel", choices=tuple(KIND_CHOICES)),
        ),
    ),
    "setting": Form(
        "Camber, toe and height as it stands",
        "rack, tape",
        (
            Figure("camber_deg", "Camber, °", help="Top inboard negative."),
            Figure("toe_deg", "Toe of this wheel, °", help="Front edge inboard positive."),
            Figure("height_mm", "Middle of the cap up to the lip, mm"),
        ),
        how="The car stands on its wheels, rolled a length and settled, wheels ahead.",
    ),
    "front_space": Form(
        "Front space and cap",
        "straightedge over the rim, depth gauge",
        (
            Figure(
                "front_space_mm",
                "Rim's outboard lips to the mounting pad, mm",
                False,
                "Where it cannot be read: leave it empty and enter width and offset.",
            ),
            Figure("spacer_mm", "Spacer, mm", False),
            Figure(
                "cap_depth_mm",
                "Rim's lips to the middle of the cap, mm",
                help="How deep the cap lies behind a straightedge over the rim; behind it: +.",
            ),
            Figure("rim_width_in", "Rim width as marked, in", False),
            Figure("offset_mm", "Offset as marked, mm", False),
        ),
        how="Lay the straightedge over the rim's outer lips, through the middle. The mounting pad "
        "is where the wheel lies on the hub: read it through a bolt hole or a gap of the spokes.",
    ),
    "present_tyre": Form(
        "Wheel and tyre on the car",
        "side wall, tape round the crown off the ground, callipers",
        (
            Figure("size", "Tyre size", text=True, help="As on the side wall, like 225/45R17."),
            Figure("rim_width_in", "Rim width, in"),
            Figure("circumference_mm", "Round the crown, mm", False),
            Figure("section_width_mm", "Section width, mm", False, "Callipers, above the floor."),
            Figure(
                "profile",
                "Traced profile",
                False,
                "From a profile gauge: axial from the middle of the tyre and radius from the axle, "
                "pair by pair, outboard bead over the crown to the inboard one; semicolons.",
                text=True,
            ),
        ),
        how="Round the crown with the wheel off the ground: rolling it comes out 2 to 3 % short.",
    ),
    "pose": Form(
        "How it stands",
        "tape, rack or level, turn plate",
        (
            Figure("plate_deg", "Turned on the plate from straight ahead, °", poses=LOCKS),
            Figure(
                "height_mm",
                "Middle of the cap up to the lip, mm",
                False,
                "At lock empty: as it stands ahead.",
                poses=(STANDING, *LOCKS, JACKED),
            ),
            Figure(
                "height_mm",
                "Middle of the bare hub's face up to the lip, mm",
                False,
                "To the mark that was made over the cap.",
                poses=(HANGING,),
            ),
            Figure("camber_deg", "Camber, °", False, "Empty: not read."),
            Figure(
                "toe_deg",
                "Toe of this wheel, °",
                False,
                "If the rack can read it.",
                poses=OFF_STANDING,
            ),
            Figure(
                "line_mm",
                "Hub's face out to a plumb line from the lip, mm",
                False,
                "From the mark above the hub where the lip was read standing. It tells how far "
                "the hub moves sideways.",
                poses=OFF_STANDING,
            ),
            Figure(
                "line_forward_mm",
                "Hub's middle forward to that line, mm",
                False,
                "Line behind the hub: −.",
                poses=OFF_STANDING,
            ),
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
        how="Hang the line from the lip straight above the cap and mark the lip there. Tape square "
        "to the car from the rim's lip to the line, at the top of the rim and at the bottom.",
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
        how="Two blocks of one height on the rim's lips, the straightedge on them through the "
        "middle of the cap, turned until the level shows the angle asked for. The radius is read "
        "along it from the middle of the cap; the edge from its inner face.",
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
        how="Bolt the bar to the bare hub through its middle and turn it until the level shows the "
        "angle asked for. Along it the radius is read from the middle of the hub; the depth goes "
        "square to the bar from its outer face to the point.",
    ),
    "joint": Form(
        "Middle of a joint",
        "two plumb lines to the floor, chalk, tape",
        (
            Figure("joint", "Joint", choices=tuple(JOINT_NAMES)),
            Figure("forward_mm", "In front of the hub's middle, mm", help="Behind it: −."),
            Figure("inboard_mm", "Inboard of the hub's face, mm", help="Outboard of it: −."),
            Figure("up_mm", "Above the hub's middle, mm", help="Below it: −."),
        ),
        in_pose=True,
        how="Bring the arm up with a jack until the hub is as high as it stood, and put a stand "
        "under it: what the hub carries turns as it hangs. Drop the middle of the hub's face and "
        "the middle of the joint to the floor by plumb line and mark both. Forward and inboard are "
        "read between the marks, along and across the car; up is the difference of both heights "
        "over the floor.",
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
        how="Find the tightest spot and push wedge or clay in square to the tyre there. Its clock "
        "is the way from the middle of the hub to it: hold the straightedge along and lay the "
        "level on.",
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
        in_pose=True,
        how="Read the shaft in any pose whose height was read; hanging it is easiest to reach.",
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
    "pivots": Form(
        "Joints by their height alone, for camber",
        "tape",
        (
            Figure("lower_mm", "Lower joint below the hub's middle, mm"),
            Figure("top_mm", "Top mount, or upper joint, above the hub's middle, mm"),
        ),
        how="To 20 mm is near enough: the wheel tips about the lower joint when the top is moved, "
        "and about the top when the lower arm is.",
    ),
    "left_out": Form(
        "Left out",
        "nothing",
        (Figure("step", "Step", text=True), Figure("why", "Because", text=True)),
    ),
    "typical": Form(
        "If its movement cannot be measured: take typical curves",
        "nothing: a guess",
        (Figure("like", "It is like", choices=tuple(typical.KINDS)),),
        how="To look at, never to book on: checks say that the corner is unmeasured until heights "
        "or joints are read.",
    ),
}
