"""Clearance of one place over travel and lock, drawn with lines of equal clearance.

Lock runs to the right (front edge inward), travel upwards (bump). The zero line is thick, the
margin that the duty asks for dashed, and where wheel and place overlap is hatched. A corner
that does not steer has one curve of clearance over travel instead.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np

from common.message import Message, message
from fitment.engine.curves.clearance_map import ClearanceMap
from fitment.engine.drawing.axes import (
    LINE_MM,
    Axes,
    axes_parts,
    decimals_of,
    end_label,
    end_margin,
    floor,
    margins,
    scale_around,
    spread,
    tick,
    tick_step,
)
from fitment.engine.drawing.captions import gap_lines
from fitment.engine.drawing.contour import Floats, as_ring, hatched, off_border, rings_at_level
from fitment.engine.drawing.label_layout import Box
from fitment.engine.drawing.lettering import Letter
from fitment.engine.drawing.map_labels import Level, MapLabels
from fitment.engine.drawing.scene import Fill, Hatch, Part, Point, Scene, Stroke, Text
from fitment.engine.findings import pose
from fitment.engine.model import SpotAnswer

WIDTH_MM = 480.0
TALL_MM = 290.0
TOP_MM, RIGHT_MM = 30.0, 20.0
#: Free strip above the envelope, as a part of its height: most places are tightest up there, and
#: their words find room above.
ABOVE = 0.24
#: Lines of equal clearance, at the most, and the finest step between them, mm. None is drawn
#: farther from zero than the last, if there are nearer ones: they say nothing of use.
MOST_LEVELS = 9
FINEST_MM = 0.5
FARTHEST_MM = 60.0
#: But they reach at least this far beyond the least clearance, mm.
BEYOND_LEAST_MM = 40.0
#: A line of equal clearance shorter than this in the drawing is left out.
SHORTEST_MM = 50.0
#: A round figure closer than this part of a step to the needed margin is not drawn.
NEAR = 0.3
HATCH_SPACING_MM = 8.0
DOT_MM = 4.0
#: Words keep farther off a lone curve than off one line among many.
CURVE_DARKNESS = 20.0
#: Samples each way when the description says how much of the envelope touches.
SAMPLES = 60
TOUCHES = message("level.touches")
MM = message("unit.mm")
X_TITLE = message("axis.over-lock")
Y_TITLE = message("axis.over-travel", unit=MM)


def map_scene(
    clearances: ClearanceMap, answer: SpotAnswer, *, title: Text, letter: Letter
) -> Scene:
    """The drawing of a map together with the place's answer, which says where it is tightest.

    It is not lettered yet; ``letter`` tells how long words are, for which it makes room. What
    gaps read on the car added to the answer is added to the whole map.
    """
    values = clearances.clearance_mm + answer.shift_mm
    drawn = _contours if clearances.steers else _curve
    viewport, parts = drawn(clearances, values, answer, letter)
    return Scene(
        title=title,
        description=_description(clearances, answer),
        viewport=viewport,
        parts=tuple(parts),
        legend=_legend(clearances, values, answer),
    )


# Lines of equal clearance


def _contours(
    clearances: ClearanceMap, values: Floats, answer: SpotAnswer, letter: Letter
) -> tuple[Box, list[Part]]:
    left, bottom = margins(4)
    steer, travel = clearances.steer_deg, clearances.travel_mm
    axes = Axes(
        scale_around(float(steer[0]), float(steer[-1]), left, WIDTH_MM - RIGHT_MM, 9),
        scale_around(float(travel.min()), float(travel.max()), bottom, bottom + TALL_MM, 8, ABOVE),
    )
    view = (0.0, 0.0, WIDTH_MM, axes.y.end + TOP_MM)
    edge = np.concatenate(
        [
            np.stack([axes.x.each(steer), axes.y.each(travel[:, 0])], axis=-1),
            np.stack([axes.x.each(steer), axes.y.each(travel[:, -1])], axis=-1)[::-1],
        ]
    )
    overlap = [_placed(clearances, ring, axes) for ring in _grid_rings(-values, 0.0)]
    levels = _levels(clearances, values, answer.needed_mm, axes)
    parts = axes_parts(axes, X_TITLE, Y_TITLE)
    hatches = hatched(tuple(as_ring(ring) for ring in overlap), 45.0, HATCH_SPACING_MM)
    parts.append(Hatch(hatches, "hatch-overlap", about="overlap"))
    x, y = axes.point(0.0, 0.0)
    parts.append(Stroke(((x, axes.y.start), (x, axes.y.end)), "centre-line"))
    parts.append(Stroke(((axes.x.start, y), (axes.x.end, y)), "centre-line"))
    parts.append(Stroke(as_ring(edge), "swept-edge", closed=True))
    for level in levels:
        parts += [Stroke(as_ring(piece), level.style) for piece in level.pieces]
    around = np.concatenate([edge, edge[:1]])
    labels = MapLabels(view, axes.box, levels, letter, lines=[around], areas=[edge, *overlap])
    spot = axes.point(answer.at.steer_deg, answer.at.travel_mm)
    parts += labels.moment(spot, gap_lines(answer))
    parts += labels.figures()
    parts.append(_dot(spot))
    return view, parts


def _grid_rings(field: Floats, level: float) -> list[Floats]:
    """Outlines of where ``field`` is above a level, in (column, row) of the grid.

    They close along the envelope's edge: the field gets a border below the level, and what lies
    between border and edge is put onto the edge.
    """
    border = min(float(field.min()), level) - 1.0
    padded = np.pad(field, 1, constant_values=border).astype(np.float32)
    most = np.array(field.shape[::-1], float) - 1.0
    return [np.clip(ring - 1.0, 0.0, most) for ring in rings_at_level(padded, level)]


def _placed(clearances: ClearanceMap, at: Floats, axes: Axes) -> Floats:
    """Points (n, 2) of (column, row) of the grid in drawing space."""
    row, column = np.arange(len(clearances.steer_deg)), np.arange(len(clearances.share))
    lower = np.interp(at[:, 1], row, clearances.travel_mm[:, 0])
    upper = np.interp(at[:, 1], row, clearances.travel_mm[:, -1])
    travel = lower + np.interp(at[:, 0], column, clearances.share) * (upper - lower)
    steer = np.interp(at[:, 1], row, clearances.steer_deg)
    return np.stack([axes.x.each(steer), axes.y.each(travel)], axis=-1)


def _levels(clearances: ClearanceMap, values: Floats, needed: float, axes: Axes) -> list[Level]:
    """Zero, the needed margin, and round figures that stay clear of it."""
    low, high = float(values.min()), float(values.max())
    if high > -FARTHEST_MM:
        far = max(FARTHEST_MM, low + BEYOND_LEAST_MM)
        low, high = max(low, -FARTHEST_MM), min(high, far)
    step = max(tick_step(max(high - low, FINEST_MM), MOST_LEVELS), FINEST_MM)
    wanted: list[tuple[float, str, Text, bool]] = [
        (0.0, "ink-thick", TOUCHES, True),
        (needed, "ink-dash", message("level.needed", value=needed), True),
    ]
    for count in range(math.ceil(low / step), math.floor(high / step) + 1):
        value = step * count
        if count and abs(value - needed) > NEAR * step:
            wanted.append((value, "ink-thin", tick(value, decimals_of(step)), False))
    levels = []
    for value, style, words, named in wanted:
        pieces = tuple(
            _placed(clearances, np.asarray(piece), axes)
            for ring in _grid_rings(values, value)
            for piece in off_border(as_ring(ring), _border(values), 1e-6)
        )
        length = sum(float(np.hypot(*np.diff(piece, axis=0).T).sum()) for piece in pieces)
        if length > (0.0 if named else SHORTEST_MM):
            levels.append(Level(value, style, words, named, pieces))
    return levels


def _border(values: Floats) -> Box:
    rows, columns = values.shape
    return (0.0, 0.0, columns - 1.0, rows - 1.0)


def _dot(spot: Point) -> Fill:
    angles = np.linspace(0.0, 2 * math.pi, 16, endpoint=False)
    ring = tuple(
        (spot[0] + DOT_MM * math.cos(angle), spot[1] + DOT_MM * math.sin(angle)) for angle in angles
    )
    return Fill((ring,), "dim-head")


# One curve where nothing steers


def _curve(
    clearances: ClearanceMap, values: Floats, answer: SpotAnswer, letter: Letter
) -> tuple[Box, list[Part]]:
    left, bottom = margins(4)
    travel, gaps, needed = clearances.travel_mm[0], values[0], answer.needed_mm
    names = {0.0: TOUCHES, needed: message("level.needed", value=needed)}
    right = WIDTH_MM - end_margin([letter(name) for name in names.values()])
    low = min(0.0, float(gaps.min()))
    axes = Axes(
        scale_around(float(travel[0]), float(travel[-1]), left, right, 9),
        scale_around(low, max(float(gaps.max()), needed), bottom, bottom + TALL_MM, 8),
    )
    view = (0.0, 0.0, WIDTH_MM, axes.y.end + TOP_MM)
    parts = axes_parts(axes, Y_TITLE, message("axis.clearance", spot=answer.place, unit=MM))
    x, (start, _, end, _) = axes.x(0.0), axes.box
    parts.append(Stroke(((x, axes.y.start), (x, axes.y.end)), "centre-line"))
    parts += floor(axes.y(0.0), start, end)
    parts.append(Stroke(((start, axes.y(needed)), (end, axes.y(needed))), "ink-dash"))
    middles = spread([axes.y(value) for value in names], LINE_MM, axes.y.start, axes.y.end)
    for (value, words), middle in zip(names.items(), middles, strict=True):
        parts += end_label((end, axes.y(value)), middle, ((words, "label"),), end)
    line = np.stack([axes.x.each(travel), axes.y.each(gaps)], axis=-1)
    parts.append(Stroke(as_ring(line), "ink-thick"))
    rules = [np.array([(start, axes.y(value)), (end, axes.y(value))]) for value in names]
    labels = MapLabels(view, axes.box, (), letter, lines=[line, *rules], darkness=CURVE_DARKNESS)
    spot = axes.point(answer.at.travel_mm, answer.clearance_mm)
    parts += labels.moment(spot, gap_lines(answer))
    parts.append(_dot(spot))
    return view, parts


# Words


def _description(clearances: ClearanceMap, answer: SpotAnswer) -> tuple[Message, ...]:
    steer, travel = clearances.steer_deg, clearances.travel_mm
    spans = {"from_mm": float(travel.min()), "to_mm": float(travel.max())}
    if clearances.steers:
        spans |= {"from_deg": float(steer[0]), "to_deg": float(steer[-1])}
    touching, short = (
        _part(clearances, limit - answer.shift_mm) for limit in (0.0, answer.needed_mm)
    )
    loaded = [message(f"legend.load-{clearances.load}")] if clearances.load else []
    return (
        message(
            "describe.map-steered" if clearances.steers else "describe.map",
            spot=answer.place,
            **spans,
        ),
        *loaded,
        message(
            "describe.least",
            gap_mm=answer.clearance_mm,
            verdict=message(f"verdict.{answer.verdict}"),
            pose=pose(answer),
        ),
        message(
            "describe.poses",
            touching=_poses(touching),
            short=_poses(short),
            needed_mm=answer.needed_mm,
        ),
    )


def _part(clearances: ClearanceMap, most: float) -> float:
    """Which part of the envelope's area has a clearance of no more than ``most``."""
    between = (np.arange(SAMPLES) + 0.5) / SAMPLES
    first, last = clearances.steer_deg[[0, -1]]
    steer, share = np.meshgrid(first + between * (last - first), between, indexing="ij")
    lower, upper = (
        np.interp(steer, clearances.steer_deg, clearances.travel_mm[:, end]) for end in (0, -1)
    )
    values = clearances.at(lower + share * (upper - lower), steer)
    area = np.maximum(upper - lower, 1e-9)
    return float(area[values <= most].sum() / area.sum())


