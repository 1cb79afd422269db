"""Images of cells in the section hold every place of the cells, on all kinds of corners."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from alignment.geometry.model import MeasuredTravel, TravelReading
from fitment.engine.minimum.cells import Cells, images
from fitment.engine.minimum.grid_cells import first_cells
from fitment.engine.minimum.room import Moments, Room
from fitment.engine.minimum.setting import setting_of
from fitment.engine.solid.section import section_of
from tests.engine.random_corners import random_check, the_corner

#: Directions in which an image's reach is looked at, and places of each cell.
AROUND, PLACES = np.linspace(0.0, 2 * np.pi, 24, endpoint=False), 40
#: Rounding.
EXACT_MM = 1e-9


#: A sheet on which toe was read at fewer heights than camber: it is held from those on.
SHORT_OF_TOE = MeasuredTravel(
    (
        TravelReading(-60.0, camber_deg=0.5),
        TravelReading(-12.0, toe_deg=-0.6),
        TravelReading(0.0, camber_deg=0.0, toe_deg=0.0),
        TravelReading(12.0, toe_deg=0.8),
        TravelReading(60.0, camber_deg=-0.6),
    )
)


def room_of(seed: int, sheet: MeasuredTravel | None = None) -> tuple[Room, Cells]:
    """A room and all cells of its grid."""
    check = random_check(seed)
    corner = the_corner(check)
    if sheet is not None:
        corner = replace(corner, suspension=replace(corner.suspension, measured=sheet))
    room = setting_of("LF", corner, check.duty).room
    coarse = section_of(corner.wheel, corner.tyre, coarse=True)
    cells, rest = first_cells(room, coarse, np.full(len(room.courses), np.inf))
    assert np.all(np.isinf(rest))
    return room, cells


def beyond(room: Room, cells: Cells, rng: np.random.Generator) -> np.ndarray:
    """How far (n,) random places of cells lie beyond their images at most, mm."""
    image = images(room, cells)
    share = rng.random((len(cells.which), PLACES, 3))
    places = cells.low[:, None] + share * (cells.high - cells.low)[:, None]
    seen = room.meridian(Moments.of_places(cells.which, places, cells.loaded))
    off = np.stack(seen, axis=-1).reshape(len(cells.which), PLACES, 2) - image.centre[:, None]
    way = np.stack([np.cos(AROUND), np.sin(AROUND)])
    reach = np.abs(image.ways @ way).sum(axis=1) + image.error_mm[:, None]
    return np.max(off @ way - reach[:, None], axis=(1, 2))


@pytest.mark.parametrize("seed", range(40))
def test_every_place_of_a_cell_lies_in_its_image(seed: int) -> None:
    room, cells = room_of(seed)
    rng = np.random.default_rng(seed)
    some = cells.at(rng.choice(len(cells.which), min(400, len(cells.which)), replace=False))
    for _ in range(5):
        assert beyond(room, some, rng).max() <= EXACT_MM
        quarters = some.cut(room, rng.integers(0, 3, (len(some.which), 2)))
        some = quarters.at(rng.choice(len(quarters.which), 400))


@pytest.mark.parametrize("seed", [0, 1, 4])
def test_an_angle_may_be_held_from_other_heights_than_its_sheet_ends_at(seed: int) -> None:
    room, cells = room_of(seed, SHORT_OF_TOE)
    rng = np.random.default_rng(seed)
    some = cells.at(np.flatnonzero(room.moving[cells.which]))
    for _ in range(4):
        some = some.at(rng.choice(len(some.which), min(2000, len(some.which)), replace=False))
        assert beyond(room, some, rng).max() <= EXACT_MM
        some = some.cut(room, np.tile([0, 1], (len(some.which), 1)))


@pytest.mark.parametrize("seed", range(0, 40, 5))
def test_what_an_image_adds_falls_with_the_square_of_a_cell(seed: int) -> None:
    room, cells = room_of(seed)
    moves = cells.at(room.moving[cells.which])
    error = [np.median(images(room, moves).error_mm)]
    for _ in range(2):
        for axes in ((0, 1), (2, 2)):
            moves = moves.cut(room, np.tile(axes, (len(moves.which), 1)))
            moves = moves.at(np.random.default_rng(1).permutation(len(moves.which))[:4000])
        error.append(np.median(images(room, moves).error_mm))
    assert error[1] < 0.35 * error[0]
    assert error[2] < 0.35 * error[1]


def test_the_grid_leaves_nothing_out() -> None:
    """What is not among the first cells is covered by the bound that is given for it."""
    for seed in range(12):
        check = random_check(seed)
        corner = the_corner(check)
        room = setting_of("LF", corner, check.duty).room
        fine, coarse = (section_of(corner.wheel, corner.tyre, rough) for rough in (False, True))
        goal = np.full(len(room.courses), 10.0)
        cells, rest = first_cells(room, coarse, goal)
        for index, sweep in enumerate(room.sweeps):
            steer, share = np.radians(sweep.steer_deg), np.linspace(0, 1, sweep.travel_mm.shape[1])
            rng = np.random.default_rng(seed)
            places = np.stack(
                [
                    rng.uniform(steer[0], steer[-1], 500),
                    rng.uniform(0.0, 1.0, 500) if len(share) > 1 else np.zeros(500),
                    rng.choice(sweep.along, 500),
                ],
                axis=-1,
            )
            spots = Moments(np.full(500, index), places, np.zeros(500, int))
            gap = fine.distance(*room.meridian(spots))
            mine = cells.at((cells.which == index) & (cells.loaded == 0))
            held = np.any(
                np.all(
                    (mine.low <= places[:, None] + 1e-12) & (places[:, None] <= mine.high + 1e-12),
                    axis=2,
                ),
                axis=1,
            )
            assert np.all(held | (gap >= rest[index]))
