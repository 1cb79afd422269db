"""What drawings of a wheel in section share: outlines, view, dimensions with their words, centre
lines, scale. Same plane as the drawing: axial from the hub face and radius from the spin axis, mm.
"""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np

from common.message import message
from fitment.engine.drawing.captions import difference_words, gap_lines
from fitment.engine.drawing.contour import Cover, Floats, Mask, Raster, as_ring
from fitment.engine.drawing.dimension_lines import Gap
from fitment.engine.drawing.label_layout import Placer, Request
from fitment.engine.drawing.lettering import Letter, text_lines
from fitment.engine.drawing.scene import (
    CONTACT,
    Dimension,
    Fill,
    Part,
    Point,
    Ring,
    ScaleBar,
    Stroke,
    Words,
)
from fitment.engine.solid.section import Section

#: Least width of every drawing, so that drawings of different wheels are at one scale.
WIDTH_MM = 480.0
SIDE_MM = 85.0
TOP_MM = 72.0
#: Height of the strip below the spin axis that holds scale and direction.
STRIP_MM = 58.0
#: Dimension lines closer than this to an earlier one are moved aside.
CROWDED_MM = 15.0
ASIDE_MM = 17.0
#: Dimension lines of differences stand out by this much.
DIFFERENCE_TAIL_MM = 13.0
#: A gap of nothing is drawn as one of this, which gives its arrows a direction.
TOUCHING_MM = 0.05
#: Shares along a piece of a dimension line at which it is looked whether others crowd it.
SIXTHS = np.linspace(0.0, 1.0, 6)[:, None, None]


# Section and view


def rings_of(section: Section) -> tuple[Ring, ...]:
    """Outlines of tyre and rim, in this order, as closed rings."""
    return tuple(
        as_ring(outline[:-1] if np.allclose(outline[0], outline[-1]) else outline)
        for outline in (section.tyre_outline_mm, section.rim_outline_mm)
    )


def view_of(section: Section, rings: tuple[Ring, ...]) -> tuple[float, float, float, float]:
    """(left, bottom, right, top): the wheel with its surroundings."""
    xs = [x for ring in rings for x, _ in ring]
    top = max(y for ring in rings for _, y in ring)
    width = max(WIDTH_MM, max(xs) - min(xs) + 2 * SIDE_MM)
    middle = (max(xs) + min(xs)) / 2
    return (middle - width / 2, -STRIP_MM, middle + width / 2, top + TOP_MM)


def wheel_mask(raster: Raster, rings: tuple[Ring, ...]) -> Mask:
    mask = raster.empty()
    for ring in rings:
        mask |= raster.inside((ring,))
    return mask


def ink_of(raster: Raster, wheel: Mask) -> Cover:
    ink: Cover = np.zeros((raster.rows, raster.columns), dtype=np.float32)
    ink[wheel] = 0.2
    return ink


# Dimensions


def dimensions_of(
    gaps: list[Gap], differences: dict[str, tuple[Point, Point, float]]
) -> dict[tuple[str, bool], Dimension]:
    """Dimensions without words by (place, whether of a difference), clear of one another."""
    blank = Words((0.0, 0.0), ())
    shapes: dict[tuple[str, bool], Dimension] = {}
    for gap in gaps:
        if not gap.drawn:
            continue
        start, end = gap.touch, gap.surface
        if math.dist(start, end) < TOUCHING_MM:
            end = (
                start[0] + TOUCHING_MM * gap.outward[0],
                start[1] + TOUCHING_MM * gap.outward[1],
            )
        style = CONTACT if gap.place.clearance_mm <= 0 else "gap-ok"
        shapes[gap.place.place, False] = Dimension(start, end, blank, style=style)
    for place, (inner, outer, _) in differences.items():
        shapes[place, True] = Dimension(inner, outer, blank, DIFFERENCE_TAIL_MM, style="dim")
    return dict(zip(shapes, _moved_aside(list(shapes.values())), strict=True))


