"""A wheel in section in one pose, with every spot where it is then.

The plane is that of the section drawing: axial from the hub face, outboard to the right; radius
from the spin axis, upwards; mm. The wheel stands still, and the body moves past it.
"""

from __future__ import annotations

from collections.abc import Iterator

from common.message import Message, message
from fitment.engine.curves.at_pose import CornerAtPose, SpotCourse
from fitment.engine.drawing.captions import legend_of_far
from fitment.engine.drawing.contour import Raster
from fitment.engine.drawing.dimension_lines import gaps_of
from fitment.engine.drawing.label_layout import Placer
from fitment.engine.drawing.lettering import Letter
from fitment.engine.drawing.scene import Fill, Part, Scene, Stroke, Text
from fitment.engine.drawing.section_parts import (
    centre_lines,
    dimensions_of,
    ink_of,
    labelled,
    rings_of,
    strip,
    view_of,
    wheel_mask,
)
from fitment.engine.findings import pose_of

RASTER_MM = 1.25
CROSS_MM = 3.0
#: How dark a spot's line is to the layout of words, and how far from it they stay, mm.
LINE_CLEAR_MM = 8.0

View = tuple[float, float, float, float]


def pose_scene(pose: CornerAtPose, *, title: Text, letter: Letter) -> Scene:
    """The section of a corner in one pose, not lettered yet."""
    section = pose.section
    rings = rings_of(section)
    view = view_of(section, rings)
    raster = Raster.over((view[0], 0.0, view[2], view[3]), RASTER_MM)
    placer = Placer(raster, ink_of(raster, wheel_mask(raster, rings)), Scene.narrow_text_mm)
    parts: list[Part] = [Fill(rings[:1], "tyre-fill"), Fill(rings[1:], "rim-fill")]
    parts += [Stroke(ring, "ink-thick", closed=True) for ring in rings]
    for ring in rings:
        placer.darken((*ring, ring[0]), 10.0)
    for course in pose.courses:
        for stroke in _spot(course, view):
            parts.append(stroke)
            placer.darken(stroke.points, LINE_CLEAR_MM)
    parts += [*centre_lines(section, view), *strip(view)]
    half = {course.place: course.half_thickness_mm for course in pose.courses}
    gaps = gaps_of(pose.spots, half, section, view)
    dimensions = dimensions_of(gaps, {})
    for shape in dimensions.values():
        placer.keep_clear((shape.turned.elbow, *shape.shifted, shape.elbow))
    return Scene(
        title=title,
        description=(message("describe.pose-section"), *described(pose)),
        viewport=view,
        parts=(*parts, *labelled(gaps, {}, dimensions, placer, letter)),
        legend=(message("legend.pose-numbers"), *legend_of_far(gaps)),
    )


def described(pose: CornerAtPose) -> Iterator[Message]:
    """The pose, and each spot's gap in it, the tightest first."""
    at = pose.at
    yield message("describe.pose", pose=pose_of(at.travel_mm, at.steer_deg, load=at.load))
    for spot in sorted(pose.spots, key=lambda one: one.order_mm):
        if spot.is_measured:
            yield message("describe.spot-here", spot=spot.place, gap_mm=spot.clearance_mm)
        else:
            yield message("describe.spot-not-measured", spot=spot.place)


def _spot(course: SpotCourse, view: View) -> Iterator[Stroke]:
    """A spot's line, or a cross for each of its points, inside the view."""
    left, _, right, top = view
    style = "swept-edge" if course.on_body else "ink-thin"
    points = [(float(a), float(r)) for a, r in zip(course.axial_mm, course.radius_mm, strict=True)]
    seen = [left < a < right and 0.0 <= r < top for a, r in points]
    if not course.is_edge:
        for (a, r), shown in zip(points, seen, strict=True):
            for sign in (1, -1) if shown else ():
                arm = CROSS_MM * sign
                ends = (a - CROSS_MM, r - arm), (a + CROSS_MM, r + arm)
                yield Stroke(ends, style, spot=course.place)
        return
    run: list[tuple[float, float]] = []
    for point, shown in (*zip(points, seen, strict=True), ((0.0, 0.0), False)):
        if shown:
            run.append(point)
            continue
        if len(run) > 1:
            yield Stroke(tuple(run), style, spot=course.place)
        run = []
