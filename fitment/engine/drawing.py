"""The room of one corner as a workshop drawing: wheel and tyre in section, and all that
comes near them over the duty's travel and steering.

The plane is (axial from the hub face, outboard to the right; radius from the spin axis,
upwards), mm. Every place is drawn as the region that it sweeps, hatched by what carries it.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from textwrap import wrap

import numpy as np

from fitment.engine.contour import Cover, Floats, Mask, Raster, as_ring, hatched, off_border, traced
from fitment.engine.gaps import Gap, differences_of, gaps_of
from fitment.engine.model import BODY, CornerAnswer, PlaceAnswer
from fitment.engine.placing import Placer, Request
from fitment.engine.room import Room
from fitment.engine.scene import (
    Dimension,
    Fill,
    Hatch,
    Part,
    Point,
    Ring,
    ScaleBar,
    Scene,
    Stroke,
    Words,
)
from fitment.engine.section import Section
from fitment.engine.swept import Swept, fine_sweeps, swept

#: Least width of every drawing, so that drawings of different wheels are at one scale.
WIDTH_MM = 480.0
SIDE_MM = 85.0
TOP_MM = 72.0
#: Height of the strip below the spin axis that holds scale and direction.
STRIP_MM = 58.0
RASTER_MM = 1.25
HATCH = {True: ("hatch-body", 45.0, 9.0), False: ("hatch-knuckle", 135.0, 6.0)}
OVERLAP_SPACING_MM = 5.0
#: Dimension lines closer than this to an earlier one are moved aside.
CROWDED_MM = 15.0
ASIDE_MM = 17.0
#: Names of places are broken into lines of about this many characters.
LABEL_CHARACTERS = 18
#: Dimension lines of differences stand out by this much.
DIFFERENCE_TAIL_MM = 13.0
#: A gap of nothing is drawn as one of this, which gives its arrows a direction.
TOUCHING_MM = 0.05
CROSS_MM = 3.0
MINUS = "\N{MINUS SIGN}"


def room_scene(
    room: Room,
    section: Section,
    corner_answer: CornerAnswer,
    *,
    title: str,
    other_section: Section | None = None,
    decimals: int = 1,
) -> Scene:
    """The drawing of one corner's room with a wheel and tyre in it.

    ``other_section`` is drawn dashed, with what it differs by at the tightest places.
    ``decimals`` is the number of decimals of the values (0 for customers).
    """
    rings = _rings(section)
    view = _view(section, rings)
    raster = Raster.over((view[0], 0.0, view[2], view[3]), RASTER_MM)
    wheel = _wheel_mask(raster, rings)
    regions = [swept(raster, sweep) for sweep in fine_sweeps(room)]
    touching = {place.place for place in corner_answer.places if place.clearance_mm <= 0}
    half = {sweep.place: sweep.half_thickness_mm for sweep in room.sweeps}
    gaps = gaps_of(corner_answer.places, half, section, view)
    other = _rings(other_section) if other_section is not None else ()
    differences = differences_of(gaps, other)

    parts: list[Part] = [Fill(rings[:1], "tyre-fill"), Fill(rings[1:], "rim-fill")]
    ink = _ink(raster, wheel)
    parts += _region_parts(raster, wheel, regions, touching, ink)
    parts += [Stroke(ring, "ink-thick", closed=True) for ring in rings]
    parts += [Stroke(ring, "other-outline", closed=True) for ring in other]
    parts += _centre_lines(section, view)
    placer = Placer(raster, ink, Scene.narrow_text_mm)
    for ring in (*rings, *other):
        placer.darken((*ring, ring[0]), 10.0)
    parts += _label_parts(gaps, differences, placer, decimals)
    parts += _strip(view)
    return Scene(
        title=title,
        description=_description(corner_answer.places, other_section is not None, decimals),
        viewport=view,
        parts=tuple(parts),
        legend=_legend(regions, gaps, other_section is not None, decimals),
    )


# Section and view


def _rings(section: Section) -> tuple[Ring, ...]:
    """Outlines of tyre and rim, in this order, as closed rings."""
    return tuple(
        as_ring(outline[:-1] if np.allclose(outline[0], outline[-1]) else outline)
        for outline in (section.tyre_outline_mm, section.rim_outline_mm)
    )


def _view(section: Section, rings: tuple[Ring, ...]) -> tuple[float, float, float, float]:
    """(left, bottom, right, top): the wheel with its surroundings."""
    xs = [x for ring in rings for x, _ in ring]
    top = max(y for ring in rings for _, y in ring)
    width = max(WIDTH_MM, max(xs) - min(xs) + 2 * SIDE_MM)
    middle = (max(xs) + min(xs)) / 2
    return (middle - width / 2, -STRIP_MM, middle + width / 2, top + TOP_MM)


def _wheel_mask(raster: Raster, rings: tuple[Ring, ...]) -> Mask:
    mask = raster.empty()
    for ring in rings:
        mask |= raster.inside((ring,))
    return mask


def _ink(raster: Raster, wheel: Mask) -> Cover:
    ink: Cover = np.zeros((raster.rows, raster.columns), dtype=np.float32)
    ink[wheel] = 0.2
    return ink


# Regions


def _region_parts(
    raster: Raster,
    wheel: Mask,
    regions: list[Swept],
    touching: set[str],
    ink: Cover,
) -> list[Part]:
    """Hatching and edges of what the places sweep, and where they overlap the wheel."""
    parts: list[Part] = []
    overlap = raster.empty()
    for body in (True, False):
        touches = False
        union = np.zeros(wheel.shape, dtype=np.float32)
        for region in regions:
            if (region.carried_by == BODY) is not body:
                continue
            parts += _thin_parts(region)
            if region.cover is None:
                continue
            if region.place in touching:
                touches = True
                np.maximum(union, region.cover, out=union)
                overlap |= (region.cover > 0.5) & wheel
            else:
                # The raster may not show a contact that the answer denies.
                np.maximum(union, np.where(wheel, 0.0, region.cover), out=union)
        style, angle, spacing = HATCH[body]
        whole = traced(raster, union)
        outside = traced(raster, np.where(wheel, 0.0, union)) if touches else whole
        what = "body" if body else "hub"
        parts.append(Hatch(hatched(outside, angle, spacing), style, about=what))
        for ring in whole:
            parts += [Stroke(line, "swept-edge") for line in off_border(ring, raster.box)]
        ink[union > 0.5] = 0.4
    rings = traced(raster, overlap)
    if rings:
        segments = hatched(rings, 45.0, OVERLAP_SPACING_MM) + hatched(
            rings, 135.0, OVERLAP_SPACING_MM
        )
        parts.append(Hatch(segments, "hatch-overlap", about="overlap"))
        parts += [Stroke(ring, "gap-contact", closed=True) for ring in rings]
        ink[overlap] = 1.0
    return parts


def _thin_parts(region: Swept) -> list[Part]:
    """Curves as lines; a single point as a cross, as it is marked on a car."""
    parts: list[Part] = []
    for line in region.lines:
        if len(line) > 1:
            parts.append(Stroke(line, "ink-thin"))
            continue
        x, y = line[0]
        for sign in (1, -1):
            arm = CROSS_MM * sign
            parts.append(Stroke(((x - CROSS_MM, y - arm), (x + CROSS_MM, y + arm)), "ink-thin"))
    return parts


# Dimensions


def _label_parts(
    gaps: list[Gap],
    differences: dict[str, tuple[Point, Point, float]],
    placer: Placer,
    decimals: int,
) -> list[Part]:
    """Dimensions of the gaps and of the differences, each with its words."""
    shapes: list[Dimension] = []
    beside: list[Dimension] = []
    for gap in gaps:
        if not gap.drawn:
            continue
        start, end = gap.touch, gap.surface
        if math.dist(start, end) < TOUCHING_MM:
            end = (
                start[0] + TOUCHING_MM * gap.outward[0],
                start[1] + TOUCHING_MM * gap.outward[1],
            )
        lines = _gap_lines(gap.place, decimals)
        if gap.place.place in differences:
            inner, outer, by = differences[gap.place.place]
            lines += ((_difference_words(by, decimals), "note"),)
            blank = Words(outer, ())
            beside.append(Dimension(inner, outer, blank, DIFFERENCE_TAIL_MM, style="dim"))
        style = "gap-contact" if gap.place.clearance_mm <= 0 else "gap-ok"
        shapes.append(Dimension(start, end, Words((0.0, 0.0), lines), style=style))
    arranged = _moved_aside([*shapes, *beside])
    shapes, beside = arranged[: len(shapes)], arranged[len(shapes) :]
    for shape in arranged:
        placer.keep_clear((shape.turned.elbow, *shape.shifted, shape.elbow))
    parts: list[Part] = [
        replace(shape, value=replace(shape.value, at=shape.elbow)) for shape in beside
    ]
    requests = [
        Request(
            tuple((way.elbow, way.direction) for way in (shape, shape.turned)),
            tuple(text for text, _ in shape.value.lines),
        )
        for shape in shapes
    ]
    for shape, placed in zip(shapes, placer.arrange(requests), strict=True):
        value = Words(placed.at, shape.value.lines, placed.anchor)
        parts.append(replace(shape.turned if placed.way else shape, value=value))
    return parts


def _moved_aside(shapes: list[Dimension]) -> list[Dimension]:
    """The dimensions with those that crowd an earlier one moved along the wheel."""
    done: list[Dimension] = []
    for shape in shapes:
        for offset in (0.0, ASIDE_MM, -ASIDE_MM, 2 * ASIDE_MM, -2 * ASIDE_MM):
            moved = replace(shape, offset_mm=offset)
            if all(_apart(moved, earlier) >= CROWDED_MM for earlier in done):
                break
        done.append(moved)
    return done


def _apart(one: Dimension, two: Dimension) -> float:
    """Least distance between points along two dimension lines and their tails."""

    def along(shape: Dimension) -> Floats:
        start, end = shape.shifted
        (ux, uy), tail = shape.direction, shape.leader_mm
        line = np.array(
            [(start[0] - ux * tail, start[1] - uy * tail), start, end, shape.elbow], dtype=float
        )
        t = np.linspace(0.0, 1.0, 6)[:, None, None]
        points: Floats = (line[:-1] + t * (line[1:] - line[:-1])).reshape(-1, 2)
        return points

    a, b = along(one), along(two)
    return float(np.hypot(*(a[:, None] - b[None]).transpose(2, 0, 1)).min())


# Lines and words around it


def _centre_lines(section: Section, view: tuple[float, float, float, float]) -> list[Part]:
    left, _, right, _ = view
    centre = section.centre_axial_mm
    parts: list[Part] = [
        Stroke(((left, 0.0), (right, 0.0)), "centre-line"),
        Stroke(((centre, -14.0), (centre, section.tyre_radius_mm + 22.0)), "centre-line"),
        Stroke(((0.0, -14.0), (0.0, section.rim_radius_mm + 8.0)), "centre-line"),
    ]
    outer, inner = (0.0, centre) if centre <= 0 else (centre, 0.0)
    names = {0.0: "hub face", centre: "centre plane"}
    if abs(centre) < 1.0:
        names = {0.0: "hub face and centre plane"}
    if inner in names and abs(centre) >= 1.0:
        parts.append(Words((inner - 4.0, -12.0), ((names[inner], "note"),), "end"))
    parts.append(Words((outer + 4.0, -12.0), ((names.get(outer, names[0.0]), "note"),), "start"))
    return parts


def _strip(view: tuple[float, float, float, float]) -> list[Part]:
    """Scale bar and the direction outboard, below the spin axis."""
    left, bottom, right, _ = view
    y = bottom + 12.0
    end = right - 8.0
    arrow = Stroke(((end - 44.0, y + 2.0), (end, y + 2.0)), "ink-thin")
    head = ((end, y + 2.0), (end - 9.0, y + 4.2), (end - 9.0, y - 0.2))
    return [
        ScaleBar((left + 8.0, y), 100.0),
        arrow,
        Fill((head,), "scale-ink"),
        Words((end - 50.0, y + 2.0), (("outboard", "note"),), "end"),
    ]


def signed_mm(value: float, decimals: int) -> str:
    """A length with its sign, never rounded to a bare zero that hides which side it is on."""
    if value and round(abs(value), decimals) == 0:
        decimals = max(decimals + 1, 1)
    sign = MINUS if value < 0 else "+"
    return f"{sign}{abs(value):.{decimals}f}"


def _gap_lines(place: PlaceAnswer, decimals: int) -> tuple[tuple[str, str], ...]:
    """The place's name, broken where it is long, and its gap with the word for it."""
    word = "overlap" if place.clearance_mm <= 0 else place.verdict
    names = wrap(place.place, LABEL_CHARACTERS) or [place.place]
    value = f"{signed_mm(place.clearance_mm, decimals)} {word}"
    return (*((name, "label") for name in names), (value, "dim-text"))