def labelled(
    gaps: list[Gap],
    differences: dict[str, tuple[Point, Point, float]],
    dimensions: dict[tuple[str, bool], Dimension],
    placer: Placer,
    letter: Letter,
) -> list[Part]:
    """The dimensions with their words, which the placer finds room for."""
    parts: list[Part] = []
    shapes, requests, words = [], [], []
    for gap in gaps:
        name = gap.place.place
        if (name, True) in dimensions:
            bare = dimensions[name, True]
            parts.append(replace(bare, value=replace(bare.value, at=bare.elbow)))
        if not gap.drawn:
            continue
        lines = gap_lines(gap.place)
        if name in differences:
            lines += ((difference_words(differences[name][2]), "note"),)
        shape = dimensions[name, False]
        ways = tuple((way.elbow, way.direction) for way in (shape, shape.turned))
        shapes.append(shape)
        words.append(lines)
        said = text_lines(lines, letter)
        requests.append(Request(ways, tuple(text for text, _ in said)))
    for shape, lines, placed in zip(shapes, words, placer.arrange(requests), strict=True):
        value = Words(placed.at, lines, placed.anchor)
        parts.append(replace(shape.turned if placed.way else shape, value=value))
    return parts


def _moved_aside(shapes: list[Dimension]) -> list[Dimension]:
    """The dimensions with those that crowd an earlier one moved along the wheel."""
    done: list[Dimension] = []
    taken: Floats = np.empty((0, 2))
    for shape in shapes:
        for offset in (0.0, ASIDE_MM, -ASIDE_MM, 2 * ASIDE_MM, -2 * ASIDE_MM):
            moved = replace(shape, offset_mm=offset)
            points = _along(moved)
            if not len(taken) or _apart(points, taken) >= CROWDED_MM:
                break
        done.append(moved)
        taken = np.concatenate([taken, points])
    return done


def _along(shape: Dimension) -> Floats:
    """Points along a dimension line and its tails."""
    start, end = shape.shifted
    (ux, uy), tail = shape.direction, shape.leader_mm
    line = np.array(
        [(start[0] - ux * tail, start[1] - uy * tail), start, end, shape.elbow], dtype=float
    )
    points: Floats = (line[:-1] + SIXTHS * (line[1:] - line[:-1])).reshape(-1, 2)
    return points


def _apart(one: Floats, two: Floats) -> float:
    """Least distance between two sets of points."""
    return float(np.hypot(*(one[:, None] - two[None]).transpose(2, 0, 1)).min())


# Lines and words around it


def centre_lines(section: Section, view: tuple[float, float, float, float]) -> list[Part]:
    left, _, right, _ = view
    centre = section.centre_axial_mm
    parts: list[Part] = [
        Stroke(((left, 0.0), (right, 0.0)), "centre-line"),
        Stroke(((centre, -14.0), (centre, section.tyre_radius_mm + 22.0)), "centre-line"),
        Stroke(((0.0, -14.0), (0.0, section.rim_radius_mm + 8.0)), "centre-line"),
    ]
    outer, inner = (0.0, centre) if centre <= 0 else (centre, 0.0)
    names = {0.0: message("drawing.hub-face"), centre: message("drawing.centre-plane")}
    if abs(centre) < 1.0:
        names = {0.0: message("drawing.hub-face-and-centre-plane")}
    if inner in names and abs(centre) >= 1.0:
        parts.append(Words((inner - 4.0, -12.0), ((names[inner], "note"),), "end"))
    parts.append(Words((outer + 4.0, -12.0), ((names.get(outer, names[0.0]), "note"),), "start"))
    parts.append(Words((right - 8.0, 4.0), ((message("drawing.spin-axis"), "note"),), "end"))
    return parts


def strip(view: tuple[float, float, float, float]) -> list[Part]:
    """Scale bar and the direction outboard, below the spin axis."""
    left, bottom, right, _ = view
    y = bottom + 12.0
    end = right - 8.0
    arrow = Stroke(((end - 44.0, y + 2.0), (end, y + 2.0)), "ink-thin")
    head = ((end, y + 2.0), (end - 9.0, y + 4.2), (end - 9.0, y - 0.2))
    return [
        ScaleBar.of_mm((left + 8.0, y), 100.0),
        arrow,
        Fill((head,), "scale-ink"),
        Words((end - 50.0, y + 2.0), ((message("drawing.outboard"), "note"),), "end"),
    ]
