"""Where a setting puts the wheel, and how it moves from there.

``seat_of`` gives the hub's shift from the survey pose, trail, scrub radius and track change;
``travel_curve`` and ``steer_curve`` the corner's curves. Corner frame (x forward, y outboard,
z up), millimetres and degrees.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from alignment.geometry import frames
from alignment.geometry.bump_steer_sheet import MeasuredMotion
from alignment.geometry.frames import Array
from alignment.geometry.motion import HubPoses, LinkedMotion, Motion, Settled


@dataclass(frozen=True)
class Seat:
    """Where the wheel sits at static height, straight ahead.

    ``forward_mm`` and ``outboard_mm``: hub-face centre against the survey pose. ``track_mm``:
    this side's contact against the same wheel in the survey pose, outboard positive.
    ``trail_mm``: contact behind the steering axis at the ground; ``scrub_mm``: wheel centre
    plane outboard of it. None where the kind has no steering axis. The ground is taken a
    tyre's unloaded radius below the wheel centre.
    """

    forward_mm: float
    outboard_mm: float
    track_mm: float
    caster_deg: float | None
    inclination_deg: float | None
    trail_mm: float | None
    scrub_mm: float | None


@dataclass(frozen=True)
class Curve:
    """A corner's figures over travel or over steer.

    ``at`` is travel from static height (mm) or steer (degrees). Camber, toe and caster in
    degrees as they are there (caster None where there is no axis); ``outboard_mm`` and
    ``forward_mm`` the hub's shift from static height, straight ahead. ``rack_mm`` is the
    displacement of the rack (outboard positive) that a linkage needs over steer, else None.
    """

    at: Array
    camber_deg: Array
    toe_deg: Array
    caster_deg: Array | None
    outboard_mm: Array
    forward_mm: Array
    rack_mm: Array | None = None


def seat_of(motion: Motion, settled: Settled, offset_mm: float, tyre_radius_mm: float) -> Seat:
    """Seat of one setting; the wheel's centre plane is ``offset_mm`` inboard of the hub face."""
    spin = frames.spin_axis(settled.camber, settled.toe)
    contact = _contact(settled.hub, spin, offset_mm, tyre_radius_mm)[0]
    before = _contact(np.zeros((1, 3)), motion.spin[None], offset_mm, tyre_radius_mm)[0]
    trail = scrub = caster = inclination = None
    if settled.axis is not None:
        ground = settled.axis.at_height(contact[2:])[0]
        trail, scrub = float(ground[0] - contact[0]), float(contact[1] - ground[1])
        caster = float(np.degrees(settled.axis.caster[0]))
        inclination = float(np.degrees(settled.axis.inclination[0]))
    return Seat(
        forward_mm=float(settled.hub[0, 0]),
        outboard_mm=float(settled.hub[0, 1]),
        track_mm=float(contact[1] - before[1]),
        caster_deg=caster,
        inclination_deg=inclination,
        trail_mm=trail,
        scrub_mm=scrub,
    )


def _contact(hub: Array, spin: Array, offset_mm: float, radius_mm: float) -> Array:
    """Lowest points (n, 3) of the wheel's centre circle."""
    up, _ = frames.wheel_axes(spin)
    contact: Array = hub - offset_mm * spin - radius_mm * up
    return contact


def travel_curve(motion: Motion, settled: Settled, travel_mm: Array) -> Curve:
    """Figures at travels (n,) from static height, straight ahead.

    Raises Unreachable for a travel that the suspension cannot take.
    """
    first = np.zeros(1, np.intp)
    straight = motion.steered(settled, first, np.zeros(1))
    pick = np.zeros(len(travel_mm), np.intp)
    poses = motion.travelled(settled, straight, pick, settled.static_travel[0] + travel_mm)
    return _curve(settled, np.asarray(travel_mm, float), poses)


def steer_curve(motion: Motion, settled: Settled, steer_deg: Array) -> Curve:
    """Figures at steer angles (n,) at static height. Raises Unreachable beyond the linkage."""
    which = np.zeros(len(steer_deg), np.intp)
    steered = motion.steered(settled, which, np.radians(steer_deg))
    static = np.full(len(steer_deg), settled.static_travel[0])
    poses = motion.travelled(settled, steered, np.arange(len(steer_deg)), static)
    curve = _curve(settled, np.asarray(steer_deg, float), poses)
    return replace(curve, rack_mm=steered.held) if has_rack(motion) else curve


def has_rack(motion: Motion) -> bool:
    """Whether a corner steers by the inner end of its toe rod: measured curves have no rack."""
    bare = motion.bare if isinstance(motion, MeasuredMotion) else motion
    return isinstance(bare, LinkedMotion)


def contact_shift(curve: Curve, offset_mm: float, tyre_radius_mm: float) -> Array:
    """How far outboard (n,) the contact lies of where it is at the curve's place 0, mm.

    The wheel's centre plane is ``offset_mm`` inboard of the hub face, the contact the lowest point
    of its centre circle.
    """
    spin = frames.spin_axis(np.radians(curve.camber_deg), np.radians(curve.toe_deg))
    hub = np.stack([curve.forward_mm, curve.outboard_mm, np.zeros(len(spin))], axis=-1)
    across = _contact(hub, spin, offset_mm, tyre_radius_mm)[:, 1]
    shift: Array = across - np.interp(0.0, curve.at, across)
    return shift


def _curve(settled: Settled, at: Array, poses: HubPoses) -> Curve:
    return Curve(
        at=at,
        camber_deg=np.degrees(frames.camber_of(poses.spin)),
        toe_deg=np.degrees(frames.toe_of(poses.spin)),
        caster_deg=None if poses.axis is None else np.degrees(poses.axis.caster),
        outboard_mm=poses.hub[:, 1] - settled.hub[0, 1],
        forward_mm=poses.hub[:, 0] - settled.hub[0, 0],
    )
