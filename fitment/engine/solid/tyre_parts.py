"""Tread and sides of a mounted tyre by themselves.

A rule that asks for so much over the tread means the tread, also where something is nearer to the
tyre's side. Each part is a solid of revolution like the whole, cut off at the shoulder. (a, r) in
millimetres.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from alignment.geometry.frames import Array
from fitment.engine import defaults
from fitment.engine.solid.section import Section

TREAD, SIDES = "tread", "sides"
#: Segments shorter than this are none, mm.
SHORTEST_MM = 1e-6


def part_of(section: Section, part: str) -> Section:
    """``TREAD``, from the shoulder up, or ``SIDES``, from the flange to the shoulder; the whole
    section for an empty name."""
    if not part:
        return section
    size = section.mounted
    shoulder = size.tyre_radius_mm - size.shoulder_drop_mm
    flange = size.rim_radius_mm + defaults.FLANGE_HEIGHT_MM
    path = section.tyre_outline_mm
    if part == TREAD:
        path = _cut(path, shoulder, above=True)
    else:
        path = _cut(_cut(path, shoulder, above=False), min(flange, shoulder - 1.0), above=True)
    end = np.concatenate([path[1:], path[:1]])
    kept = np.hypot(*(end - path).T) > SHORTEST_MM
    return replace(
        section,
        start=path[kept],
        end=end[kept],
        on_tyre=np.ones(int(kept.sum()), bool),
        tyre_outline_mm=path,
        part=part,
    )


def _cut(path: Array, radius: float, *, above: bool) -> Array:
    """What of a closed path (n, 2) lies above a radius, or below it (Sutherland and Hodgman)."""
    side = path[:, 1] - radius if above else radius - path[:, 1]
    after, beyond = np.roll(path, -1, axis=0), np.roll(side, -1)
    points = []
    for here, there, inside, next_inside in zip(path, after, side, beyond, strict=True):
        if inside >= 0:
            points.append(here)
        if (inside >= 0) != (next_inside >= 0):
            points.append(here + inside / (inside - next_inside) * (there - here))
    return np.array(points)
