"""A survey as drawings: places in section, joints from the front, both from the side.

Numbers in circles of paper stand at the drawn things and the legend says what they are, so
that nothing has to fit between the lines. All lengths are millimetres in the corner's frame.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

import numpy as np
from django.utils.translation import gettext

from alignment.geometry import frames
from alignment.geometry.kinds import kind_of
from alignment.geometry.model import Suspension, Vec3
from fitment.engine.drawing.scene import Fill, Part, Point, Scene, Stroke, Words
from fitment.engine.minimum.feature_curves import course_of
from fitment.engine.model import LINK, Feature, Survey
from fitment.text.labels import JOINT_WORDS

#: All drawings of a page are at one width of drawing space, so that their text is of one size.
WIDTH_MM = 480.0
MARGIN_MM = 34.0
CROSS_MM = 3.5
#: Height of a drawing over its width, at most.
TALLEST = 0.8


@dataclass(frozen=True)
class Line:
    """A drawn thing: its points, whether they are joined, and what it is called."""

    name: str
    points: tuple[Point, ...]
    joined: bool
    style: str


def section_scene(survey: Survey) -> Scene:
    """Every place where it was measured, in (axial from the hub face, radius)."""
    lines = [_section_line(feature, _spin(survey)) for feature in _in_place(survey)]
    return line_scene(
        "Spots as measured, in section",
        "Axial from the hub face to the right, outboard; radius from the spin axis upwards.",
        lines,
        axes=("outboard", "radius"),
    )


def side_scene(survey: Survey, suspension: Suspension) -> Scene:
    """Places and joints seen from outside the car, front to the right."""
    spin = _spin(survey)
    lines = [
        Line(
            feature.place,
            tuple((float(x), float(z)) for x, _, z in _positions(feature, spin)),
            bool(feature.shape == "edge"),
            "ink-thick",
        )
        for feature in _in_place(survey)
    ]
    lines += _rod_lines(suspension, lambda p: (p[0], p[2]))
    return line_scene(
        "Spots and joints from the side",
        "Forward to the right, up upwards, the hub at the centre lines.",
        lines,
        axes=("forward", "up"),
    )


def front_scene(suspension: Suspension) -> Scene:
    """Joints seen along the car, outboard to the right."""
    return line_scene(
        "Joints from the front",
        "Outboard to the right, up upwards, the hub face at the centre lines.",
        _rod_lines(suspension, lambda p: (p[1], p[2])),
        axes=("outboard", "up"),
    )


def _in_place(survey: Survey) -> list[Feature]:
    """Features that were measured where they are; tubes are drawn with the joints."""
    return [feature for feature in survey.features if feature.carried_by != LINK]


def _spin(survey: Survey) -> frames.Array:
    return frames.spin_axis(np.radians(survey.camber_deg), np.radians(survey.toe_deg))


def _positions(feature: Feature, spin: frames.Array) -> frames.Array:
    course = course_of(feature, spin)
    return course.at(course.samples())


def _section_line(feature: Feature, spin: frames.Array) -> Line:
    axial, radius = frames.meridian(_positions(feature, spin), np.zeros(3), spin)
    points = tuple((float(a), float(r)) for a, r in zip(axial, radius, strict=True))
    return Line(feature.place, points, feature.shape == "edge", "ink-thick")


def _rod_lines(suspension: Suspension, flat: Callable[[Vec3], Point]) -> list[Line]:
    lines: list[Line] = []
    if suspension.has_named_rods:
        return [
            Line(rod.name, (flat(rod.inner), flat(rod.outer)), True, "ink-thin")
            for rod in suspension.links
        ]
    for names in kind_of(suspension.kind).chains:
        points = tuple(flat(suspension.joints[name]) for name in names)
        words = " – ".join(gettext(JOINT_WORDS[name]) for name in names)
        lines.append(Line(words, points, True, "ink-thin"))
    return lines


def line_scene(title: str, about: str, lines: Sequence[Line], *, axes: tuple[str, str]) -> Scene:
    """Lines numbered in their order, with centre lines through the hub, axes and a scale bar."""
    view = _view(point for line in lines for point in line.points)
    # Drawing space is scaled so that every drawing has the same width and text size.
    scale = WIDTH_MM / (view[2] - view[0])
    lines = [
        Line(
            line.name,
            tuple((x * scale, y * scale) for x, y in line.points),
            line.joined,
            line.style,
        )
        for line in lines
    ]
    left, bottom, right, top = (value * scale for value in view)
    parts: list[Part] = [
        Stroke(((left, 0.0), (right, 0.0)), "centre-line"),
        Stroke(((0.0, bottom), (0.0, top)), "centre-line"),
    ]
    for line in lines:
        parts += _line_parts(line)
    parts += _numbers(lines)
    parts += _scale_bar(left + 8.0, bottom + 8.0, scale)
    parts.append(Words((right - 6.0, 9.0), ((f"{axes[0]} →", "note"),), "end"))
    side = "start" if right > 80.0 else "end"
    at = (6.0 if side == "start" else -6.0, top - 9.0)
    parts.append(Words(at, ((f"↑ {axes[1]}", "note"),), side))
    legend = tuple(f"{number} {line.name}" for number, line in enumerate(lines, start=1))
    return Scene(
        title=title,
        description=(f"{about} {'; '.join(legend)}.",),
        viewport=(left, bottom, right, top),
        parts=tuple(parts),
        legend=legend,
    )


def _scale_bar(x: float, y: float, scale: float) -> list[Part]:
    """A bar of 100 mm on the car, at the drawing's own scale."""
    length, tall = 100.0 * scale, 4.0
    box = ((x, y), (x + length, y), (x + length, y + tall), (x, y + tall))
    return [
        Fill((box,), "scale-ink"),
        Words((x + length + 6.0, y + tall / 2), (("100 mm", "note"),)),
    ]


