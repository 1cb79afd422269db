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
from fitment.engine.model import BODY, EDGE, Corner, Feature, StaticAnswer
from fitment.engine.mounting.law import TREAD_WIDTH
from fitment.engine.solid.section import Section

#: Steps along a piece of an edge.
PIECE_PARTS = 64
#: Step at which the arc is looked at, degrees.
ARC_STEP_DEG = 0.5


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
    steps = int(np.ceil((ahead_deg + behind_deg) / ARC_STEP_DEG)) + 1
    arc = np.linspace(-behind_deg, ahead_deg, max(steps, 2))
    places: list[str] = []
    covers: list[Array] = []
    rear_edge = np.inf
    for feature in corner.survey.features:
        if feature.carried_by != BODY or feature.shape != EDGE or feature.taken_at is not None:
            continue
        points = _points(corner, feature) - hub
        points = points[points @ axis > section.centre_axial_mm]
        if len(points) < 2:
            continue
        angle = np.arctan2(points @ forward, points @ up)
        points, angle = points[np.argsort(angle)], np.sort(angle)
        radial = np.cos(angle)[:, None] * up + np.sin(angle)[:, None] * forward
        # the furthest outboard point of the tyre, (n points, m of its section)
        lateral = outermost[:, 0] * axis[1] + radial[:, 1:2] * outermost[:, 1]
        over = points[:, 1] - lateral.max(axis=1)
        covers.append(np.interp(arc, np.degrees(angle), over, left=np.nan, right=np.nan))
        places.append(feature.place)
        rear_edge = min(rear_edge, float(points[angle < 0, 2].min(initial=np.inf)))
    if not covers:
        return None
    # where edges lie over one another, the one furthest out covers
    best = np.max(np.where(np.isnan(covers), -np.inf, covers), axis=0)
    known = np.isfinite(best)
    if not known.any():
        return None
    worst = int(np.argmin(np.where(known, best, np.inf)))
    return Cover(
        covered_mm=float(best[worst]),
        at_deg=float(arc[worst]),
        place=places[int(np.nanargmax([cover[worst] for cover in covers]))],
        from_deg=float(arc[known][0]),
        to_deg=float(arc[known][-1]),
        whole=bool(known.all()),
        rear_edge_mm=rear_edge,
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
