"""Answers in words: exact sentences, since people decide by them."""

from __future__ import annotations

from dataclasses import replace

import pytest

from fitment.engine.model import (
    Answer,
    CornerAnswer,
    DoubtPart,
    OutOfReach,
    PoseAt,
    Remark,
    SpotAnswer,
    StaticAnswer,
)
from fitment.engine.remark_text import chance_text, remark_text
from fitment.engine.report import answer_text
from fitment.engine.uncertainty.this_car import GAP_OUT_OF_REACH
from fitment.engine.verdict import DOUBTFUL_AS_A_WHOLE
from fitment.engine.words import (
    adjuster_words,
    check_sentence,
    corner_sentence,
    reach_sentence,
    spot_sentence,
)

LIP = SpotAnswer(
    place="fender lip",
    carried_by="body",
    surface="hard",
    clearance_mm=-4.2,
    needed_mm=5.0,
    sigma_mm=3.5,
    touch_chance=0.885,
    verdict="contact",
    at=PoseAt(38.2, -9.1, loaded=False),
    nearest_mm=(90.0, 356.0),
    touch_mm=(94.0, 357.0),
    part="tyre",
    uncertainty=(DoubtPart("section width", 3.2), DoubtPart("planned toe", 0.2)),
)
RAIL = replace(LIP, place="frame rail", clearance_mm=12.3, verdict="clear", touch_chance=0.0)
STATIC = StaticAnswer(-2.5, 0.05, 6.9, 10.2, (-0.4, -2.1, 15.0))


def corner(*places: SpotAnswer, verdict: str = "contact", **more: object) -> CornerAnswer:
    return CornerAnswer(
        verdict=verdict,
        static=STATIC,
        adjusters={"ride_height_mm": -15.0, "rods_mm": {"upper front": -1.5}},
        out_of_reach=(),
        places=places,
        **more,  # type: ignore[arg-type]
    )


def at(travel: float, steer: float, *, loaded: bool = False) -> SpotAnswer:
    return replace(RAIL, at=PoseAt(travel, steer, loaded))


def test_a_contact_says_where_how_far_and_when() -> None:
    assert spot_sentence(LIP) == (
        "The tyre touches the fender lip, 4.2 mm too close, 38 mm into bump, 9° of lock outward."
    )


def test_a_customer_reads_whole_millimetres() -> None:
    assert "4 mm too close" in spot_sentence(LIP, decimals=0)
    assert "by 12 mm" in spot_sentence(RAIL, decimals=0)


@pytest.mark.parametrize(
    ("place", "words"),
    [
        (at(0, 0), "at ride height, straight ahead"),
        (at(0.3, -0.2), "at ride height, straight ahead"),
        (at(-57, 0), "57 mm into droop"),
        (at(0, 30.4), "at ride height, 30° of lock inward"),
        (at(14, -34, loaded=True), "14 mm into bump, 34° of lock outward, loaded in a bend"),
        (replace(RAIL, carried_by="knuckle"), "in every pose, since both move together"),
    ],
)
def test_the_pose_is_told_in_the_trades_words(place: SpotAnswer, words: str) -> None:
    assert spot_sentence(place) == f"The tyre clears the frame rail by 12.3 mm, {words}."


def test_a_gap_that_rounds_to_nothing_is_not_called_nothing() -> None:
    assert "less than 0.1 mm too close" in spot_sentence(replace(LIP, clearance_mm=-0.01))
    assert "less than 1 mm too close" in spot_sentence(replace(LIP, clearance_mm=0.0), decimals=0)


def test_a_tight_place_never_reads_like_the_margin_it_misses() -> None:
    tight = replace(LIP, clearance_mm=4.97, verdict="tight", touch_chance=0.01)
    assert "with 4.9 mm where 5 mm is wanted" in spot_sentence(tight)
    assert "with 4 mm where 5 mm is wanted" in spot_sentence(tight, decimals=0)
    assert "with 3.1 mm where" in spot_sentence(replace(tight, clearance_mm=3.1))


def test_uncertainty_names_the_reading_that_would_settle_most_of_it() -> None:
    known = (DoubtPart("section width", 3.0), DoubtPart("ride height", 1.0))
    doubtful = replace(
        LIP,
        clearance_mm=3.1,
        verdict="doubtful",
        touch_chance=0.19,
        sigma_mm=10**0.5,
        uncertainty=known,
    )
    sentence = spot_sentence(doubtful)
    assert sentence.startswith(
        "The tyre may touch the fender lip: 3.1 mm of room, give or take 3.2"
    )
    assert "(19 % chance of touching)" in sentence
    assert sentence.endswith("measuring the section width on this wheel would settle most of it.")
    assert "a closer reading of the moon" in spot_sentence(
        replace(doubtful, uncertainty=(DoubtPart("moon", 10**0.5),))
    )


def test_uncertainty_from_car_to_car_asks_for_a_gap_on_the_car() -> None:
    small = replace(
        LIP,
        clearance_mm=1.0,
        verdict="doubtful",
        sigma_mm=3.2,
        uncertainty=(DoubtPart("from car to car", 3), DoubtPart("bump limit", 1)),
    )
    assert "reading this gap on the car itself" in spot_sentence(small)


def test_an_unmeasured_place_says_what_is_missing() -> None:
    caliper = replace(RAIL, place="brake caliper", verdict="unmeasured", note="No spoke trace.")
    assert spot_sentence(caliper) == (
        "Nothing can be said about the brake caliper (No spoke trace)."
    )


