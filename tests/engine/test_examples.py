"""Worked check files: answers from an independent program, compared figure by figure.

Another program with a code base of its own answered the files in data/examples: it finds poses
by least squares on rotation vectors and minima by a grid and a pattern search.
"""

from __future__ import annotations

import json
from functools import cache
from typing import Any

import numpy as np
import pytest

from fitment.engine import checkfile
from fitment.engine.check import run_with_rooms
from fitment.engine.minimum.pattern_search import clearance_at
from fitment.engine.minimum.room import Moments, Room
from fitment.engine.model import Answer
from fitment.engine.solid.section import section_of
from tests.engine.files import EXAMPLES, NAMES, text_of

ANGLE_DEG = 0.001
HUB_MM = 0.02
ADJUSTER_MM = 0.02
CLEARANCE_MM = 0.05
#: Deep overlaps lie on ridges of the distance inside a solid, where it is ill conditioned.
DEEP_MM, DEEP_CLEARANCE_MM = -5.0, 0.3


@cache
def answered(name: str) -> tuple[Answer, dict[str, Room]]:
    return run_with_rooms(checkfile.loads(text_of(name)))


@cache
def expected(name: str) -> dict[str, Any]:
    text = (EXAMPLES / f"{name}.answer.json").read_text(encoding="utf-8")
    answer: dict[str, Any] = json.loads(text)
    return answer


def tolerance(clearance_mm: float) -> float:
    return DEEP_CLEARANCE_MM if clearance_mm < DEEP_MM else CLEARANCE_MM


@pytest.mark.parametrize("name", NAMES)
def test_static_angles_and_the_hub_agree(name: str) -> None:
    for corner, wanted in expected(name)["corners"].items():
        static = answered(name)[0].corners[corner].static
        for key in ("camber_deg", "toe_deg", "caster_deg", "inclination_deg"):
            value, other = getattr(static, key), wanted["static"][key]
            assert (value is None) == (other is None), key
            assert value is None or value == pytest.approx(other, abs=ANGLE_DEG), key
        assert static.hub_mm == pytest.approx(wanted["static"]["hub_mm"], abs=HUB_MM)


@pytest.mark.parametrize("name", NAMES)
def test_adjusters_agree_and_the_same_ones_are_reported(name: str) -> None:
    for corner, wanted in expected(name)["corners"].items():
        adjusters = answered(name)[0].corners[corner].adjusters
        assert set(adjusters) == set(wanted["adjusters"])
        for adjuster, value in wanted["adjusters"].items():
            assert adjusters[adjuster] == pytest.approx(value, abs=ADJUSTER_MM), adjuster


@pytest.mark.parametrize("name", NAMES)
def test_clearances_agree_in_the_order_of_the_file(name: str) -> None:
    for corner, wanted in expected(name)["corners"].items():
        places = answered(name)[0].corners[corner].places
        assert [place.place for place in places] == [row["place"] for row in wanted["places"]]
        for place, row in zip(places, wanted["places"], strict=True):
            other = row["clearance_mm"]
            assert place.to_solid_mm == pytest.approx(other, abs=tolerance(other)), place.place


@pytest.mark.parametrize("name", NAMES)
def test_the_worst_pose_of_the_other_program_is_as_bad_here(name: str) -> None:
    """Where a minimum is flat or two are equal, poses may differ; what happens there may not."""
    answer, rooms = answered(name)
    check = checkfile.loads(text_of(name))
    for corner, wanted in expected(name)["corners"].items():
        room, places = rooms[corner], answer.corners[corner].places
        section = section_of(check.corners[corner].wheel, check.corners[corner].tyre)
        for index, (place, row) in enumerate(zip(places, wanted["places"], strict=True)):
            at = row["at"]
            if place.carried_by != "body":
                assert at == {"travel_mm": 0, "steer_deg": 0, "loaded": False}
                assert (place.at.travel_mm, place.at.steer_deg, place.at.loaded) == (0, 0, False)
                continue
            there = least_at(room, section, index, at)
            allowed = tolerance(place.clearance_mm)
            assert there == pytest.approx(place.clearance_mm, abs=allowed), place.place


def least_at(room: Room, section: Any, index: int, at: dict[str, Any]) -> float:
    """Least clearance along one feature in one pose, travel counted from static height."""
    envelope = room.envelope
    steer, loaded = np.radians([at["steer_deg"]]), np.array([at["loaded"]])
    low, high = (
        float(envelope.travel(steer, np.array([share]), loaded)[0]) for share in (0.0, 1.0)
    )
    travel = envelope.static_travel + at["travel_mm"]
    assert low - 1e-6 <= travel <= high + 1e-6
    share = (travel - low) / (high - low) if high > low else 0.0
    course = room.courses[index]
    knots = np.arange(len(course.knots), dtype=float)
    along = np.linspace(0.0, knots[-1], 4001) if course.is_edge else knots
    place = np.stack(np.broadcast_arrays(steer[0], share, along), axis=-1)
    spots = Moments(np.full(len(along), index), place, np.full(len(along), bool(loaded[0])))
    gaps = clearance_at(room, section, spots)
    return float(gaps.min())
