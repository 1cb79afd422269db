"""The room of one corner as a workshop drawing: wheel and tyre in section, and all that
comes near them over the duty's travel and steering.

The plane is (axial from the hub face, outboard to the right; radius from the spin axis,
upwards), mm. Every place is drawn as the region that it sweeps, hatched by what carries it.
"""

from __future__ import annotations

import numpy as np

from fitment.engine.drawing.captions import description_of, legend_of
from fitment.engine.drawing.contour import (
    Cover,
    Mask,
    Raster,
    hatched,
    off_border,
    traced,
)
from fitment.engine.drawing.dimension_lines import differences_of, gaps_of
from fitment.engine.drawing.label_layout import Placer
from fitment.engine.drawing.lettering import Letter
from fitment.engine.drawing.scene import (
    Fill,
    Hatch,
    Part,
    Scene,
    Stroke,
    Text,
)
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
from fitment.engine.drawing.swept import Swept, fine_sweeps, swept
from fitment.engine.minimum.room import Room
from fitment.engine.model import BODY, CornerAnswer
from fitment.engine.solid.section import Section

RASTER_MM = 1.25
HATCH = {True: ("hatch-body", 45.0, 9.0), False: ("hatch-knuckle", 135.0, 6.0)}
OVERLAP_SPACING_MM = 5.0
CROSS_MM = 3.0


def room_scene(
    room: Room,
    section: Section,
    corner_answer: CornerAnswer,
    *,
    title: Text,
    letter: Letter,
    other_section: Section | None = None,
) -> Scene:
    """The drawing of one corner's room with a wheel and tyre in it, not lettered yet.

    ``other_section`` is drawn dashed, with what it differs by at the tightest places. ``letter``
    tells how long words are, for which the layout makes room.
    """
    rings = rings_of(section)
    view = view_of(section, rings)
    raster = Raster.over((view[0], 0.0, view[2], view[3]), RASTER_MM)
    wheel = wheel_mask(raster, rings)
    regions = [swept(raster, sweep) for sweep in fine_sweeps(room)]
    places = corner_answer.places
    touching = {place.place for place in places if place.clearance_mm <= 0}
    half = {sweep.place: sweep.half_thickness_mm for sweep in room.sweeps}
    gaps = gaps_of(places, half, section, view)
    compared = other_section is not None
    other = rings_of(other_section) if other_section is not None else ()
    differences = differences_of(gaps, other)

    parts: list[Part] = [Fill(rings[:1], "tyre-fill"), Fill(rings[1:], "rim-fill")]
    ink = ink_of(raster, wheel)
    parts += _region_parts(raster, wheel, regions, touching, ink)
    parts += [Stroke(ring, "ink-thick", closed=True) for ring in rings]
    parts += [Stroke(ring, "other-outline", closed=True) for ring in other]
    parts += centre_lines(section, view)
    parts += strip(view)
    placer = Placer(raster, ink, Scene.narrow_text_mm)
    for ring in (*rings, *other):
        placer.darken((*ring, ring[0]), 10.0)
    dimensions = dimensions_of(gaps, differences)
    for shape in dimensions.values():
        placer.keep_clear((shape.turned.elbow, *shape.shifted, shape.elbow))
    return Scene(
        title=title,
        description=description_of(places, compared),
        viewport=view,
        parts=(*parts, *labelled(gaps, differences, dimensions, placer, letter)),
        legend=legend_of(regions, gaps, compared),
    )


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
