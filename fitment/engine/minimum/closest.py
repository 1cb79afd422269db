"""The tightest moment of every spot, as far as a local search finds it.

Multi-start local search (standard method): the room's grid gives the starts (``grid_seeds``), and
each is followed down (``pattern_search``, ``overlap_search``) over steer, height within the
envelope and the place along an edge, all features at once, until the clearance moves by less than a
hundredth of a millimetre. That nothing lies lower elsewhere is proved, and mended where it does, by
``branch_and_bound``.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from alignment.geometry.frames import Array
from fitment.engine.minimum.grid_seeds import first_look
from fitment.engine.minimum.overlap_search import RIDGE_MM, RIDGES, down_ridges, least_of_each
from fitment.engine.minimum.pattern_search import down
from fitment.engine.minimum.room import Moments, Room
from fitment.engine.solid.section import Section


@dataclass(frozen=True)
class Closest:
    """The tightest moments, one per feature of a room in its order: clearance (n,) and where."""

    clearance_mm: Array
    spots: Moments


def closest(room: Room, section: Section, coarse: Section) -> Closest:
    """Tightest moment of every feature against ``section``; ``coarse`` is its rough twin."""
    hollows = first_look(room, coarse)
    place, value = down(room, section, hollows)
    which, loaded = hollows.spots.which, hollows.spots.loaded
    overlaps = np.zeros(len(room.courses), bool)
    overlaps[which[value < RIDGE_MM]] = True
    lowest = least_of_each(which, value, RIDGES)
    deep = lowest[overlaps[which[lowest]] & np.any(hollows.step[lowest] > 0, axis=1)]
    if len(deep):
        found = replace(hollows, spots=Moments(which, place, loaded)).at(deep)
        place[deep], value[deep] = down_ridges(room, section, found)
    winners = least_of_each(which, value)
    return Closest(value[winners], Moments(which, place, loaded).at(winners))
