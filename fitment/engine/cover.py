"""Does the bodywork cover the wheel over the arc that a rule names?

At the planned static height, straight ahead: for every clock angle of the arc, the lateral
place of the body's outboard edge against the furthest outboard part of the tyre in the same
half-plane through the wheel's axis. Corner frame, millimetres, clock angles in degrees.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from alignment.geometry import frames
from alignment.geometry.frames import Array
from fitment.engine.law import TREAD_WIDTH
from fitment.engine.model import BODY, EDGE, Corner, Feature, StaticAnswer
from fitment.engine.section import Section

#: Steps along a piece of an edge.
PIECE_PARTS = 32
#: How much of the arc an edge may leave out at its ends, degrees.
ARC_SLACK_DEG = 0.6


@dataclass(frozen=True)
class Cover:
    """How far the body reaches past the tyre where it reaches least, and where that is.

    ``covered_mm`` is negative where the tyre stands out. ``from_deg`` and ``to_deg`` bound the
    part of the arc that edges cover; ``whole`` says that it is all of it.
    ``rear_edge_mm`` is how far above the wheel's centre the lowest rear end of an edge lies.
    """

    covered_mm: float
    at_deg: float
    place: str
    from_deg: float
    to_deg: float
    whole: bool
    rear_edge_mm: float


def cover_of(
    corner: Corner,
    static: StaticAnswer,
    section: Section,
    *,
    ahead_deg: float,
    behind_deg: float,
    what: float,
) -> Cover | None:
    """Cover of one corner; None where no body edge outboard of the wheel was measured.

    ``what`` is a value of the law's ``cover_of``. Edges read in another pose are left out.
    """
    axis = frames.spin_axis(np.radians(static.camber_deg), np.radians(static.toe_deg))
    hub = np.asarray(static.hub_mm, float)
    up, forward = frames.wheel_axes(axis)
    outermost = _widest(section, what)
    clocks, cover, places, heights = [], [], [], []
    for feature in corner.survey.features:
        if feature.carried_by != BODY or feature.shape != EDGE or feature.taken_at is not None:
            continue
        points = _points(corner, feature) - hub
        outboard = points @ axis > section.centre_axial_mm
        points = points[outboard]
        if not len(points):
            continue
        angle = np.arctan2(points @ forward, points @ up)
        radial = np.cos(angle)[:, None] * up + np.sin(angle)[:, None] * forward
        # the furthest outboard point of the tyre, (n points, m of its section)
        lateral = outermost[:, 0] * axis[1] + radial[:, 1:2] * outermost[:, 1]
        clocks.append(np.degrees(angle))
        cover.append(points[:, 1] - lateral.max(axis=1))
        heights.append(points[:, 2])
        places += [feature.place] * len(points)
    if not clocks:
        return None
    clock, over, height = (np.concatenate(part) for part in (clocks, cover, heights))
    inside = (clock <= ahead_deg + 1e-9) & (clock >= -behind_deg - 1e-9)
    if not inside.any():
        return None
    worst = int(np.argmin(np.where(inside, over, np.inf)))
    low, high = float(clock[inside].min()), float(clock[inside].max())
    rear = clock < 0
    return Cover(
        covered_mm=float(over[worst]),
        at_deg=float(clock[worst]),
        place=places[worst],
        from_deg=low,
        to_deg=high,
        whole=low <= -behind_deg + ARC_SLACK_DEG and high >= ahead_deg - ARC_SLACK_DEG,
        rear_edge_mm=float(height[rear].min()) if rear.any() else np.inf,
    )


def _widest(section: Section, what: float) -> Array:
    """Outboard points of the tyre (m, 2), (axial, radius), that have to be covered."""
    if what == TREAD_WIDTH:
        size = section.mounted
        edge = section.centre_axial_mm + size.tread_width_mm / 2
        return np.array([[edge, size.tyre_radius_mm - size.shoulder_drop_mm]])
    outline: Array = section.tyre_outline_mm
    return outline[outline[:, 0] >= section.centre_axial_mm]


def _points(corner: Corner, feature: Feature) -> Array:
    """Points (n, 3) along an edge, linear in clock, radius and axial, or in x, y, z."""
    if feature.xyz_mm:
        return _between(np.asarray(feature.xyz_mm, float))
    rows = [(np.radians(p.clock_deg), p.radius_mm, p.axial_mm) for p in feature.points]
    path = _between(np.asarray(rows, float))
    survey = corner.survey
    spin = frames.spin_axis(np.radians(survey.camber_deg), np.radians(survey.toe_deg))
    return frames.cylindrical_point(path[:, 0], path[:, 1], path[:, 2], spin)


def _between(knots: Array) -> Array:
    """Knots (k, 3) and points between them, (n, 3)."""
    last = len(knots) - 1
    along = np.linspace(0, last, last * PIECE_PARTS + 1) if last else np.zeros(1)
    index = np.arange(last + 1.0)
    return np.stack([np.interp(along, index, knots[:, i]) for i in range(3)], axis=-1)
