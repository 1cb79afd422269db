"""Figures as cars have them, and what a figure beyond may have been meant to be.

Ranges are wide judgements of this project from road cars, no source: what lies beyond is asked
about and never refused. A figure that would be usual in centimetres, in inches or with the other
sign is told as such, since bare figures are taken as millimetres. Millimetres.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from common.message import Message, message
from common.units import MM_PER_INCH
from fitment.engine.model import BODY
from fitment.engine.survey.reading_forms import FORMS
from fitment.engine.survey.readings import JOINT_NAMES, PLACES, Place, Reading

Question = tuple[int, Message]
Span = tuple[float, float]
#: By form and figure.
USUAL: Mapping[tuple[str, str], Span] = {
    ("setting", "height_mm"): (220.0, 650.0),
    ("pose", "height_mm"): (220.0, 750.0),
    ("pose", "line_mm"): (-150.0, 300.0),
    ("front_space", "front_space_mm"): (15.0, 180.0),
    ("front_space", "spacer_mm"): (0.0, 80.0),
    ("front_space", "cap_depth_mm"): (-60.0, 130.0),
    ("present_tyre", "circumference_mm"): (1400.0, 2700.0),
    ("present_tyre", "section_width_mm"): (120.0, 420.0),
    ("plumb_line", "height_mm"): (220.0, 650.0),
    ("plumb_line", "line_top_mm"): (-120.0, 200.0),
    ("plumb_line", "line_bottom_mm"): (-150.0, 220.0),
    ("plumb_line", "lip_radius_mm"): (150.0, 330.0),
    ("straightedge", "block_mm"): (0.0, 200.0),
    ("straightedge", "along_mm"): (250.0, 600.0),
    ("straightedge", "edge_mm"): (-300.0, 120.0),
    ("tape", "tape_mm"): (220.0, 650.0),
    ("hub_bar", "thickness_mm"): (2.0, 60.0),
    ("gap", "gap_mm"): (0.0, 200.0),
    ("turns_in", "turns_in_mm"): (0.0, 60.0),
    ("toe_string", "apart_mm"): (150.0, 1500.0),
    ("steer_axis", "inboard_mm"): (-30.0, 250.0),
    ("pivots", "lower_mm"): (20.0, 300.0),
    ("pivots", "top_mm"): (60.0, 900.0),
}
#: A bar on the hub: along it to what the body carries, and to what the hub carries; its depth.
ALONG_BODY, ALONG_HUB = (60.0, 650.0), (20.0, 420.0)
DEPTH_BODY, DEPTH_HUB = (20.0, 700.0), (0.0, 450.0)
#: Joints from the middle of the hub's face: forward, inboard, up.
JOINTS: Mapping[str, tuple[Span, Span, Span]] = {
    "lower_ball_joint": ((-80.0, 80.0), (0.0, 260.0), (-230.0, -20.0)),
    "upper_ball_joint": ((-150.0, 100.0), (0.0, 320.0), (20.0, 550.0)),
    "tie_outer": ((-280.0, 280.0), (0.0, 300.0), (-200.0, 250.0)),
    "strut_lower": ((-120.0, 120.0), (20.0, 300.0), (-150.0, 350.0)),
    "strut_top": ((-260.0, 200.0), (40.0, 450.0), (250.0, 950.0)),
    "lower_arm_front": ((-200.0, 500.0), (150.0, 800.0), (-280.0, 150.0)),
    "lower_arm_rear": ((-650.0, 150.0), (150.0, 800.0), (-280.0, 150.0)),
    "upper_arm_front": ((-200.0, 450.0), (80.0, 700.0), (0.0, 650.0)),
    "upper_arm_rear": ((-550.0, 150.0), (80.0, 700.0), (0.0, 650.0)),
    "tie_inner": ((-350.0, 350.0), (120.0, 850.0), (-280.0, 300.0)),
}
#: What a figure may have been meant as, and the factor that makes it so.
MEANT: tuple[tuple[str, float], ...] = (
    ("meant.sign", -1.0),
    ("meant.centimetres", 10.0),
    ("meant.inches", MM_PER_INCH),
    ("meant.point", 100.0),
    ("meant.tenfold", 0.1),
)


def unusual(readings: tuple[Reading, ...]) -> Iterator[Question]:
    """A question for every figure beyond what cars have, the reading's key beside it."""
    for reading in readings:
        form = FORMS.get(reading.form)
        for figure in form.figures_in(reading.pose) if form else ():
            value, span = reading.number(figure.name), span_of(reading, figure.name)
            if value is not None and span is not None and not _inside(value, span):
                yield reading.key, _question(figure.words, value, span)


def span_of(reading: Reading, figure: str) -> Span | None:
    """Between what a figure usually lies; None where anything may be right."""
    if reading.form == "joint":
        spans = JOINTS.get(JOINT_NAMES.get(reading.text("joint"), ""))
        names = ("forward_mm", "inboard_mm", "up_mm")
        return spans[names.index(figure)] if spans and figure in names else None
    if reading.form == "hub_bar" and figure in ("along_mm", "depth_mm"):
        of_body = PLACES.get(reading.place, Place()).carried_by == BODY
        if figure == "along_mm":
            return ALONG_BODY if of_body else ALONG_HUB
        return DEPTH_BODY if of_body else DEPTH_HUB
    return USUAL.get((reading.form, figure))


def _inside(value: float, span: Span) -> bool:
    return span[0] <= value <= span[1]


def _question(words: str, value: float, span: Span) -> Message:
    about = {"figure": words.rsplit(",", 1)[0], "read_mm": value}
    about |= {"low_mm": span[0], "high_mm": span[1]}
    meant = tuple(
        message(code, meant_mm=value * factor)
        for code, factor in MEANT
        if _inside(value * factor, span)
    )
    return message("ask.meant", **about, meant=meant) if meant else message("ask.unusual", **about)
