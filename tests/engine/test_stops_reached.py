"""A corner whose linkage jams before the stops that were measured with it."""

from __future__ import annotations

from dataclasses import replace

import pytest

from fitment.engine import checkfile
from fitment.engine.survey.stops_reached import jam
from tests.engine.files import CURVES, LINKS, NAMES, STRUT, check_of
from tests.engine.mean_inputs import CASES


def jam_of(check: object) -> str:
    (corner,) = check.corners.values()  # type: ignore[attr-defined]
    return jam(corner.survey, corner.suspension, corner.limits)


@pytest.mark.parametrize("name", NAMES)
def test_the_examples_reach_their_stops(name: str) -> None:
    assert jam_of(check_of(name)) == ""


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("tie rod of 12 mm", "-52.0 mm of travel from static height at +0.0° of steer"),
        ("tie rod end on the steering axis", "the tie rod stops it after 0%"),
        ("lock of 60° on wishbones", "-60.0° of steer is beyond the linkage: the tie rod stops it"),
        ("lock of 70° on a strut", "70.0° of steer"),
        ("bump of 350 mm", "+350.0 mm of travel"),
        ("droop of 390 mm on five links", "-390.0 mm of travel"),
        ("five rods side by side", "of travel from static height"),
        ("a sheet of 5 mm that stands instead of the model", "beyond the measured sheet"),
    ],
)
def test_what_jams_on_the_way_to_a_stop_is_named_with_the_place(name: str, words: str) -> None:
    assert words in jam_of(checkfile.parse(CASES[name][0]))


def test_an_unknown_bump_stop_is_no_stop() -> None:
    for name in (STRUT, LINKS, CURVES):
        check = check_of(name)
        ((corner, here),) = check.corners.items()
        open_top = replace(here, limits=replace(here.limits, bump_mm=None))
        assert jam_of(replace(check, corners={corner: open_top})) == ""
