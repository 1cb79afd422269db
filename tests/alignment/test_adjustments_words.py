"""Moves in the units of the hand."""

from __future__ import annotations

import pytest
from django.utils import translation

from alignment.adjustments.text import adjustment_text, adjustments_said, help_said, missing_said
from alignment.geometry.adjuster_units import HandSetting, turns_message
from alignment.geometry.adjustment_problem import Adjustment, Help, Missing
from alignment.geometry.units import DEGREES, FLATS, MARKS, MILLIMETRES, SHIMS, TURNS
from alignment.text.render import render
from common.message import message_dump

MARKED = HandSetting(mark=3.0)
SHIMMED = HandSetting(shim_mm=1.0)
THREADED = HandSetting(pitch_mm=1.5)
TURNBUCKLE = HandSetting(pitch_mm=1.5, threads=2)


@pytest.mark.parametrize(
    ("move", "hand", "what", "how"),
    [
        (("top_mount_in_mm", 0, 6), MARKED, "Top mount", "6 mm inboard, to mark +2"),
        (("top_mount_in_mm", 6, 1.5), MARKED, "Top mount", "4.5 mm outboard, to mark +0.5"),
        (("top_mount_in_mm", 6, 0), MARKED, "Top mount", "6 mm outboard, to mark 0"),
        (("top_mount_back_mm", 0, -2.5), None, "Top mount", "2.5 mm forward"),
        (
            ("lower_arm_out_mm", 7, 3),
            SHIMMED,
            "Lower arm, shims",
            "take out 4 shims of 1 mm, 7 → 3 mm",
        ),
        (("lower_arm_out_mm", 2, 3), SHIMMED, "Lower arm, shims", "add 1 shim of 1 mm, 2 → 3 mm"),
        (("lower_arm_out_mm", 0, 4), None, "Lower arm", "4 mm longer"),
        (("upper_arm_in_mm", 1, 3), None, "Upper arm", "2 mm shorter, to +3.0 mm"),
        (("toe_link_mm", 0, 2.0), THREADED, "Toe link", "1 1/3 turns out"),
        (("toe_link_mm", 0, -2.0), TURNBUCKLE, "Toe link", "2/3 turn in"),
        (("toe_link_mm", 0, 0.05), TURNBUCKLE, "Toe link", "less than half a flat out"),
        (("rod:upper rear", 0, -1.5), THREADED, "Rod “upper rear”", "1 turn in"),
        (("rod:upper rear", 0, -1.5), None, "Rod “upper rear”", "1.5 mm shorter"),
        (("knuckle_camber_deg", 0, -0.8), None, "Knuckle bolts", "wheel's top 0.8° inboard"),
        (("ride_height_mm", 0, -20), None, "Body", "20 mm lower"),
    ],
)
def test_a_move_is_said_as_the_hand_makes_it(
    move: tuple[str, float, float], hand: HandSetting | None, what: str, how: str
) -> None:
    said = adjustment_text(Adjustment(*move), hand)
    assert (render(said.what), render(said.how)) == (what, how)


def test_where_the_start_is_not_known_only_the_change_is_said() -> None:
    mount = adjustment_text(Adjustment("top_mount_in_mm", 0, 6), MARKED, is_known=False)
    assert render(mount.how) == "6 mm inboard"
    shims = adjustment_text(Adjustment("lower_arm_out_mm", 0, 2), SHIMMED, is_known=False)
    assert render(shims.how) == "add 2 shims of 1 mm"


def test_turns_come_with_the_length_that_they_are() -> None:
    said = adjustment_text(Adjustment("toe_link_mm", 0, 2.03), THREADED)
    assert said.exact is not None
    assert render(said.exact) == "2.03 mm longer"


def test_what_is_kept_of_an_adjustment_is_said_in_the_language_of_whoever_reads_it() -> None:
    said = adjustment_text(Adjustment("top_mount_in_mm", 1, 4.5))
    kept = [{"what": message_dump(said.what), "how": message_dump(said.how)}]
    assert adjustments_said(kept) == "top mount: 3.5 mm inboard, to +4.5 mm"
    with translation.override("de"):
        assert "3,5 mm" in adjustments_said(kept)
        assert "+4,5 mm" in adjustments_said(kept)


@pytest.mark.parametrize(
    ("turns", "said"),
    [
        (1 / 6, "1/6 turn"),
        (0.5, "1/2 turn"),
        (1.0, "1 turn"),
        (4 / 3, "1 1/3 turns"),
        (-2.5, "2 1/2 turns"),
        (3.02, "3 turns"),
        (0.02, "less than half a flat"),
    ],
)
def test_turns_go_by_sixths(turns: float, said: str) -> None:
    assert render(turns_message(turns)) == said


@pytest.mark.parametrize(
    ("hand", "value", "unit", "position"),
    [
        (HandSetting(), 3.5, MILLIMETRES, 3.5),
        (HandSetting(), 1.2, DEGREES, 1.2),
        (HandSetting(), 7.0, SHIMS, 7.0),
        (MARKED, 2, MARKS, 6.0),
        (HandSetting(), 2, MARKS, None),
        (TURNBUCKLE, -0.5, TURNS, -1.5),
        (TURNBUCKLE, 2, FLATS, 1.0),
        (HandSetting(), 1, TURNS, None),
    ],
)
def test_a_recorded_position_has_a_size_only_where_the_part_gives_it(
    hand: HandSetting, value: float, unit: str, position: float | None
) -> None:
    assert hand.position(value, unit) == position


def test_steps_of_a_part() -> None:
    assert HandSetting().least == 0
    assert MARKED.least == 1.5
    assert SHIMMED.least == 1.0
    assert HandSetting(step=0.5, mark=3.0).least == 0.5
    assert THREADED.least == 0  # a link is turned until the rack shows the figure


def test_out_of_reach_is_said_with_what_is_short_and_what_would_give_it() -> None:
    helps = (
        Help("top_mount_in_mm", 13.2, 0.0, 12.0),
        Help("lower_arm_out_mm", 6.0),
        Help("rod:upper rear", -5.0),
    )
    missing = Missing("camber", -2.5, -2.31, helps)
    assert missing_said(missing) == ("Camber −2.50° is out of reach. Nearest: −2.31°, 0.19° short.")
    assert [help_said(one) for one in helps] == [
        "A top mount with longer slots: top mount inboard to +13.2 mm. "
        "The one fitted reaches 0.0 to +12.0 mm.",
        "Arm shims or a lower arm of adjustable length: lower arm outward to +6.0 mm.",
        "A rod “upper rear” of adjustable length: rod “upper rear” to −5.0 mm.",
    ]
