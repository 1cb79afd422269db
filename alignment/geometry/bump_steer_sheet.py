"""A bump-steer sheet laid over a corner's motion.

What a technician read against travel is compared with the model at the survey's setting; the
difference, interpolated by ``pchip``, is then added to every pose, about the hub-face centre, less
the difference at static height, since camber and toe are set there. Corner frame, millimetres,
radians.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from alignment.geometry import frames
from alignment.geometry.frames import Array, Index
from alignment.geometry.linkage import Unreachable
from alignment.geometry.model import MeasuredTravel, Planned
from alignment.geometry.motion import HubPoses, Motion, Settled, Steered
from alignment.geometry.pchip import Pchip
from common.message import message

#: Points at which the model's own curve is taken where the readings replace it.
MODEL_POINTS = 41


@dataclass(frozen=True)
class Overlay:
    """What the readings add to the model: (camber, toe) in radians over travel.

    ``low`` and ``high`` bound the readings (mm); beyond them the overlay is held constant, or
    refused where the readings stand instead of the model.
    """

    added: tuple[Pchip | None, Pchip | None]
    low: float
    high: float
    instead: bool

    def at(self, travel: Array) -> Array:
        """Additions (n, 2) to camber and toe at travels (n,). Raises Unreachable if refused."""
        outside = (travel < self.low - 1e-9) | (travel > self.high + 1e-9)
        if self.instead and np.any(outside):
            far = float(travel[np.argmax(outside)])
            raise Unreachable(
                message("stop.sheet", travel_mm=far, low_mm=self.low, high_mm=self.high)
            )
        nothing = np.zeros(len(travel))
        return np.stack([_held(part, travel) if part else nothing for part in self.added], axis=-1)

    def kinks(self) -> Array:
        """Travels at which an angle begins to be held constant, and by how much (rad/mm) the
        direction of a spin axis turns there at most, (k, 2)."""
        turns: dict[float, float] = {}
        for part in self.added:
            if part is not None:
                ends = part.knots[[0, -1]]
                for end, slope in zip(ends, np.abs(part.slope(ends)[:, 0]), strict=True):
                    turns[float(end)] = turns.get(float(end), 0.0) + float(slope)
        return np.array(sorted(turns.items())).reshape(-1, 2)

    def laid_on(self, poses: HubPoses, travel: Array, static: Array) -> HubPoses:
        """Poses with the overlay, none at the static travels ``static`` (n,)."""
        more = self.at(travel) - self.at(static)
        spin = frames.spin_axis(
            frames.camber_of(poses.spin) + more[:, 0], frames.toe_of(poses.spin) + more[:, 1]
        )
        return HubPoses(poses.hub, spin, poses.axis, poses.rod_ends)


def _held(part: Pchip, travel: Array) -> Array:
    """A curve (n,) at travels, held at its ends: an angle may be read at fewer heights."""
    return part(np.clip(travel, part.knots[0], part.knots[-1]))[:, 0]


def overlay_of(motion: Motion, sheet: MeasuredTravel, survey_toe_deg: float) -> Overlay:
    """The overlay that a sheet asks for over ``motion`` as it was surveyed.

    The sheet gives changes from the survey height, rising in travel, with a row at 0.
    """
    travel = np.array([row.travel_mm for row in sheet.rows])
    low, high = float(travel[0]), float(travel[-1])
    if sheet.instead:
        travel = np.linspace(low, high, MODEL_POINTS)
    model = _model_changes(motion, travel, survey_toe_deg)
    added: list[Pchip | None] = []
    for column, name in enumerate(("camber_deg", "toe_deg")):
        known = [row for row in sheet.rows if getattr(row, name) is not None]
        if len(known) < 2:
            added.append(None)
            continue
        at = np.array([row.travel_mm for row in known])
        read = np.radians([getattr(row, name) for row in known])
        if sheet.instead:
            inside = (travel >= at[0] - 1e-9) & (travel <= at[-1] + 1e-9)
            knots = travel[inside]
            error = Pchip(at, read[:, None])(knots)[:, 0] - model[inside, column]
        else:
            knots, error = at, read - np.interp(at, travel, model[:, column])
        added.append(Pchip(knots, error[:, None]))
    return Overlay((added[0], added[1]), low, high, sheet.instead)


def _model_changes(motion: Motion, travel: Array, survey_toe_deg: float) -> Array:
    """Changes (n, 2) of camber and toe of the bare model at its survey setting."""
    settled = motion.settle([Planned(toe_deg=survey_toe_deg)])
    straight = motion.steered(settled, np.zeros(1, np.intp), np.zeros(1))
    poses = motion.travelled(settled, straight, np.zeros(len(travel), np.intp), travel)
    angles = np.stack([frames.camber_of(poses.spin), frames.toe_of(poses.spin)], axis=-1)
    changes: Array = angles - np.stack([settled.camber, settled.toe], axis=-1)
    return changes


class MeasuredMotion:
    """A motion with an overlay; everything else is the bare model's."""

    def __init__(self, bare: Motion, overlay: Overlay) -> None:
        self.bare, self.overlay, self.spin = bare, overlay, bare.spin

    def solved(self, planned: Planned) -> tuple[str, ...]:
        """See Motion."""
        return self.bare.solved(planned)

    def settle(self, plans: Sequence[Planned]) -> Settled:
        """See Motion: at static height the overlay is nothing."""
        return self.bare.settle(plans)

    def steered(self, settled: Settled, which: Index, steer: Array) -> Steered:
        """See Motion: at static height the overlay is nothing."""
        return self.bare.steered(settled, which, steer)

    def travelled(self, settled: Settled, steered: Steered, pick: Index, travel: Array) -> HubPoses:
        """See Motion. Raises Unreachable also beyond a sheet that stands instead of the model."""
        poses = self.bare.travelled(settled, steered, pick, travel)
        return self.overlay.laid_on(poses, travel, settled.static_travel[steered.which[pick]])
