"""Branch and bound: a proved lower bound beside every least clearance, and what a search missed.

For every feature the least of a signed distance over a box is wanted,

    g = min { d(F(s, h, w)) : steer s, share of height h, along w } - half thickness,

with d the distance to the wheel's section, negative inside. A cell of the box (``cells``) lies in
the section within a zonogon Z widened by e, so d ≥ min_Z d - e on it. A cell is left when that is
no less than a goal, else quartered across the coordinates that add most, until none is left
(Piyavskii 1972; Hansen & Walster, *Global Optimization Using Interval Analysis*, 2003). The bound
is second order: e falls with the square of a cell, and min_Z d is exact but for the turn of the
nearest direction, so there is no cluster of tiny cells round a minimum (Du & Kearfott 1994).

What differs from the textbook: all open cells of all features are bounded at once; the goal is
not the least found but TOLERANCE_MM less, or ``enough`` where that is lower, beyond which neither
verdict nor chance asks for more; cells are held against a rough section first. It starts from a
local search. A cell whose middle lies lower than the least found gives a new least, followed down
by the same local search (``pattern_search``). It ends when no cell is open; for a feature that
has taken CELLS of them, or DEEP_CELLS where it overlaps by more than DEEP_MM, it ends with the
bound that its open cells have. Millimetres.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from alignment.geometry.frames import Array, Index
from fitment.engine.minimum.cells import Cells, Images, images
from fitment.engine.minimum.closest import Closest
from fitment.engine.minimum.grid_cells import first_cells
from fitment.engine.minimum.pattern_search import Hollows, clearance_at, down
from fitment.engine.minimum.room import Moments, Room
from fitment.engine.solid.distance_bounds import floor
from fitment.engine.solid.section import COARSE_ERROR_MM, FINE_ERROR_MM, Section

#: How far under the least clearance found the goal lies.
TOLERANCE_MM = 0.06
#: A place lower than the least found by more than this takes its place.
LOWER_MM = 0.01
#: Cells that a feature may take, and one that overlaps by more than DEEP_MM, where a depth is
#: for ordering only: its goal may lie lower by this share of the rest.
CELLS, DEEP_CELLS, DEEP_MM, DEEP_SHARE = 40_000, 4_000, -5.0, 0.05
#: Fewer open cells than this are not held against a rough section first: a call costs more.
FEW = 160


@dataclass(frozen=True)
class Proved:
    """Tightest moments, proved lower bounds (n,) of them, and the cells that each took (n,)."""

    found: Closest
    certified_mm: Array
    cells: Index


def prove(
    room: Room, section: Section, coarse: Section, found: Closest, enough_mm: Array
) -> Proved:
    """Bounds of every feature's clearance, starting from what was ``found``.

    Within 0.1 mm of the least clearance, or at least ``enough_mm`` (n,), but where the cells ran
    out; the chords of the section, and the map of hub poses, are allowed for.
    """
    search = _Search(room, section, coarse, found, enough_mm)
    cells, bound = first_cells(room, coarse, search.goal())
    while len(cells.which):
        cells = search.round(cells, bound)
    least = search.found.clearance_mm
    certified = np.minimum(bound - room.half_thickness_mm - FINE_ERROR_MM, least)
    return Proved(search.found, certified, search.taken)


class _Search:
    """The state of a search: the least clearances, and the cells that they took."""

    def __init__(
        self, room: Room, section: Section, coarse: Section, found: Closest, enough_mm: Array
    ) -> None:
        self.room, self.section, self.coarse = room, section, coarse
        self.found, self.enough_mm = found, enough_mm
        self.taken = np.zeros(len(enough_mm), np.intp)

    def goal(self) -> Array:
        """Distances (n,) to the wheel at which a cell is left."""
        least = self.found.clearance_mm
        deep = np.maximum(DEEP_MM - least, 0.0)
        lower = least - TOLERANCE_MM - DEEP_SHARE * deep
        return np.minimum(lower, self.enough_mm + FINE_ERROR_MM) + self.room.half_thickness_mm

    def round(self, cells: Cells, bound: Array) -> Cells:
        """Bound all cells, quarter what stays open, and lower ``bound`` (n,) to what does not."""
        goal = self.goal()[cells.which]
        image = images(self.room, cells)
        lower, here = self._lower(image, goal)
        self.taken += np.bincount(cells.which, minlength=len(self.taken))
        self._look_lower(cells, here - self.room.half_thickness_mm[cells.which])
        limit = np.where(self.found.clearance_mm < DEEP_MM, DEEP_CELLS, CELLS)
        done = (lower >= goal) | (self.taken >= limit)[cells.which]
        np.minimum.at(bound, cells.which[done], lower[done])
        opened = np.flatnonzero(~done)
        if not len(opened):
            return cells.at(opened)
        return cells.at(opened).cut(self.room, _axes(image.reach_mm[opened]))

    def _lower(self, image: Images, goal: Array) -> tuple[Array, Array]:
        """Lower bounds (n,) of distances over images, and about the distance of their centres.

        Exact where a rough section does not tell whether they come up to the ``goal`` (n,).
        """
        if len(goal) < FEW:
            lower, here = floor(self.section.boundary, image.centre, image.ways)
            return lower - image.error_mm, here
        rough, here = floor(self.coarse.boundary, image.centre, image.ways)
        lower = rough - image.error_mm - COARSE_ERROR_MM
        here += COARSE_ERROR_MM
        look = np.flatnonzero((lower < goal) & (lower + 2 * COARSE_ERROR_MM > goal))
        exact, here[look] = floor(self.section.boundary, image.centre[look], image.ways[look])
        lower[look] = np.maximum(lower[look], exact - image.error_mm[look])
        return lower, here

    def _look_lower(self, cells: Cells, about: Array) -> None:
        """Take over a cell's middle that lies lower than the least found and follow it down.

        ``about`` (n,) is what clearance the middle has by the corners.
        """
        least = self.found.clearance_mm
        promising = np.flatnonzero(about < least[cells.which] - LOWER_MM)
        if not len(promising):
            return
        which = cells.which[promising]
        order = np.lexsort((about[promising], which))
        first = order[np.flatnonzero(np.diff(which[order], prepend=-1))]
        some = cells.at(promising[first])
        value = clearance_at(self.room, self.section, some.middles)
        better = np.flatnonzero(value < least[some.which] - LOWER_MM)
        if not len(better):
            return
        some = some.at(better)
        low, high = self._bounds(some.which, some.loaded)
        start = Hollows(some.middles, (some.high - some.low) / 2, low, high)
        place, value = down(self.room, self.section, start)
        spots = self.found.spots
        clearance, places, loaded = least.copy(), spots.place.copy(), spots.loaded.copy()
        clearance[some.which], places[some.which] = value, place
        loaded[some.which] = some.loaded
        self.found = Closest(clearance, Moments(spots.which, places, loaded))

    def _bounds(self, which: Index, loaded: Index) -> tuple[Array, Array]:
        """Bounds (n, 3) of all places of features in poses of kinds (n,)."""
        envelope = self.room.envelope
        steer = np.outer(envelope.steer_span, envelope.steer_shares[loaded])
        last = np.array([len(course.knots) - 1.0 for course in self.room.courses])[which]
        low, high = np.zeros((len(which), 3)), np.ones((len(which), 3))
        low[:, 0], high[:, 0], high[:, 2] = *steer, last
        return low, high


def _axes(reach: Array) -> Index:
    """The two coordinates (n, 2) to cut across, of what each adds (n, 3): first what adds most,
    then what adds most after that."""
    rows, left = np.arange(len(reach)), reach.copy()
    first = np.argmax(left, axis=1)
    left[rows, first] /= 2
    return np.stack([first, np.argmax(left, axis=1)], axis=-1)
