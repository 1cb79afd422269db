"""What small changes do to clearances whose tightest moment is held.

A spot's least clearance changes, to first order, as the clearance at its tightest moment does: same
share of the envelope's height, same part of full lock, same point of the feature (the derivative of
a minimum: J. M. Danskin, *The Theory of Max-Min*, 1967). Uncertainty and effects both rest on this.
Millimetres, degrees.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from alignment.geometry import frames
from alignment.geometry.frames import Array
from alignment.geometry.hubmap import with_rods
from alignment.geometry.linkage import Unreachable
from alignment.geometry.model import Planned
from fitment.engine import defaults
from fitment.engine.minimum.envelope import RestsOnStops
from fitment.engine.minimum.room import Moments
from fitment.engine.minimum.setting import Setting, envelope_for, strut_turn
from fitment.engine.model import Corner, Tyre, Wheel
from fitment.engine.solid.section import Section, section_of
from fitment.engine.solid.traced_profile import profile_as_is
from fitment.engine.solid.tyre_parts import part_of


@dataclass(frozen=True)
class Change:
    """A changed plan, and more (mm, degrees) of bump limit or lock than the corner has."""

    planned: Planned
    more_bump_mm: float = 0.0
    more_lock_deg: float = 0.0


@dataclass(frozen=True)
class Held:
    """Clearance (changes, moments) at the held moments, and static camber (changes,), °."""

    gaps: Array
    camber_deg: Array


def held(setting: Setting, section: Section, spots: Moments, changes: Sequence[Change]) -> Held:
    """What the moments at ``spots`` become after each change.

    All plans state camber by the same means, or none. Raises Unreachable or RestsOnStops where
    a changed setting or pose cannot be taken.
    """
    room, corner, motion = setting.room, setting.corner, setting.motion
    settled = motion.settle([change.planned for change in changes])
    count = len(spots.which)
    steers, travels, on_strut = [], [], []
    for row, change in enumerate(changes):
        envelope = envelope_for(
            replace(corner, planned=change.planned),
            setting.duty,
            static_travel=float(settled.static_travel[row]),
            more_bump_mm=change.more_bump_mm,
        )
        travels.append(envelope.travel(spots.steer, spots.share, spots.loaded))
        steers.append(_stretched(setting, spots.steer, change.more_lock_deg))
        on_strut.append(strut_turn(corner, settled, row)(room.at_rest(spots)))
    steer, travel = np.concatenate(steers), np.concatenate(travels)
    steered = motion.steered(settled, np.repeat(np.arange(len(changes)), count), steer)
    poses = motion.travelled(settled, steered, np.arange(len(steer)), travel)
    poses = with_rods(poses, room.rods)
    everywhere = Moments.joined([spots] * len(changes))
    poses = room.envelope.under_load(poses, everywhere.loaded)
    axial, radius = frames.meridian(*room.seen_in(everywhere, poses, np.concatenate(on_strut)))
    gaps = section.distance(axial, radius).reshape(len(changes), count)
    return Held(gaps - room.half_thickness_mm[spots.which], np.degrees(settled.camber))


def each_held(
    setting: Setting, section: Section, spots: Moments, changes: Sequence[Change]
) -> list[Held | None]:
    """The same one by one; None for a change that the corner cannot follow."""
    try:
        together = held(setting, section, spots, changes)
    except (Unreachable, RestsOnStops):
        if len(changes) == 1:
            return [None]
        return [each_held(setting, section, spots, [change])[0] for change in changes]
    rows = zip(together.gaps, together.camber_deg, strict=True)
    return [Held(gaps[None], np.array([camber])) for gaps, camber in rows]


def _stretched(setting: Setting, steer: Array, by_deg: float) -> Array:
    """Steer angles (rad) at the same part of a lock that is ``by_deg`` larger."""
    limits = setting.corner.limits
    limit = np.where(steer > 0, limits.steer_in_deg, limits.steer_out_deg)
    stretched: Array = steer * np.where(limit > 0, 1.0 + by_deg / np.maximum(limit, 1e-9), 1.0)
    return stretched


def resized_gaps(
    corner: Corner,
    section: Section,
    moments: tuple[Array, Array],
    what: str,
    by_mm: float,
) -> Array:
    """Distances at ``moments`` (axial, radius) with one dimension changed as in ``resized``.

    Raises BadSection where the changed dimensions describe no section.
    """
    axial, radius = moments
    if what == "spacer":  # the whole solid goes outboard with it
        return section.distance(axial - by_mm, radius)
    inside = section.is_inside_wheel(axial, radius)
    if what == "wheel offset" and not inside.any():  # all but the disc, which only those see
        return section.distance(axial + by_mm, radius)
    changed = resized(corner.wheel, corner.tyre, section, what, by_mm)
    return part_of(section_of(*changed), section.part).distance(axial, radius)


def resized(
    wheel: Wheel, tyre: Tyre, section: Section, what: str, by_mm: float
) -> tuple[Wheel, Tyre]:
    """Wheel and tyre with one dimension of their ``section`` changed by ``by_mm``.

    ``what`` is "wheel offset", "spacer", "wheel width", "rim flange", "barrel", "back of the
    spokes", "section width", "overall diameter", "tread width" or "shoulder drop". A traced
    profile is scaled with its tyre; a tread that was not read goes with the section.
    """
    size = section.mounted
    if what == "wheel width":
        return replace(wheel, width_mm=wheel.rim_mm + by_mm), tyre
    if what == "rim flange":
        return replace(wheel, flange_mm=wheel.flange_mm + by_mm), tyre
    if what == "barrel":
        depth = defaults.BARREL_MM if wheel.barrel_mm is None else wheel.barrel_mm
        return replace(wheel, barrel_mm=depth + by_mm), tyre
    if what == "back of the spokes":
        back = wheel.spoke_back or ((defaults.SPOKE_BACK_MM, 0.0),)
        return replace(wheel, spoke_back=tuple((a + by_mm, r) for a, r in back)), tyre
    if what == "wheel offset":
        return replace(wheel, offset_mm=wheel.offset_mm + by_mm), tyre
    if what == "spacer":
        return replace(wheel, spacer_mm=wheel.spacer_mm + by_mm), tyre
    width, diameter, drop = size.section_width_mm, size.overall_diameter_mm, size.shoulder_drop_mm
    tread = tyre.tread_width_mm
    profile = profile_as_is(size, tyre)
    if what == "section width":
        profile = tuple((b * (width + by_mm) / width, r) for b, r in profile)
        width += by_mm
    elif what == "overall diameter":
        seat, height = size.rim_radius_mm, size.section_height_mm
        profile = tuple((b, seat + (r - seat) * (height + by_mm / 2) / height) for b, r in profile)
        diameter += by_mm
    elif what == "shoulder drop":
        drop += by_mm
    elif what == "tread width":
        tread = size.tread_width_mm + by_mm
    return wheel, replace(
        tyre,
        section_width_mm=width,
        measuring_rim_in=None,
        overall_diameter_mm=diameter,
        tread_width_mm=tread,
        shoulder_drop_mm=drop,
        profile=profile,
        worn_mm=0.0,
        growth_mm=0.0,
        largest_allowed=False,
    )