def _view(points: Iterable[Point]) -> tuple[float, float, float, float]:
    """A viewport around all points and the hub, not flatter than one to three."""
    xs, ys = zip(*[*points, (0.0, 0.0)], strict=True)
    left, right, bottom, top = min(xs), max(xs), min(ys), max(ys)
    wide, tall = max(right - left, 200.0), max(top - bottom, 120.0)
    margin = MARGIN_MM * max(wide / WIDTH_MM, 0.6)
    middle = (left + right) / 2
    half = max(wide / 2 + margin, (tall + 2 * margin) / TALLEST / 2)
    return (
        middle - half,
        bottom - margin,
        middle + half,
        max(top, bottom + tall) + margin,
    )


def _line_parts(line: Line) -> list[Part]:
    if line.joined and len(line.points) > 1:
        return [Stroke(line.points, line.style)]
    crosses: list[Part] = []
    for x, y in line.points:
        crosses.append(Stroke(((x - CROSS_MM, y), (x + CROSS_MM, y)), line.style))
        crosses.append(Stroke(((x, y - CROSS_MM), (x, y + CROSS_MM)), line.style))
    return crosses


def _numbers(lines: Sequence[Line]) -> list[Part]:
    """Each line's number beside one of its points, away from the numbers before it."""
    taken: list[Point] = []
    parts: list[Part] = []
    for number, line in enumerate(lines, start=1):
        spots = [(x + 9.0, y + 9.0) for x, y in line.points]
        middle = len(spots) // 2
        spots = spots[middle:] + spots[:middle][::-1]
        spot = next((s for s in spots if _is_free(s, taken)), None)
        if spot is None:
            spot = max(spots, key=lambda s: min(_distance(s, t) for t in taken))
        taken.append(spot)
        parts.append(Words(spot, ((str(number), "label"),), "middle"))
    return parts


def _is_free(spot: Point, taken: Sequence[Point]) -> bool:
    return all(_distance(spot, other) > 22.0 for other in taken)


def _distance(one: Point, two: Point) -> float:
    return float(np.hypot(one[0] - two[0], one[1] - two[1]))
