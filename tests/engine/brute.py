"""A slow twin of the search: it looks everywhere, then looks closer where it is tight.

It shares no search code with ``fitment.engine.minimum.closest``, no section, no course of
features, no envelope and no fitted hub: poses come from the motion itself, one by one; everything
else is written here again. Every clearance it finds is one that really happens, so an engine that
states a larger one states too much.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from alignment.geometry.model import Planned
from alignment.geometry.motion import Motion, Settled
from fitment.engine.minimum.setting import motion_for
from fitment.engine.model import (
    BODY,
    BRAKING,
    EDGE,
    INSIDE,
    LINK,
    OUTSIDE,
    STRUT_BODY,
    Corner,
    Duty,
    Feature,
)
from tests.engine.naive_section import NaiveSection

Array = NDArray[np.float64]

#: First look: steer angles, heights, and millimetres along an edge between samples.
STEERS, HEIGHTS, ALONG_MM = 21, 13, 12.0
#: Cells that are looked into again, each by a finer grid, and how often.
CELLS, FINER, ROUNDS = 14, 7, 9


@dataclass(frozen=True)
class Found:
    """The least clearance of one feature and the moment of it (steer rad, share, along)."""

    clearance_mm: float
    moment: tuple[float, float, float]
    load: str


class Brute:
    """One corner at its planned setting, ready to be looked at pose by pose."""

    def __init__(self, corner: Corner, duty: Duty) -> None:
        self.corner, self.duty = corner, duty
        survey = corner.survey
        self.motion: Motion = motion_for(corner)
        self.settled: Settled = self.motion.settle([corner.planned])
        self.section = NaiveSection(corner.wheel, corner.tyre)
        self.rest = _spin(np.radians(survey.camber_deg), np.radians(survey.toe_deg))
        self.z0 = -corner.planned.adjusters.ride_height_mm
        self.kinds = self._kinds()

    def _kinds(self) -> tuple[str, ...]:
        """Without load first, then what loads this corner."""
        give, duty = self.corner.compliance, self.duty
        kinds = [""]
        if give is not None and give.camber_deg_per_g is not None and duty.lateral_g > 0:
            kinds += [OUTSIDE, INSIDE] if duty.inner else [OUTSIDE]
        if give is not None and give.aft_mm_per_g is not None and duty.longitudinal_g > 0:
            kinds.append(BRAKING)
        return tuple(kinds)

    # -- poses -------------------------------------------------------------------------

    def upper(self, steer: Array, load: str = "") -> Array:
        """Highest travel at a steer angle (rad)."""
        if load == INSIDE:
            return np.full(np.shape(steer), self.z0)
        limits = self.corner.limits
        limit = np.where(steer > 0, limits.steer_in_deg, limits.steer_out_deg)
        fraction = np.abs(np.degrees(steer)) / np.where(limit > 0, limit, 1.0)
        share = np.interp(
            fraction, [p[0] for p in self.duty.envelope], [p[1] for p in self.duty.envelope]
        )
        assert limits.bump_mm is not None
        room = limits.bump_mm - self.corner.planned.adjusters.bump_stop_mm - self.z0
        upper: Array = self.z0 + share * room
        return upper

    def lower(self, load: str = "") -> float:
        """Lowest travel."""
        if load in (OUTSIDE, BRAKING):
            return self.z0
        return self.z0 - self.duty.droop_fraction * (self.z0 + self.corner.limits.droop_mm)

    def steers(self, load: str) -> tuple[float, float]:
        """Least and greatest steer (rad): a car is braked hard up to a quarter of its lock."""
        limits, part = self.corner.limits, 0.25 if load == BRAKING else 1.0
        low, high = np.radians([-part * limits.steer_out_deg, part * limits.steer_in_deg])
        return float(low), float(high)

    def poses(self, steer: Array, share: Array, load: str = "") -> tuple[Array, Array]:
        """Hub centres and spin axes (n, 3), each pose solved."""
        hub, spin, _ = self._solved(steer, share, load)
        return hub, spin

    def rod(self, name: str, steer: Array, share: Array, load: str) -> tuple[Array, Array]:
        """Inner and outer ends (n, 3) of a rod; under load the outer goes with the knuckle."""
        if load:  # the same travel, which a loaded pose counts from static height
            travel = self.lower(load) + share * (self.upper(steer, load) - self.lower(load))
            share = (travel - self.lower()) / (self.upper(steer) - self.lower())
        bare_hub, bare_spin, ends = self._solved(steer, share, "")
        assert ends is not None
        inner, outer = ends[:, self.corner.suspension.rod_names.index(name)].transpose(1, 0, 2)
        if not load:
            return inner, outer
        hub, spin = self._bent(bare_hub, bare_spin, load)
        out = [
            at + _between(old, new) @ (end - before)
            for at, old, new, end, before in zip(hub, bare_spin, spin, outer, bare_hub, strict=True)
        ]
        return inner, np.array(out)

    def _solved(self, steer: Array, share: Array, load: str) -> tuple[Array, Array, Array | None]:
        travel = self.lower(load) + share * (self.upper(steer, load) - self.lower(load))
        first = np.zeros(len(steer), np.intp)
        steered = self.motion.steered(self.settled, first, steer)
        poses = self.motion.travelled(self.settled, steered, np.arange(len(steer)), travel)
        if not load:
            return poses.hub, poses.spin, poses.rod_ends
        return (*self._bent(poses.hub, poses.spin, load), None)

    def _bent(self, hub: Array, spin: Array, load: str) -> tuple[Array, Array]:
        give = self.corner.compliance
        assert give is not None
        if load == BRAKING:
            assert give.aft_mm_per_g is not None
            return hub - np.array([give.aft_mm_per_g * self.duty.longitudinal_g, 0.0, 0.0]), spin
        g = self.duty.lateral_g * (1.0 if load == OUTSIDE else -0.4)
        assert give.camber_deg_per_g is not None
        assert give.toe_deg_per_g is not None
        assert give.lateral_mm_per_g is not None
        camber = -np.arcsin(spin[:, 2]) + np.radians(give.camber_deg_per_g * g)
        toe = np.arctan2(spin[:, 0], spin[:, 1]) + np.radians(give.toe_deg_per_g * g)
        return hub - np.array([0.0, give.lateral_mm_per_g * g, 0.0]), _spin(camber, toe)

    # -- features ----------------------------------------------------------------------

    def point(self, feature: Feature, along: Array) -> Array:
        """Positions (n, 3) along a feature, as the survey put them and the strut turned them."""
        hub, spin = np.zeros(3), self.rest
        if feature.taken_at is not None:
            survey = self.motion.settle([Planned(toe_deg=self.corner.survey.toe_deg)])
            zero = np.zeros(1, np.intp)
            steered = self.motion.steered(survey, zero, np.radians([feature.taken_at.steer_deg]))
            pose = self.motion.travelled(
                survey, steered, zero, np.array([feature.taken_at.travel_mm])
            )
            hub, spin = pose.hub[0], pose.spin[0]
        if feature.xyz_mm:
            rows = np.array(feature.xyz_mm)
        else:
            rows = np.array([(p.clock_deg, p.radius_mm, p.axial_mm) for p in feature.points])
        points: Array
        row = np.arange(len(rows))
        mixed = np.stack([np.interp(along, row, column) for column in rows.T], axis=-1)
        if feature.xyz_mm:
            points = hub + mixed
        else:
            clock, radius, axial = np.radians(mixed[:, 0]), mixed[:, 1], mixed[:, 2]
            up = np.array([0.0, 0.0, 1.0]) - spin[2] * spin
            up /= np.linalg.norm(up)
            forward = np.cross(spin, up)
            points = (
                hub
                + axial[:, None] * spin
                + (radius * np.cos(clock))[:, None] * up
                + (radius * np.sin(clock))[:, None] * forward
            )
        if feature.carried_by == STRUT_BODY:
            k = np.radians(self.settled.adjust.get("knuckle_camber_deg", np.zeros(1))[0])
            joints = self.corner.suspension.joints
            pivot = np.array(self.corner.suspension.knuckle_pivot or joints["strut_lower"])
            turn = np.array(
                [[1, 0, 0], [0, np.cos(k), -np.sin(k)], [0, np.sin(k), np.cos(k)]], float
            )
            points = pivot + (points - pivot) @ turn.T
        return points

    def clearance(
        self,
        feature: Feature,
        steer: Array,
        share: Array,
        along: Array,
        load: str = "",
        rough: bool = False,
    ) -> Array:
        """Clearance at poses (n,) and places (n, m) along the feature, (n, m)."""
        if feature.carried_by == LINK:
            inner, outer = self.rod(feature.link, steer, share, load)
            points = inner[:, None] + along[..., None] * (outer - inner)[:, None]
        else:
            points = self.point(feature, along.ravel()).reshape(*along.shape, 3)
        if feature.carried_by in (BODY, LINK):
            hub, spin = self.poses(steer, share, load)
        else:
            hub, spin = np.zeros((len(steer), 3)), np.tile(self.rest, (len(steer), 1))
        out = points - hub[:, None]
        axial = np.einsum("nmk,nk->nm", out, spin)
        radius = np.linalg.norm(out - axial[..., None] * spin[:, None], axis=-1)
        distance = self.section.rough_distance if rough else self.section.distance
        return distance(axial, radius) - feature.half_thickness_mm

    # -- the least -----------------------------------------------------------------------

    def rough_least(self, feature: Feature) -> Array:
        """About the least clearance (m,) of every sample of a feature: the first look alone."""
        least = np.inf
        for load in self.kinds if feature.carried_by in (BODY, LINK) else ("",):
            steer, share, along = self._first_look(feature, load)
            s, h = (part.ravel() for part in np.meshgrid(steer, share, indexing="ij"))
            places = np.tile(along, (len(s), 1))
            gaps = self.clearance(feature, s, h, places, load, rough=True)
            least = np.minimum(least, gaps.min(axis=0))
        return np.asarray(least, float)

    def least(self, feature: Feature, cells: int = CELLS) -> Found:
        """The least clearance of a feature over all poses: a wide grid, then finer ones.

        ``cells`` of the wide grid are looked into again.
        """
        found = [
            self._least(feature, *self._first_look(feature, load), load, cells)
            for load in (self.kinds if feature.carried_by in (BODY, LINK) else ("",))
        ]
        return min(found, key=lambda one: one.clearance_mm)

    def _first_look(self, feature: Feature, load: str = "") -> tuple[Array, Array, Array]:
        """Steer, share and places along a feature of the wide grid."""
        limits = self.corner.limits
        moves = feature.carried_by in (BODY, LINK)
        low, high = self.steers(load)
        steer = np.linspace(low, high, STEERS)
        bends = {-limits.steer_out_deg * p[0] for p in self.duty.envelope}
        bends |= {limits.steer_in_deg * p[0] for p in self.duty.envelope}
        steer = np.clip(np.concatenate([steer, np.radians(sorted(bends))]), low, high)
        steer = np.unique(steer)
        share = np.linspace(0.0, 1.0, HEIGHTS)
        if not moves:
            steer, share = np.zeros(1), np.zeros(1)
        return steer, share, self._samples(feature)

    def _least(
        self,
        feature: Feature,
        steer: Array,
        share: Array,
        along: Array,
        load: str,
        count: int,
    ) -> Found:
        s, h = (part.ravel() for part in np.meshgrid(steer, share, indexing="ij"))
        gaps = self.clearance(feature, s, h, np.tile(along, (len(s), 1)), load, rough=True)
        grid = gaps.reshape(len(steer), len(share), len(along))
        edge = feature.shape == EDGE
        cells = _spread_out(grid, edge, count)
        centre = np.stack([axis[cells[:, i]] for i, axis in enumerate((steer, share, along))], -1)
        reach = np.array([_widest(steer), _widest(share), _widest(along) if edge else 0.0])
        low, high = centre.min(axis=0) * 0, np.zeros(3)
        for i, axis in enumerate((steer, share, along)):
            low[i], high[i] = axis[0], axis[-1]
        value = np.full(len(cells), np.inf)
        for _ in range(ROUNDS):
            ticks = [np.linspace(-1, 1, FINER) if part > 0 else np.zeros(1) for part in reach]
            pose = np.array([(a, b) for a in ticks[0] for b in ticks[1]])
            s = np.clip(centre[:, None, 0] + reach[0] * pose[:, 0], low[0], high[0])
            h = np.clip(centre[:, None, 1] + reach[1] * pose[:, 1], low[1], high[1])
            w = np.clip(centre[:, None, 2] + reach[2] * ticks[2], low[2], high[2])
            places = np.repeat(w[:, None], len(pose), axis=1)
            gaps = self.clearance(
                feature, s.ravel(), h.ravel(), places.reshape(-1, len(ticks[2])), load
            ).reshape(len(centre), len(pose), len(ticks[2]))
            flat = gaps.reshape(len(centre), -1).argmin(axis=1)
            at_pose, at_place = np.divmod(flat, len(ticks[2]))
            rows = np.arange(len(centre))
            here = gaps[rows, at_pose, at_place]
            better = here < value
            place = np.stack([s[rows, at_pose], h[rows, at_pose], w[rows, at_place]], axis=-1)
            centre = np.where(better[:, None], place, centre)
            value = np.minimum(here, value)
            keep = np.argsort(value)[: max(3, len(value) // 2)]
            centre, value = centre[keep], value[keep]
            reach = reach * 0.4
        best = int(np.argmin(value))
        moment = (float(centre[best, 0]), float(centre[best, 1]), float(centre[best, 2]))
        return Found(float(value[best]), moment, load)

    def _samples(self, feature: Feature) -> Array:
        if feature.carried_by == LINK:
            return np.linspace(0.0, 1.0, 41)
        count = len(feature.points or feature.xyz_mm)
        knots = np.arange(count, dtype=float)
        if feature.shape != EDGE:
            return knots
        parts = []
        for i in range(count - 1):
            course = self.point(feature, np.linspace(i, i + 1, 30))
            length = float(np.sum(np.linalg.norm(np.diff(course, axis=0), axis=1)))
            pieces = max(2, int(np.ceil(length / ALONG_MM)))
            parts.append(np.linspace(i, i + 1, pieces, endpoint=False))
        return np.concatenate([*parts, knots[-1:]])


def _spread_out(grid: Array, edge: bool, count: int) -> NDArray[np.intp]:
    """Cells (k, 3) with the least values, no two of them neighbours."""
    order = np.argsort(grid, axis=None)[:4000]
    cells = np.stack(np.unravel_index(order, grid.shape), axis=-1)
    chosen: list[NDArray[np.intp]] = []
    for cell in cells:
        far = [
            np.max(np.abs(cell[:2] - other[:2])) > 1
            or (cell[2] != other[2] if not edge else abs(cell[2] - other[2]) > 1)
            for other in chosen
        ]
        if all(far):
            chosen.append(cell)
        if len(chosen) == count:
            break
    return np.array(chosen)


def _between(old: Array, new: Array) -> Array:
    """The least rotation (3, 3) that turns one unit vector into another."""
    axis, cos = np.cross(old, new), float(old @ new)
    k = np.array([[0, -axis[2], axis[1]], [axis[2], 0, -axis[0]], [-axis[1], axis[0], 0]])
    turn: Array = np.eye(3) + k + k @ k / (1.0 + cos)
    return turn


def _widest(axis: Array) -> float:
    return float(np.max(np.diff(axis))) if len(axis) > 1 else 0.0


def _spin(camber: Array | float, toe: Array | float) -> Array:
    spin: Array = np.stack(
        [np.sin(toe) * np.cos(camber), np.cos(toe) * np.cos(camber), -np.sin(camber)], axis=-1
    )
    return spin
