"""Corners and axles: every corner on one axle, one side, opposite one other."""

from __future__ import annotations

import pytest

from common.corners import (
    AXLE_CORNERS,
    AXLES,
    CORNER_NAMES,
    CORNERS,
    OTHER_SIDE,
    axle_of,
    is_left,
)


@pytest.mark.parametrize("corner", CORNERS)
def test_a_corner_lies_on_one_axle_across_from_the_other_of_the_pair(corner: str) -> None:
    pair = AXLE_CORNERS[axle_of(corner)]
    assert corner in pair
    assert OTHER_SIDE[corner] in pair
    assert OTHER_SIDE[corner] != corner
    assert is_left(corner) == CORNER_NAMES[corner].endswith("left")
    assert CORNER_NAMES[corner].startswith(axle_of(corner))


def test_axles_hold_every_corner_once_left_first() -> None:
    assert tuple(AXLE_CORNERS) == AXLES
    assert tuple(corner for axle in AXLES for corner in AXLE_CORNERS[axle]) == CORNERS
    assert all(is_left(left) and not is_left(right) for left, right in AXLE_CORNERS.values())


@pytest.mark.parametrize("other", ["", "front", "lf", "LM"])
def test_what_is_no_corner_has_no_axle(other: str) -> None:
    with pytest.raises(KeyError):
        axle_of(other)
