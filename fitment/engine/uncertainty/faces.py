"""Other faces of the wheel that a spot inside it could meet.

A caliper in the corner between barrel and spokes has one least clearance, but which of the two it
is to hangs on what is uncertain, and the least of both is smaller on average than either. So each
face that is about as near gets a moment of its own: its distance, and its slopes. They are read off
a little way from the spot, where that face alone is the nearest. Only what turns with the hub sits
in such corners; its place about the wheel hangs on no setting. (axial, radius) in millimetres.
"""

from __future__ import annotations

import numpy as np

from alignment.geometry.frames import Array
from fitment.engine.minimum.room import Room
from fitment.engine.model import KNUCKLE
from fitment.engine.solid.section import Section
from fitment.engine.uncertainty.moments import LinearMoments, along_face

#: A spot farther from the wheel than this meets none of its faces by what is uncertain.
FAR_MM = 15.0
#: Where the faces are read off: so far from the spot, in so many directions.
AWAY_MM, DIRECTIONS = (1.5, 3.0, 5.0, 8.0), 16
#: A place nearer to the wheel than this is not read off: a changed dimension would bury it.
CLEAR_MM = 1.2
#: Step of the slopes there.
STEP_MM = 0.05
#: Faces whose slopes agree so far are one; a slope shorter than this is that of no single face.
ALIKE, SINGLE = 0.9, 0.98
#: By so much a second face lies farther away than the nearest, at the least and at the most.
LEAST_MM, MOST_MM = 0.01, 8.0


def with_faces(room: Room, section: Section, moments: LinearMoments) -> LinearMoments:
    """The moments, and behind them those of the faces of every spot that has several."""
    carried = np.array([one.feature.carried_by == KNUCKLE for one in room.courses])
    near = (moments.clearance_mm > 0) & (moments.clearance_mm < FAR_MM)
    found = [
        _faces(section, moments, int(row)) for row in np.flatnonzero(near & carried[moments.which])
    ]
    return moments.joined([one for one in found if one is not None])


def _faces(section: Section, moments: LinearMoments, row: int) -> LinearMoments | None:
    """A moment for each face about one spot; None where there is only one."""
    here = np.array([moments.axial_mm[row], moments.radius_mm[row]])
    turn = np.arange(DIRECTIONS) * 2 * np.pi / DIRECTIONS
    ways = np.stack([np.cos(turn), np.sin(turn)], axis=-1)
    places = here + np.concatenate([away * ways for away in AWAY_MM])
    gaps, slopes = _slopes(section, places)
    own = float(section.distance(here[:1], here[1:])[0])
    flat = gaps - np.sum(slopes * (places - here), axis=1)  # the face's distance from the spot
    single = np.linalg.norm(slopes, axis=1) > SINGLE
    usable = single & (gaps > CLEAR_MM) & (flat > own - LEAST_MM) & (flat < own + MOST_MM)
    picked: list[int] = []
    for k in sorted(np.flatnonzero(usable), key=lambda k: (round(flat[k], 2), -gaps[k])):
        if all(slopes[k] @ slopes[other] < ALIKE for other in picked):
            picked.append(int(k))
    if len(picked) < 2:
        return None
    rows = np.full(len(picked), row)
    more = flat[picked] - own
    return along_face(moments.at(rows), more, places[picked], slopes[picked])


def _slopes(section: Section, places: Array) -> tuple[Array, Array]:
    """Distances (n,) at places (n, 2), and their slopes (n, 2) along axial and radius."""
    steps = STEP_MM * np.array([[0.0, 0.0], [1.0, 0.0], [-1.0, 0.0], [0.0, 1.0], [0.0, -1.0]])
    around = places + steps[:, None]
    gaps = section.distance(around[..., 0], np.maximum(around[..., 1], 0.0))
    slopes = np.stack([gaps[1] - gaps[2], gaps[3] - gaps[4]], axis=-1) / (2 * STEP_MM)
    return gaps[0], slopes
