"""Spots of one pose make an edge; those of another stand for themselves."""

from __future__ import annotations

import copy
from typing import Any

import pytest

from fitment.demo.surveys import STRUT_FRONT
from fitment.engine import checkfile
from fitment.engine.survey.next_reading import GapsExpected
from fitment.engine.survey.reading_sheet import Sheet
from fitment.engine.survey.readings import HANGING, LOCK_IN, LOCK_OUT, STANDING, Reading
from fitment.engine.survey.sheet_survey import document_of
from tests.engine.test_sheet import SETTING, SPACE, TYRE

LOCKED = [
    Reading("pose", {"plate_deg": 33.0}, "", LOCK_IN),
    Reading("pose", {"plate_deg": 37.0}, "", LOCK_OUT),
]
HUNG = Reading("pose", {"height_mm": 425.0}, "", HANGING)


def gap(pose: str, clock: float, place: str = "arch liner") -> Reading:
    figures = {"gap_mm": 25.0, "spot": "crown", "clock_deg": clock}
    return Reading("gap", figures, place, pose)


def bar(clock: float, pose: str = HANGING, place: str = "arch liner") -> Reading:
    figures: dict[str, float | str] = {"thickness_mm": 10.0, "along_mm": 395.0, "depth_mm": 60.0}
    figures |= {"depth_side": "inboard", "clock_deg": clock}
    return Reading("hub_bar", figures, place, pose)


def features(*readings: Reading, base: dict[str, Any] | None = None) -> dict[str, Any]:
    known = checkfile.parse_corner_survey(base) if base else None
    sheet = Sheet([SETTING, SPACE, TYRE, *LOCKED, HUNG, *readings], known)
    document = document_of(sheet, base)
    return {feature["place"]: feature for feature in document["survey"]["features"]}


def test_gaps_at_the_two_locks_are_two_spots_and_no_edge_between() -> None:
    found = features(gap(LOCK_IN, -40.0), gap(LOCK_OUT, 38.0))
    (liner,) = found.values()
    assert (liner["place"], liner["shape"]) == ("arch liner, single spots", "points")
    assert len(liner["points"]) == 2


def test_a_spot_at_lock_stands_beside_the_edge_that_was_read_straight_ahead() -> None:
    found = features(bar(-30.0), bar(0.0), bar(30.0), gap(LOCK_IN, -40.0))
    assert found["arch liner"]["shape"] == "edge"
    assert len(found["arch liner"]["points"]) == 3
    assert "arch liner, single spots" not in found, "a gap only checks a place that is known"
    again = Reading("straightedge", {"block_mm": 30.0, "along_mm": 390.0, "edge_mm": -120.0,
                                     "clock_deg": 10.0}, "arch liner", LOCK_IN)  # fmt: skip
    found = features(bar(-30.0), bar(0.0), bar(30.0), again)
    assert len(found["arch liner"]["points"]) == 3
    assert found["arch liner, single spots"]["shape"] == "points"


def test_of_two_poses_straight_ahead_the_one_with_more_spots_makes_the_edge() -> None:
    standing = Reading("straightedge", {"block_mm": 30.0, "along_mm": 390.0, "edge_mm": -120.0,
                                        "clock_deg": 50.0}, "arch liner", STANDING)  # fmt: skip
    found = features(standing, bar(-30.0), bar(0.0))
    clocks = [row["clock_deg"] for row in found["arch liner"]["points"]]
    assert clocks == pytest.approx([-30, 0], abs=6)
    assert len(found["arch liner, single spots"]["points"]) == 1


def test_single_spots_stay_single_when_the_corner_is_measured_again() -> None:
    """A second spot at a lock, read in a later session, is not joined to the first."""
    base = copy.deepcopy(STRUT_FRONT)
    kept = [one for one in base["survey"]["features"] if one["place"] != "arch liner"]
    alone = {"clock_deg": -40.0, "radius_mm": 400.0, "axial_mm": 20.0}
    kept.append({"place": "arch liner, single spots", "carried_by": "body", "shape": "points",
                 "surface": "soft", "points": [alone], "sigma_mm": 3.0})  # fmt: skip
    base["survey"]["features"] = kept
    edge = {"block_mm": 30.0, "along_mm": 390.0, "edge_mm": -120.0, "clock_deg": 50.0}
    found = features(Reading("straightedge", edge, "arch liner", LOCK_OUT), base=base)
    spots = found["arch liner, single spots"]
    assert (spots["shape"], len(spots["points"])) == ("points", 2)
    assert "arch liner" not in found
    checkfile.parse_corner_survey({**base, "survey": {**base["survey"],
                                   "features": list(found.values())}})  # fmt: skip


def test_a_gap_at_a_lock_is_expected_from_the_single_spots_of_its_place() -> None:
    base = copy.deepcopy(STRUT_FRONT)
    for feature in base["survey"]["features"]:
        if feature["place"] == "arch liner":
            feature["place"] = "arch liner, single spots"
            feature["shape"] = "points"
    measured = checkfile.parse_corner_survey(base)
    sheet = Sheet([SETTING, SPACE, TYRE, *LOCKED], measured)
    expected = GapsExpected(sheet, measured)
    assert expected.gap("arch liner", LOCK_IN) is not None
    assert expected.gap("arch liner", STANDING) is None
    assert features(gap(LOCK_IN, -40.0), base=base)["arch liner, single spots"] == next(
        one for one in base["survey"]["features"] if one["place"] == "arch liner, single spots"
    )


def test_what_the_hub_carries_is_the_same_in_every_pose() -> None:
    found = features(
        bar(-95.0, HANGING, "brake caliper"), bar(-80.0, STANDING, "brake caliper"), base=None
    )
    assert list(found) == ["brake caliper"]
    assert len(found["brake caliper"]["points"]) == 2
