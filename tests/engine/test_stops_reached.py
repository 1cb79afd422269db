"""A corner whose linkage jams before the stops that were measured with it."""

from __future__ import annotations

from dataclasses import replace

import pytest

from common.message import Message, message
from fitment.engine import checkfile
from fitment.engine.survey.stops_reached import jam
from tests.engine.files import CURVES, LINKS, NAMES, STRUT, check_of
from tests.engine.mean_inputs import CASES


def jam_of(check: object) -> Message | None:
    (corner,) = check.corners.values()  # type: ignore[attr-defined]
    return jam(corner.survey, corner.suspension, corner.limits)


@pytest.mark.parametrize("name", NAMES)
def test_the_examples_reach_their_stops(name: str) -> None:
    assert jam_of(check_of(name)) is None


@pytest.mark.parametrize(
    ("name", "code", "figures"),
    [
        ("tie rod of 12 mm", "stop.travel", {"travel_mm": -52.0, "steer_deg": 0.0}),
        ("lock of 60° on wishbones", "stop.travel", {"steer_deg": -60.0}),
        ("lock of 70° on a strut", "stop.travel", {"steer_deg": -70.0}),
        ("bump of 350 mm", "stop.travel", {"travel_mm": 350.0}),
        ("droop of 390 mm on five links", "stop.travel", {"travel_mm": -390.0}),
        ("five rods side by side", "stop.travel", {}),
        ("a sheet of 5 mm that stands instead of the model", "stop.sheet", {}),
    ],
)
def test_what_jams_on_the_way_to_a_stop_is_named_with_the_place(
    name: str, code: str, figures: dict[str, float]
) -> None:
    told = jam_of(checkfile.parse(CASES[name][0]))
    assert told is not None
    assert told.code == code
    assert {key: told.params[key] for key in figures} == pytest.approx(figures)


def test_the_part_that_jams_is_named_with_how_far_it_came() -> None:
    told = jam_of(checkfile.parse(CASES["tie rod end on the steering axis"][0]))
    assert told is not None
    part = message("part.tie_rod")
    assert told.params["jam"] == message("stop.jams", part=part, way_share=0.0)


def test_an_unknown_bump_stop_is_no_stop() -> None:
    for name in (STRUT, LINKS, CURVES):
        check = check_of(name)
        ((corner, here),) = check.corners.items()
        open_top = replace(here, limits=replace(here.limits, bump_mm=None))
        assert jam_of(replace(check, corners={corner: open_top})) is None
