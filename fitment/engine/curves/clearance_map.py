"""How the clearance of one spot changes over travel and steer.

The grid follows the envelope: every row is one steer angle, from the lower to the upper bound of
travel there, so that nothing outside the envelope is computed and lines of equal clearance end on
its edge. Each pose's clearance is the least along the feature, right to a tenth of a millimetre.
Travel is counted from the planned static height, bump positive.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from alignment.geometry import frames
from alignment.geometry.frames import Array, Index
from alignment.geometry.motion import HubPoses
from common.message import Told, message
from fitment.engine.minimum.feature_curves import Course
from fitment.engine.minimum.room import Room
from fitment.engine.minimum.setting import Setting
from fitment.engine.model import PoseAt, SpotAnswer
from fitment.engine.solid.section import COARSE_ERROR_MM, Section, section_of

#: Grid of the map: widest gap between steer angles, degrees, and number of heights.
STEER_STEP_DEG = 3.5
HEIGHTS = 17
#: A corner that does not steer has one row, which may be finer.
HEIGHTS_OF_ONE = 65
#: Hollows along an edge that could hold the least clearance lie this close to it, mm.
HOLLOW_MM = 6.0
#: Deeper than this (mm) inside the wheel the least clearance is sharp along an edge, so that
#: its samples have to lie closer, by this factor.
RIDGE_MM, RIDGE_PARTS = -1.0, 5
#: The rough section finds the place along the edge to this part of a sample's step.
ROUGH_ROUNDS = 4
#: How much lower a clearance may still be when its search ends, mm.
TOLERANCE_MM = 0.02
MOST_ROUNDS = 14


class NothingToMap(Told):
    """A place that moves with the wheel: its clearance is the same in every pose."""


@dataclass(frozen=True)
class ClearanceMap:
    """Clearance of one place over the envelope of one setting.

    ``steer_deg`` (n,) rising; ``share`` (m,) of the way from the lower to the upper bound of
    travel; ``travel_mm`` (n, m) from static height; ``clearance_mm`` (n, m). One row where
    the corner does not steer. ``load`` names the load that is on, empty for none.
    """

    place: str
    load: str
    steer_deg: Array
    share: Array
    travel_mm: Array
    clearance_mm: Array

    @property
    def steers(self) -> bool:
        """Whether there is more than one steer angle."""
        return len(self.steer_deg) > 1

    @property
    def least(self) -> tuple[float, PoseAt]:
        """The least clearance on the grid and where it is."""
        row, column = np.unravel_index(np.argmin(self.clearance_mm), self.clearance_mm.shape)
        pose = PoseAt(float(self.travel_mm[row, column]), float(self.steer_deg[row]), self.load)
        return float(self.clearance_mm[row, column]), pose

    def at(self, travel_mm: Array, steer_deg: Array) -> Array:
        """Clearance (n,) between the points of the grid; NaN outside the envelope."""
        travel, steer = np.asarray(travel_mm, float), np.asarray(steer_deg, float)
        lower = np.interp(steer, self.steer_deg, self.travel_mm[:, 0])
        upper = np.interp(steer, self.steer_deg, self.travel_mm[:, -1])
        height = np.maximum(upper - lower, 1e-9)
        share = (travel - lower) / height
        row, across = _cell(self.steer_deg, steer)
        column, up = _cell(self.share, share)
        after_row = np.minimum(row + 1, len(self.steer_deg) - 1)
        after_column = np.minimum(column + 1, len(self.share) - 1)
        values = self.clearance_mm
        low = values[row, column] + up * (values[row, after_column] - values[row, column])
        high = values[after_row, column] + up * (
            values[after_row, after_column] - values[after_row, column]
        )
        outside = (travel < lower - 1e-6) | (travel > upper + 1e-6)
        outside |= (steer < self.steer_deg[0] - 1e-6) | (steer > self.steer_deg[-1] + 1e-6)
        return np.where(outside, np.nan, low + across * (high - low))


def _cell(grid: Array, at: Array) -> tuple[Index, Array]:
    """Cells (n,) of a rising grid that hold the values, and the share of the way through each."""
    if len(grid) < 2:
        return np.zeros(at.shape, np.intp), np.zeros(at.shape)
    index = np.clip(np.searchsorted(grid, at, side="right") - 1, 0, len(grid) - 2)
    share = (at - grid[index]) / (grid[index + 1] - grid[index])
    return index, np.clip(share, 0.0, 1.0)


def map_of(setting: Setting, place: SpotAnswer) -> ClearanceMap:
    """The map that a place's answer belongs to: its wheel, load, and tightest moment on the grid.

    Raises NothingToMap for a place that moves with the wheel.
    """
    corner, names = setting.corner, [course.feature.place for course in setting.room.courses]
    section = section_of(corner.wheel, corner.tyre)
    index = names.index(place.place)
    return clearance_map(setting, section, index, place.at.load, through=place.at)


def clearance_map(
    setting: Setting,
    section: Section,
    index: int,
    load: str = "",
    *,
    through: PoseAt | None = None,
) -> ClearanceMap:
    """Clearance of the place ``index`` of the survey over the duty's envelope.

    ``section`` is of the corner's wheel and tyre, or of any other. The grid passes ``through``
    a pose if one is given. Raises NothingToMap for a place that moves with the wheel, and
    for loaded poses of a setting that has none.
    """
    room, envelope = setting.room, setting.envelope
    if not room.moving[index]:
        raise NothingToMap(message("draw.moves-with-wheel", spot=room.courses[index].feature.place))
    kind = envelope.kind_of(load) if load else 0
    if kind is None:
        raise NothingToMap(message("draw.no-loaded-poses"))
    steer, share = _grid(setting, kind, through)
    at_steer, at_share = (part.ravel() for part in np.meshgrid(steer, share, indexing="ij"))
    kinds = np.full(len(at_steer), kind)
    poses = envelope.poses(room.hubs, at_steer, at_share, kinds)
    shape = (len(steer), len(share))
    travel = envelope.travel(at_steer, at_share, kinds) - envelope.static_travel
    gaps = least_along(room, section, _rough(setting, section), index, poses)
    return ClearanceMap(
        place=room.courses[index].feature.place,
        load=load,
        steer_deg=np.degrees(steer),
        share=share,
        travel_mm=travel.reshape(shape),
        clearance_mm=gaps.reshape(shape),
    )


def _grid(setting: Setting, kind: int, through: PoseAt | None) -> tuple[Array, Array]:
    """Steer (rad) and shares of height: even steps, bends of the envelope and one pose more."""
    envelope = setting.envelope
    low, high = np.array(envelope.steer_span) * envelope.steer_shares[kind]
    knots = envelope.knots[:, 0]
    steer = [np.array([low, high]), knots[(knots > low) & (knots < high)]]
    if high > low:
        count = int(np.ceil(np.degrees(high - low) / STEER_STEP_DEG))
        steer.append(np.linspace(low, high, count + 1))
    share = [np.linspace(0.0, 1.0, HEIGHTS if high > low else HEIGHTS_OF_ONE)]
    if through is not None:
        angle = np.clip(np.radians([through.steer_deg]), low, high)
        flag = np.array([kind])
        lower, upper = (
            float(envelope.travel(angle, np.array([part]), flag)[0]) for part in (0.0, 1.0)
        )
        if upper - lower > 1e-6:
            height = through.travel_mm + envelope.static_travel - lower
            share.append(np.clip([height / (upper - lower)], 0.0, 1.0))
        steer.append(angle)
    return _apart(np.concatenate(steer), 1e-6), _apart(np.concatenate(share), 1e-6)


def _apart(values: Array, least: float) -> Array:
    """Sorted values without those that lie closer than ``least`` to the one before."""
    values = np.sort(values)
    kept: Array = values[np.concatenate([[True], np.diff(values) > least])]
    return kept


def _rough(setting: Setting, section: Section) -> Section:
    """The rough twin of a section; the section itself where it is not of this corner's wheel."""
    wheel, tyre = setting.corner.wheel, setting.corner.tyre
    own = section is section_of(wheel, tyre)
    return section_of(wheel, tyre, coarse=True) if own else section