def test_out_of_reach_names_the_adjuster_the_figures_and_the_cure() -> None:
    short = OutOfReach("top_mount_in_mm", 10.98, 0.0, 8.0, 2.98)
    assert reach_sentence(short) == (
        "Out of reach: top mount inboard is needed at +11.0 mm, the parts fitted allow 0 to "
        "+8.0 mm, short by 3.0 mm; a camber plate with longer slots would give it."
    )
    assert "turn of the knuckle in the strut clamp is needed at −2.0°" in reach_sentence(
        OutOfReach("knuckle_camber_deg", -2.0, -1.5, 1.5, 0.5)
    )
    assert "upper front rod longer" in reach_sentence(OutOfReach("rod:upper front", 4, -2, 2, 2))


def test_every_adjuster_has_words() -> None:
    from alignment.geometry.model import ADJUSTERS

    for name in ADJUSTERS:
        assert adjuster_words(name).name != name
        assert adjuster_words(name).unit in ("mm", "°")


def test_a_corner_says_what_decides_it() -> None:
    assert corner_sentence("LF", corner(RAIL, LIP)).startswith(
        "Left front: the tyre touches the fender lip"
    )
    two = corner(LIP, replace(LIP, place="liner", clearance_mm=-1.0))
    assert corner_sentence("LF", two).endswith("; 1 more place touches.")


def test_an_unmeasured_corner_is_never_called_clear() -> None:
    open_corner = corner(RAIL, verdict="unmeasured", uncovered=("no edge from +10° to +45°",))
    assert corner_sentence("RR", open_corner) == (
        "Right rear: unmeasured, so not known to clear: no edge from +10° to +45°."
    )
    both = corner(LIP, uncovered=("the bump limit is not known",))
    assert "too close" in corner_sentence("RR", both)
    assert "unmeasured: the bump limit is not known" in corner_sentence("RR", both)
    assert "nothing was surveyed" in corner_sentence("RR", corner(verdict="unmeasured"))


def test_a_check_speaks_of_its_worst_corner_and_names_the_others() -> None:
    deeper = replace(LIP, clearance_mm=-6.0)
    answer = Answer("", "contact", {"LF": corner(LIP), "RF": corner(deeper), "LR": corner(RAIL)})
    answer = replace(
        answer, corners={**answer.corners, "LR": replace(corner(RAIL), verdict="clear")}
    )
    sentence = check_sentence(answer)
    assert sentence.startswith("Right front: the tyre touches the fender lip, 6.0 mm too close")
    assert sentence.endswith("Left front: touches as well.")


def test_a_clear_check_tells_its_least_room() -> None:
    more = replace(RAIL, clearance_mm=20.0)
    answer = Answer(
        "", "clear", {"LF": corner(more, verdict="clear"), "LR": corner(RAIL, verdict="clear")}
    )
    assert check_sentence(answer) == (
        "Left rear: the tyre clears the frame rail by 12.3 mm, 38 mm into bump, "
        "9° of lock outward. More room at left front."
    )


def test_a_check_out_of_reach_says_so_even_when_clear() -> None:
    short = OutOfReach("toe_link_mm", 4.0, -3.0, 3.0, 1.0)
    stuck = replace(corner(RAIL, verdict="clear"), out_of_reach=(short,))
    sentence = check_sentence(Answer("", "clear", {"LF": stuck}))
    assert "Left front: out of reach: toe link longer" in sentence


def test_a_check_without_corners_says_that_nothing_was_checked() -> None:
    assert check_sentence(Answer("", "clear")) == "Nothing was checked."


def test_the_report_lists_every_place_and_what_was_taken_for_granted() -> None:
    short = OutOfReach("toe_link_mm", 4.0, -3.0, 3.0, 1.0)
    full = replace(
        corner(RAIL, LIP, uncovered=("no edge from +10° to +45°",), notes=("compliance unknown",)),
        out_of_reach=(short,),
    )
    text = answer_text(Answer("a question", "contact", {"LF": full}))
    assert text.startswith("a question\nverdict: contact\n")
    for words in (
        "LF, left front: contact",
        "camber -2.500°",
        "upper front rod longer -1.50 mm",
        "unmeasured: no edge",
        "note: compliance unknown",
        "Out of reach: toe link",
    ):
        assert words in text
    rows = [line.strip() for line in text.splitlines() if line.strip().startswith("fender lip")]
    assert rows[0].split() == [
        *("fender", "lip", "contact", "-4.20", "unknown", "5", "3.50", "0.89", "+38.2", "-9.1")
    ]
    assert rows[1:] == ["fender lip, ± 3.5 mm, mostly section width 3.2, planned toe 0.2"]


@pytest.mark.parametrize(
    ("chance", "text"), [(0.0, "< 0.01"), (0.0099, "< 0.01"), (0.01, "0.01"), (0.885, "0.89")]
)
def test_no_chance_is_stated_finer_than_one_in_a_hundred(chance: float, text: str) -> None:
    assert chance_text(chance) == text


def test_every_remark_has_words() -> None:
    whole = Remark(DOUBTFUL_AS_A_WHOLE, {"chance": 0.123, "most": 0.1})
    assert "chance of 0.12 that something touches" in remark_text(whole)
    gap = Remark(
        GAP_OUT_OF_REACH,
        {"spot": "frame rail", "travel_mm": -90.0, "steer_deg": 0.0, "why": "it stops"},
    )
    assert remark_text(gap) == (
        "The gap read at the frame rail, -90 mm of travel and +0° of steer, is left out: it stops."
    )


def test_a_tube_of_the_linkage_is_told_with_the_pose_in_which_it_is_tightest():
    tube = replace(at(20.0, 0.0), carried_by="link")
    assert "20 mm into bump" in spot_sentence(tube)
