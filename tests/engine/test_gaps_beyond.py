"""Gaps read beyond the travel or lock of the present setting: kept, said, left out."""

from __future__ import annotations

from typing import Any

import pytest

from fitment.engine import checkfile
from fitment.engine.check import run
from fitment.engine.model import CornerAnswer
from tests.engine.files import CURVES, LINKS, STRUT, document, wishbones_name

#: The strut's survey has a lock of 28° inward, stops at 54 and -52 mm, and a packer of 9 mm.
LOCK_DEG = 28.0


def asked(gaps: list[dict[str, Any]], name: str = STRUT, **duty: Any) -> Any:
    tree = document(name)
    (corner,) = tree["corners"].values()
    tree["duty"] |= duty
    first = corner["survey"]["features"][0]["place"]
    corner["present"] = {
        "planned": {"toe_deg": corner["survey"]["setting"]["toe_deg"]},
        "wheel": corner["wheel"],
        "tyre": corner["tyre"],
        "gaps": [{"place": first, "gap_mm": 20.0} | gap for gap in gaps],
    }
    if not gaps:
        del corner["present"]
    return tree


def answered(tree: Any) -> CornerAnswer:
    (corner,) = run(checkfile.parse(tree)).corners.values()
    return corner


def left_out(answer: CornerAnswer) -> list[dict[str, Any]]:
    return [dict(n.params) for n in answer.notes if n.code == "note.gap-beyond-span"]


@pytest.mark.parametrize("name", [STRUT, wishbones_name(), LINKS, CURVES])
@pytest.mark.parametrize(
    ("travel", "steer"), [(0.0, 60.0), (250.0, 0.0), (-250.0, 0.0), (-120.0, -60.0)]
)
def test_a_gap_far_beyond_is_said_and_corrects_nothing(
    name: str, travel: float, steer: float
) -> None:
    if name == LINKS:  # it does not steer, and a lock is refused there
        steer = 0.0
        travel = travel or 90.0
    plain = answered(asked([], name))
    corner = answered(asked([{"travel_mm": travel, "steer_deg": steer}], name))
    (said,) = left_out(corner)
    assert (said["travel_mm"], said["steer_deg"]) == (travel, steer)
    assert not said["low_mm"] <= travel <= said["high_mm"] or not (
        said["out_deg"] <= steer <= said["inward_deg"]
    )
    for one, other in zip(plain.places, corner.places, strict=True):
        assert (one.shift_mm, one.verdict) == (other.shift_mm, other.verdict)
        assert one.sigma_mm == pytest.approx(other.sigma_mm, nan_ok=True)


@pytest.mark.parametrize(
    ("steer", "is_used"),
    [(LOCK_DEG, True), (LOCK_DEG + 0.5, True), (LOCK_DEG + 1.0, False), (LOCK_DEG + 7.0, False)],
)
def test_at_the_lock_a_gap_counts_up_to_what_a_turn_plate_is_off(
    steer: float, is_used: bool
) -> None:
    corner = answered(asked([{"steer_deg": steer}]))
    assert (corner.places[0].shift_mm != 0.0) == is_used
    assert (left_out(corner) == []) == is_used


def test_a_use_that_was_narrowed_leaves_out_what_it_no_longer_visits() -> None:
    gap = {"travel_mm": -45.0}
    assert answered(asked([gap])).places[0].shift_mm != 0.0
    narrowed = answered(asked([gap], droop_fraction=0.3))
    assert narrowed.places[0].shift_mm == 0.0
    assert len(left_out(narrowed)) == 1
    low = answered(asked([gap], envelope=[[0, 0.3], [1, 0.3]]))
    assert low.places[0].shift_mm != 0.0


def test_other_gaps_of_the_same_spot_correct_it_as_before() -> None:
    alone = answered(asked([{}])).places[0]
    both = answered(asked([{}, {"travel_mm": 250.0}]))
    assert both.places[0].shift_mm == alone.shift_mm
    assert both.places[0].sigma_mm == alone.sigma_mm
    assert len(left_out(both)) == 1


def test_a_present_setting_that_cannot_be_settled_leaves_all_gaps_out() -> None:
    """What was typed of it is beyond the linkage: the check of the new wheel goes on."""
    tree = asked([{}])
    (corner,) = tree["corners"].values()
    corner["present"]["planned"] |= {
        "camber_deg": 20.0,
        "camber_by": "lower_arm",
        "adjusters": {"top_mount_in_mm": 100.0},
    }
    one = answered(tree)
    assert "note.gaps-not-settled" in [note.code for note in one.notes]
    assert one.places[0].shift_mm == 0.0