def _difference_words(by: float, decimals: int) -> str:
    return f"{abs(by):.{decimals}f} {'nearer' if by > 0 else 'farther'}"


def _pose_words(place: PlaceAnswer) -> str:
    if place.carried_by != BODY:
        return "in every pose"
    travel, steer = place.at.travel_mm, place.at.steer_deg
    words = [
        f"{abs(travel):.0f} mm into {'bump' if travel > 0 else 'droop'}"
        if abs(travel) >= 0.5
        else "at static height"
    ]
    if abs(steer) >= 0.5:
        words.append(f"front edge turned {abs(steer):.0f}° {'inward' if steer > 0 else 'outward'}")
    if place.at.loaded:
        words.append("cornering load on")
    return ", ".join(words)


def _place_words(place: PlaceAnswer, decimals: int) -> str:
    value = signed_mm(place.clearance_mm, decimals)
    return f"{place.place}: {value} mm, {place.verdict}, {_pose_words(place)}"


def _description(places: Sequence[PlaceAnswer], other: bool, decimals: int) -> str:
    listed = sorted(places, key=lambda place: place.clearance_mm)
    lines = [
        "Section through wheel and tyre from the spin axis up, outboard to the right. "
        "Around it, everything that comes near over all travel and steering."
    ]
    lines += [f"{_place_words(place, decimals)}." for place in listed]
    if other:
        lines.append("A second wheel and tyre is drawn dashed.")
    return " ".join(lines)


