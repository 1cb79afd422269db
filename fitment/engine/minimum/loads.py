"""What loads a wheel while it is in use, and what that does to its hub.

The wheel on the outside of a bend is pressed up and tilted by what gives in its suspension, the
one on the inside hangs lower and is tilted the other way by less, and braking takes the hub to
the rear. Each is a constant change of a pose; which poses it meets is part of it. Millimetres,
radians.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from alignment.geometry import frames
from alignment.geometry.frames import Flags
from alignment.geometry.model import Compliance
from alignment.geometry.motion import HubPoses
from common.message import Message, message
from fitment.engine import defaults
from fitment.engine.model import BRAKING, INSIDE, OUTSIDE, Duty


@dataclass(frozen=True)
class Load:
    """What one kind of load adds to a pose: camber and toe (rad), and how far (3,) the hub goes.

    ``name`` is OUTSIDE, INSIDE or BRAKING. It acts from static height up, or down from there where
    it ``falls``, and up to ``steer_share`` of the lock either way.
    """

    name: str
    camber: float
    toe: float
    shift_mm: tuple[float, float, float]
    falls: bool = False
    steer_share: float = 1.0

    def applied(self, poses: HubPoses) -> HubPoses:
        """The same poses under load."""
        spin = frames.spin_axis(
            frames.camber_of(poses.spin) + self.camber, frames.toe_of(poses.spin) + self.toe
        )
        hub = poses.hub + np.array(self.shift_mm)
        rod_ends = poses.rod_ends
        if rod_ends is not None:  # a rod's outer end goes with the knuckle, its inner end stays
            arm = rod_ends[:, :, 1] - poses.hub[:, None]
            tip = frames.rotation(frames.cross(poses.spin, spin)) @ arm.transpose(0, 2, 1)
            rod_ends = np.stack([rod_ends[:, :, 0], hub[:, None] + tip.transpose(0, 2, 1)], axis=2)
        return HubPoses(hub, spin, poses.axis, rod_ends)


def picked(choose: Flags, one: HubPoses, other: HubPoses) -> HubPoses:
    """Row by row the poses of ``one`` where ``choose`` (n,), else those of ``other``."""
    pick = choose[:, None]
    rod_ends = None
    if one.rod_ends is not None and other.rod_ends is not None:
        rod_ends = np.where(pick[..., None, None], one.rod_ends, other.rod_ends)
    return HubPoses(
        np.where(pick, one.hub, other.hub), np.where(pick, one.spin, other.spin), rod_ends=rod_ends
    )


def loads_of(duty: Duty, compliance: Compliance | None) -> tuple[Load, ...]:
    """The loads of a duty of which a corner's compliance states what they need."""
    if compliance is None:
        return ()
    loads = []
    side = _side(compliance)
    if side is not None and duty.lateral_g > 0:
        loads.append(_sideways(OUTSIDE, side, duty.lateral_g))
        if duty.inner:
            share = -defaults.INNER_WHEEL_SHARE
            loads.append(_sideways(INSIDE, side, share * duty.lateral_g, falls=True))
    if compliance.aft_mm_per_g is not None and duty.longitudinal_g > 0:
        rearward = compliance.aft_mm_per_g * duty.longitudinal_g
        share = defaults.BRAKING_STEER_SHARE
        loads.append(Load(BRAKING, 0.0, 0.0, (-rearward, 0.0, 0.0), steer_share=share))
    return tuple(loads)


def _side(compliance: Compliance) -> tuple[float, float, float] | None:
    """Camber and toe (rad) and hub inboard (mm) per g, what was not stated taken for nothing;
    None where nothing was stated."""
    stated = (
        compliance.camber_deg_per_g,
        compliance.toe_deg_per_g,
        compliance.lateral_mm_per_g,
    )
    if all(value is None for value in stated):
        return None
    camber, toe, inboard = (value or 0.0 for value in stated)
    return float(np.radians(camber)), float(np.radians(toe)), inboard


def _sideways(
    name: str, side: tuple[float, float, float], g: float, *, falls: bool = False
) -> Load:
    camber, toe, inboard = (value * g for value in side)
    return Load(name, camber, toe, (0.0, -inboard, 0.0), falls=falls)


def loads_left_out(duty: Duty, compliance: Compliance | None) -> tuple[Message, ...]:
    """Loads of a duty that a corner's compliance says too little for, as notes."""
    known = compliance or Compliance()
    notes = []
    if duty.lateral_g > 0:
        unstated = tuple(
            message(f"gives.{name}")
            for name, value in (
                ("camber", known.camber_deg_per_g),
                ("toe", known.toe_deg_per_g),
                ("sideways", known.lateral_mm_per_g),
            )
            if value is None
        )
        if len(unstated) == 3:
            notes.append(message("note.no-compliance"))
        elif unstated:
            notes.append(message("note.compliance-in-part", what=unstated))
    if duty.longitudinal_g > 0 and known.aft_mm_per_g is None:
        notes.append(message("note.no-braking", g=duty.longitudinal_g))
    return tuple(notes)
