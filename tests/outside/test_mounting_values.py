"""Mounting checks against figures from outside; each names where it is from.

"Read" marks a figure that was read in a stored copy of its source, "computed" one worked out
from read figures, "from memory" one that was not read while this file was written.
"""

from __future__ import annotations

import math

import pytest

from common.verdicts import Outcome
from fitment.engine.mounting.facts import Fitted, Hub, Needs, thread_of
from fitment.engine.mounting.hub import engagement
from fitment.engine.mounting.law import PRESETS, TOTAL_WIDTH, TREAD_WIDTH, USUAL
from fitment.engine.mounting.tyre import load_at_speed

# UN Regulation No. 30, load variation with speed: V carries its full load to 210 km/h and 91 %
# at 240, W to 240 and 85 % at 270 (read in a secondary source); Y to 270 and 85 % at 300 (from
# memory). The loads by index are those of Annex IV (read in secondary copies).
AT_SPEED = [
    ("92", "V", 210, 630.0),
    ("92", "V", 225, 630.0 * 0.955),
    ("92", "V", 240, 630.0 * 0.91),
    ("92", "W", 240, 630.0),
    ("92", "W", 255, 630.0 * 0.925),
    ("92", "W", 270, 630.0 * 0.85),
    ("92", "Y", 270, 630.0),
    ("92", "Y", 300, 630.0 * 0.85),
    ("92", "H", 210, 630.0),
]


@pytest.mark.parametrize(("index", "symbol", "speed", "each"), AT_SPEED)
def test_two_tyres_carry_what_the_regulation_says_and_not_a_kilogram_more(
    index: str, symbol: str, speed: float, each: float
) -> None:
    fitted = Fitted("wheel", "tyre", load_index=index, speed_symbol=symbol)
    for axle_load, outcome in ((2 * each - 0.5, Outcome.PASSES), (2 * each + 0.5, Outcome.FAILS)):
        needs = Needs("front", axle_load_kg=axle_load, top_speed_kmh=speed)
        assert load_at_speed(needs, fitted).outcome == outcome


def test_one_diameter_of_a_fine_m12_thread_is_eight_turns() -> None:
    # Engagement of one diameter in steel is 8 turns of M12×1.5 (read, of low authority).
    hub = Hub(thread="M12×1.5", length_mm=25.0)
    one = engagement(hub, Fitted("wheel", "tyre", pad_mm=13.0), USUAL, "front")
    assert one.outcome == Outcome.PASSES
    assert one.found.params["engaged_mm"] == pytest.approx(12.0)
    assert one.found.params["turns"] == pytest.approx(8.0)


# Stress area of ISO metric threads: A = π/4 (d − 0.9382 P)². ISO 898-1 proof loads, kN: of class
# 8.8, 10.9 and 12.9; M12×1.75 read, the others computed from the read stresses.
PROOF_KN = [
    ("M12×1.75", 48.9, 70.0, 81.8),
    ("M12×1.5", 51.1, 73.1, 85.5),
    ("M14×1.5", 72.2, 103.4, 120.8),
]


@pytest.mark.parametrize(("text", "k88", "k109", "k129"), PROOF_KN)
def test_threads_are_read_with_the_size_and_pitch_that_published_proof_loads_belong_to(
    text: str, k88: float, k109: float, k129: float
) -> None:
    read = thread_of(text)
    assert read is not None
    area = math.pi / 4 * (read.size_mm - 0.9382 * read.pitch_mm) ** 2
    for load, stress in ((k88, 580.0), (k109, 830.0), (k129, 970.0)):
        assert area * stress / 1000 == pytest.approx(load, rel=0.004)


def figures(preset: str) -> dict[str, float]:
    return dict(PRESETS[preset].figures)


def test_presets_hold_what_their_documents_say() -> None:
    # Commission Regulation (EU) 1009/2010, Annex II, 2.1.1 (read; since replaced).
    assert figures("eu-cover") == {
        "cover_ahead_deg": 30.0,
        "cover_behind_deg": 50.0,
        "cover_of": TOTAL_WIDTH,
        "cover_rear_edge_mm": 150.0,
    }
    # Germany nationally: upper half, tread width (read).
    assert figures("de-cover") == {
        "cover_ahead_deg": 90.0,
        "cover_behind_deg": 90.0,
        "cover_of": TREAD_WIDTH,
    }
    # Austrian inspection guidance (read): 5 mm to suspension, 10 mm to body.
    assert figures("at-gaps") == {"gap_parts_mm": 5.0, "gap_body_mm": 10.0}
    # British Columbia inspection manual (read, quoted): rejected below 25 mm lock to lock.
    assert figures("bc-gaps") == {"gap_lock_mm": 25.0}
    # SAE J1232 chain classes, tread and side (read).
    chains = {name: tuple(figures(f"chains-{name}").values()) for name in "suw"}
    assert chains == {"s": (37.0, 15.0), "u": (50.0, 23.0), "w": (64.0, 38.0)}
    # South Australia (read): offset 13, track 26, diameter ±15, a third of travel, no spacers
    # but original ones, nuts on their full thread.
    changes = figures("sa-changes")
    assert (changes["offset_less_mm"], changes["track_more_mm"]) == (13.0, 26.0)
    assert (changes["diameter_mm"], changes["spacers"], changes["full_thread"]) == (15.0, 0.0, 1.0)
    assert changes["height_share"] == pytest.approx(1 / 3)
    # VSB 14 (read): ±50 mm and a third of travel without certification.
    assert figures("vsb14-height")["height_mm"] == 50.0
    assert figures("vsb14-height")["height_share"] == pytest.approx(1 / 3)


def test_a_brake_needs_three_millimetres_with_new_pads() -> None:
    # Caliper to rim at least 3 mm with new pads (read).
    assert USUAL["caliper_mm"].value == 3.0


def test_no_preset_holds_by_itself() -> None:
    assert not set(USUAL) & {"cover_ahead_deg", "gap_body_mm", "gap_lock_mm", "spacers"}