# The least clearance along a feature


@dataclass(frozen=True)
class _Sight:
    """One feature as seen from the wheel in many poses, and the wheel's section."""

    course: Course
    poses: HubPoses
    tube: int
    section: Section
    rough: Section

    @property
    def count(self) -> int:
        return len(self.poses.hub)

    def seen(self, pose: Index, along: Array) -> tuple[Array, Array]:
        """Axial and radius (n,) of places ``along`` the feature in the poses ``pose`` (n,)."""
        if self.tube >= 0 and self.poses.rod_ends is not None:
            inner, outer = self.poses.rod_ends[pose, self.tube].transpose(1, 0, 2)
            points = inner + along[:, None] * (outer - inner)
        else:
            points = self.course.at(along)
        return frames.meridian(points, self.poses.hub[pose], self.poses.spin[pose])


def least_along(room: Room, section: Section, rough: Section, index: int, poses: HubPoses) -> Array:
    """Least clearance (n,) of one moving feature in poses (n,), half thickness taken off, mm.

    ``rough`` stands within COARSE_ERROR_MM of ``section``.
    """
    course = room.courses[index]
    sight = _Sight(course, poses, int(room.tube_of[index]), section, rough)
    along = course.samples()
    least = _least(sight, along, np.arange(sight.count))
    if course.is_edge:
        deep = np.flatnonzero(least < RIDGE_MM)
        if len(deep):
            at = np.linspace(0, len(along) - 1, RIDGE_PARTS * (len(along) - 1) + 1)
            closer = np.interp(at, np.arange(len(along)), along)
            least[deep] = np.minimum(least[deep], _least(sight, closer, deep))
    result: Array = least - course.feature.half_thickness_mm
    return result