def _legend(regions: list[Swept], gaps: list[Gap], other: bool, decimals: int) -> tuple[str, ...]:
    """What numbers, hatching and lines mean, as far as they occur, and what is not shown."""
    body = [region for region in regions if region.carried_by == BODY]
    hub = [region for region in regions if region.carried_by != BODY]
    lines = ["Numbers are gaps in mm, the smallest over all travel and lock."]
    if any(region.cover is not None for region in body):
        lines.append("Hatching rising to the right: what the body's edges sweep past the wheel.")
    if any(region.lines for region in body):
        lines.append("A thin line by itself: the path of a single measured point.")
    if any(region.cover is not None for region in hub):
        lines.append("Hatching falling to the right: moves with the hub.")
    if any(len(line) == 1 for region in hub for line in region.lines):
        lines.append("A cross: a single measured point that moves with the hub.")
    if any(gap.place.clearance_mm <= 0 for gap in gaps):
        lines.append("Crossed hatching in a dotted line: overlap.")
    if other:
        lines.append(
            "Dashed: the other wheel and tyre. Nearer and farther say where this one "
            "stands beside it."
        )
    far = [gap.place for gap in gaps if not gap.drawn]
    if far:
        named = ", ".join(f"{p.place} {signed_mm(p.clearance_mm, decimals)} mm" for p in far)
        lines.append(f"Not dimensioned: {named}.")
    return tuple(lines)