def _poses(part: float) -> Message:
    if part <= 0.0:
        return message("describe.no-poses")
    if part >= 1.0:
        return message("describe.all-poses")
    return message("describe.some-poses", part_share=min(max(part, 0.01), 0.99))


def _legend(clearances: ClearanceMap, values: Floats, answer: SpotAnswer) -> tuple[Message, ...]:
    return tuple(_legend_lines(clearances, values, answer))


def _legend_lines(
    clearances: ClearanceMap, values: Floats, answer: SpotAnswer
) -> Iterator[Message]:
    if clearances.steers:
        yield message("legend.map-lines")
        if values.min() < 0.0 < values.max():
            yield message("legend.map-touches")
        if values.min() < 0.0:
            yield message("legend.map-overlap")
        if values.min() < answer.needed_mm < values.max():
            yield message("legend.map-needed", needed_mm=answer.needed_mm)
        yield message("legend.map-axes")
    else:
        yield message("legend.map-curve")
        yield message("legend.map-needed", needed_mm=answer.needed_mm)
        yield message("legend.map-height")
    yield message("legend.map-dot")
    if clearances.load:
        yield message(f"legend.load-{clearances.load}")
    if answer.shift_mm:
        yield message("legend.map-shift", shift_mm=answer.shift_mm)