def _least(sight: _Sight, along: Array, rows: Index) -> Array:
    """Least signed distance (rows,) in some poses, looked for from samples ``along``."""
    count, edge = len(along), sight.course.is_edge
    axial, radius = sight.seen(np.repeat(rows, count), np.tile(along, len(rows)))
    first = sight.rough.distance(axial, radius).reshape(len(rows), count)
    hopeful = first <= first.min(axis=1, keepdims=True) + (
        HOLLOW_MM if edge else 2 * COARSE_ERROR_MM
    )
    if edge:
        hopeful[:, 1:] &= first[:, 1:] <= first[:, :-1]
        hopeful[:, :-1] &= first[:, :-1] <= first[:, 1:]
    row, sample = np.nonzero(hopeful)
    place, value, step = along[sample], first[row, sample], _spacing(along)[sample]
    if edge:
        place, value, step = _roughly(sight, rows[row], place, value, step / 2)
    good = value <= _per_row(row, value, len(rows))[row] + 2 * COARSE_ERROR_MM
    row, place, step = row[good], place[good], step[good]
    fine = sight.section.distance(*sight.seen(rows[row], place))
    if edge:
        fine = _closely(sight, rows[row], place, fine, step)
    return _per_row(row, fine, len(rows))


def _per_row(row: Index, value: Array, count: int) -> Array:
    least = np.full(count, np.inf)
    np.minimum.at(least, row, value)
    return least


def _spacing(along: Array) -> Array:
    """The wider of the two steps beside every sample; 0 for a single one."""
    step = np.diff(along)
    wider: Array = np.maximum(np.append(step, 0.0), np.insert(step, 0, 0.0))
    return wider


def _roughly(
    sight: _Sight, pose: Index, place: Array, value: Array, step: Array
) -> tuple[Array, Array, Array]:
    """Places, values and steps after a few rounds of halving, each pose for itself."""
    low, high = 0.0, float(len(sight.course.knots) - 1)
    for _ in range(ROUGH_ROUNDS):
        trial = np.clip(place + np.array([[-1.0], [1.0]]) * step, low, high)
        gaps = sight.rough.distance(*sight.seen(np.tile(pose, 2), trial.ravel())).reshape(2, -1)
        side = np.argmin(gaps, axis=0)
        best = gaps[side, np.arange(len(pose))]
        better = best < value
        place = np.where(better, trial[side, np.arange(len(pose))], place)
        value = np.where(better, best, value)
        step = step / 2
    return place, value, 2 * step


def _closely(sight: _Sight, pose: Index, place: Array, value: Array, step: Array) -> Array:
    """Values after each place has gone down until little more can be gained.

    Where the distance is convex along the edge, a place below both its neighbours by no more
    than the tolerance is that close to the least; at an end of the edge two places inwards
    tell the same.
    """
    low, high = 0.0, float(len(sight.course.knots) - 1)
    place, value, step = place.copy(), value.copy(), step.copy()
    active = np.arange(len(pose))
    for _ in range(MOST_ROUNDS):
        at, by = place[active], step[active]
        back, forth = at - by, at + by
        first, last = back < low, forth > high
        back, forth = np.where(first, at + by / 2, back), np.where(last, at - by / 2, forth)
        trial = np.clip(np.stack([back, forth]), low, high)
        gaps = sight.section.distance(*sight.seen(np.tile(pose[active], 2), trial.ravel()))
        gaps = gaps.reshape(2, -1)
        inward = np.where(first, gaps[1], gaps[0])  # a whole step inwards, at an end
        half = np.where(first, gaps[0], gaps[1])
        here = value[active]
        more = np.where(first | last, here - (2 * half - inward), gaps.min(axis=0) - here)
        side = np.argmin(gaps, axis=0)
        best = gaps[side, np.arange(len(active))]
        better = best < here
        place[active] = np.where(better, trial[side, np.arange(len(active))], at)
        value[active] = np.where(better, best, here)
        step[active] = np.where(better, by, by / 2)
        active = active[better | (more > TOLERANCE_MM)]
        if not len(active):
            break
    return value
