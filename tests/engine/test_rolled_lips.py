"""Arch lips folded flat: what a plan that rolls them does to their clearance and its doubt."""

from __future__ import annotations

import copy
from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from common.message import message
from fitment.demo.surveys import STRUT_FRONT
from fitment.engine import checkfile, defaults
from fitment.engine.check import run
from fitment.engine.minimum.rolled_lips import moves_out_mm
from fitment.engine.model import Check, CornerAnswer, SpotAnswer
from fitment.engine.search.effort import Weights, setting_effort
from fitment.engine.search.model import NO_ROOM, Options, Question
from fitment.engine.search.options import options
from fitment.engine.search.settings import Steps, settings_within
from fitment.engine.search.space import (
    LIPS,
    SettingChange,
    Space,
    on_the_plan,
)
from fitment.engine.search.table import _gained
from fitment.engine.search.told import changes_of
from fitment.engine.survey.reading_sheet import Sheet
from fitment.engine.survey.readings import Reading
from fitment.engine.survey.sheet_survey import document_of

TURNED_IN_MM = 15.0
OUT_MM = TURNED_IN_MM - defaults.ROLLED_FLANGE_MM
LIP = "arch lip"


def question(*, rolled: bool = False, turned_in: Any = TURNED_IN_MM) -> dict[str, Any]:
    """A level wheel beside a lip that stands outboard of it, at static height alone."""
    corner: dict[str, Any] = copy.deepcopy(STRUT_FRONT)
    corner["survey"]["setting"] = {"camber_deg": 0.0, "toe_deg": 0.0}
    clocks = range(-40, 41, 20)
    points = [{"clock_deg": clock, "radius_mm": 290.0, "axial_mm": 110.0} for clock in clocks]
    lip = {"place": LIP, "carried_by": "body", "shape": "edge", "points": points}
    if turned_in is not None:
        lip["turned_in_mm"] = turned_in
    others = [f for f in corner["survey"]["features"] if f["place"] not in (LIP, "arch liner")]
    corner["survey"]["features"] = [lip, *others]
    corner["limits"] = {"bump_mm": 40.0, "droop_mm": 40.0}
    corner["planned"] = {"toe_deg": 0.0} | ({"rolled_lips": True} if rolled else {})
    corner["wheel"] = {"diameter_in": 17, "width_in": 7.5, "offset_mm": 45}
    corner["tyre"] = {"size": "225/45R17"}
    corner.pop("compliance", None)
    duty = {"name": "still", "envelope": [[0, 0], [1, 0]], "droop_fraction": 0}
    return {"archroom_check": 1, "duty": duty, "corners": {"LF": corner}}


def answer(**asked: Any) -> CornerAnswer:
    return run(checkfile.parse(question(**asked))).corners["LF"]


def place(answer: CornerAnswer, name: str) -> SpotAnswer:
    return next(place for place in answer.places if place.place == name)


def test_beside_the_bulge_of_the_tyre_a_rolled_lip_gains_what_it_moves() -> None:
    plain, rolled = answer(), answer(rolled=True)
    gained = place(rolled, LIP).clearance_mm - place(plain, LIP).clearance_mm
    assert gained == pytest.approx(OUT_MM, abs=0.3)
    before, after = (
        replace(place(one, "inner panel"), touch_chance=0.0) for one in (plain, rolled)
    )
    assert after == before


def test_rolled_lip_stands_where_one_surveyed_that_far_out_would() -> None:
    moved = question(turned_in=None)
    for point in moved["corners"]["LF"]["survey"]["features"][0]["points"]:
        point["axial_mm"] += OUT_MM
    there = run(checkfile.parse(moved)).corners["LF"]
    rolled = answer(rolled=True)
    assert place(rolled, LIP).clearance_mm == place(there, LIP).clearance_mm
    assert place(rolled, LIP).nearest_mm == place(there, LIP).nearest_mm


def test_the_same_lip_in_the_frame_of_the_corner_moves_as_far() -> None:
    asked = {}
    for rolled in (False, True):
        document = question(rolled=rolled)
        lip = document["corners"]["LF"]["survey"]["features"][0]
        del lip["points"]
        lip["xyz_mm"] = [[-200, 110, 210], [0, 110, 290], [200, 110, 210]]
        answered = run(checkfile.parse(document)).corners["LF"]
        asked[rolled] = place(answered, LIP)
    assert asked[True].nearest_mm[0] - asked[False].nearest_mm[0] == pytest.approx(OUT_MM, abs=0.01)


def test_rolling_adds_its_uncertainty_and_stands_among_what_was_assumed() -> None:
    plain, rolled = answer(), answer(rolled=True)
    assert "rolled lip" not in {row.what for row in plain.assumed}
    (row,) = [row for row in rolled.assumed if row.what == "rolled lip"]
    assert (row.value, row.unit) == (defaults.ROLLED_LIP.value, "mm")
    assert "no source" in row.reason
    part = {part.source: part.mm for part in place(rolled, LIP).uncertainty}
    assert part["rolled lip"] == pytest.approx(defaults.ROLLED_LIP.value, abs=0.05)
    assert "rolled lip" not in {part.source for part in place(rolled, "inner panel").uncertainty}
    assert place(rolled, LIP).sigma_mm > place(plain, LIP).sigma_mm


def test_a_lip_that_hardly_turns_in_gains_nothing_and_the_answer_says_so() -> None:
    for turned_in in (None, defaults.ROLLED_FLANGE_MM):
        plain = answer(turned_in=turned_in)
        rolled = answer(turned_in=turned_in, rolled=True)
        assert rolled.places == plain.places
        nothing_to_roll = message("note.no-lip-to-roll")
        assert nothing_to_roll in rolled.notes
        assert nothing_to_roll not in plain.notes
    left = defaults.ROLLED_FLANGE_MM
    note = message("note.lip-rolled", spot=LIP, turned_in_mm=TURNED_IN_MM, left_mm=left)
    assert answer(rolled=True).notes == (note,)


@pytest.mark.parametrize("off_mm", [2.0, -2.0, OUT_MM])
def test_clearance_that_was_read_at_a_lip_is_not_counted_again_when_it_is_rolled(
    off_mm: float,
) -> None:
    def read(*, rolled: bool, already: bool = False) -> SpotAnswer:
        document = question(rolled=rolled)
        corner = document["corners"]["LF"]
        corner["present"] = {
            "planned": {"toe_deg": 0.0} | ({"rolled_lips": True} if already else {}),
            "wheel": corner["wheel"],
            "tyre": corner["tyre"],
            "gaps": [{"place": LIP, "gap_mm": gap}],
        }
        return place(run(checkfile.parse(document)).corners["LF"], LIP)

    gap = place(answer(), LIP).clearance_mm + off_mm
    plain, rolled = read(rolled=False), read(rolled=True)
    assert 0.7 < plain.shift_mm / off_mm < 0.95, "the reading has errors of its own"
    assert rolled.shift_mm == pytest.approx(min(plain.shift_mm, 0.0))
    # a check file may say that the lip was rolled when the gap was read: then all of it counts
    already = read(rolled=True, already=True)
    if off_mm == OUT_MM:
        assert already.shift_mm == pytest.approx(0.0, abs=0.2)
    else:
        assert 0.7 < already.shift_mm / (off_mm - OUT_MM) < 0.95


def test_both_are_written_and_read_back() -> None:
    check = checkfile.parse(question(rolled=True))
    corner = check.corners["LF"]
    assert corner.planned.rolled_lips
    assert corner.survey.features[0].turned_in_mm == TURNED_IN_MM
    assert moves_out_mm(corner.survey.features[0]) == OUT_MM
    assert checkfile.parse(checkfile.dump(check)) == check
    bare = checkfile.dump(checkfile.parse(question(turned_in=None)))["corners"]["LF"]
    assert "rolled_lips" not in bare["planned"]
    assert "turned_in_mm" not in bare["survey"]["features"][0]


@pytest.mark.parametrize(
    ("change", "path", "said"),
    [
        ({"turned_in_mm": 0}, "turned_in_mm", "0.5 to 40 mm"),
        ({"turned_in_mm": 41}, "turned_in_mm", "0.5 to 40 mm"),
        ({"turned_in_mm": "wide"}, "turned_in_mm", "number"),
        ({"shape": "points"}, "turned_in_mm", "edge"),
        ({"carried_by": "knuckle"}, "turned_in_mm", "body"),
    ],
)
def test_what_is_no_lip_is_refused_by_its_name(
    change: dict[str, Any], path: str, said: str
) -> None:
    document = question()
    document["corners"]["LF"]["survey"]["features"][0] |= change
    with pytest.raises(checkfile.BadCheckFile) as bad:
        checkfile.parse(document)
    (problem,) = bad.value.problems
    assert problem.path == f"corners.LF.survey.features[0].{path}"
    assert said in problem.message


def test_rolled_lips_are_true_or_false() -> None:
    document = question()
    document["corners"]["LF"]["planned"]["rolled_lips"] = "yes"
    with pytest.raises(checkfile.BadCheckFile) as bad:
        checkfile.parse(document)
    assert [problem.path for problem in bad.value.problems] == ["corners.LF.planned.rolled_lips"]


def test_what_a_sheet_reads_of_a_lip_goes_into_its_survey() -> None:
    known = copy.deepcopy(STRUT_FRONT)
    base = checkfile.parse_corner_survey(copy.deepcopy(known))
    sheet = Sheet([Reading("turns_in", {"turns_in_mm": TURNED_IN_MM}, LIP)], base)
    lip = next(f for f in document_of(sheet, known)["survey"]["features"] if f["place"] == LIP)
    assert lip["turned_in_mm"] == TURNED_IN_MM
    before = next(f for f in known["survey"]["features"] if f["place"] == LIP)
    assert len(lip["points"]) == 2 * len(before["points"])


def test_a_lip_that_is_read_again_is_asked_anew_how_far_it_turns_in() -> None:
    known = copy.deepcopy(STRUT_FRONT)
    lip = next(f for f in known["survey"]["features"] if f["place"] == LIP)
    lip["turned_in_mm"] = TURNED_IN_MM
    base = checkfile.parse_corner_survey(copy.deepcopy(known))
    space = Reading("front_space", {"front_space_mm": 62.0, "cap_depth_mm": 30.0})
    edges = [
        Reading(
            "straightedge",
            {"block_mm": 30.0, "along_mm": 371.0, "edge_mm": -7.0, "clock_deg": clock},
            LIP,
        )
        for clock in (-30.0, 30.0)
    ]

    def lip_of(*readings: Reading) -> dict[str, Any]:
        features = document_of(Sheet([space, *readings], base), known)["survey"]["features"]
        return next(feature for feature in features if feature["place"] == LIP)

    assert lip_of() == lip
    assert lip_of(edges[0]) == lip  # one spot of its visible edge corrects no inner end
    again = lip_of(*edges)
    assert len(again["points"]) == 2
    assert "turned_in_mm" not in again
    turned = lip_of(*edges, Reading("turns_in", {"turns_in_mm": 9.0}, LIP))
    assert len(turned["points"]) == 4
    assert turned["turned_in_mm"] == 9.0


# --- As a way to clear --------------------------------------------------------------------


def search_of(*, nearer_mm: float = 0.0, panel_in_the_way: bool = False) -> Options:
    """What is found for the level wheel where only settings may change."""
    document = question()
    corner = document["corners"]["LF"]
    lip, panel = corner["survey"]["features"][:2]
    for point in lip["points"]:
        point["axial_mm"] -= nearer_mm
    if panel_in_the_way:
        for point in panel["points"]:
            point |= {"radius_mm": 280.0, "axial_mm": -140.0}
    corner["survey"]["open"] = [
        {"side": side, "from_deg": -180, "to_deg": 180, "beyond_mm": 100}
        for side in ("inboard", "outboard")
    ]
    corner["wheel"] |= {"barrel_mm": 12.0, "spoke_back": [[2, 60], [6, 190]]}
    check = checkfile.parse(document)
    asked = check.corners["LF"]
    steps = Steps(ride_height_mm=(5.0,), rolled_lips=True)
    wheels, tyres = on_the_plan(asked.wheel, asked.tyre, [], [])
    settings = settings_within(asked.planned, asked.suspension, steps)
    assert sum(change.rolled_lips for change in settings) == len(settings) / 2
    return options(Question(check.corners, check.duty, Space(settings, wheels, tyres)))


def test_where_only_a_lip_is_in_the_way_rolling_it_is_the_way_and_a_check_agrees() -> None:
    found = search_of(nearer_mm=place(answer(), LIP).clearance_mm + 1.0)
    assert found.options
    assert all(LIPS in way.changes for way in found.options)
    way = found.options[0]
    assert way.changes == {LIPS}
    assert way.price is None
    corner = way.corners["LF"]
    assert corner.planned.rolled_lips
    duty = checkfile.parse(question()).duty
    for rolled, clears in ((True, True), (False, False)):
        planned = replace(corner.planned, rolled_lips=rolled)
        check = Check("", duty, {"LF": replace(corner, planned=planned)})
        assert run(check).verdict.clears is clears
    unrolled = replace(corner, planned=replace(corner.planned, rolled_lips=False))
    assert changes_of(way, unrolled) == message("option.changes", parts=(message("change.lips"),))


def test_where_a_lip_is_far_or_something_else_is_in_the_way_rolling_is_not_offered() -> None:
    far = search_of(nearer_mm=-60.0)
    assert far.options
    assert not any(LIPS in way.changes for way in far.options)
    assert message(NO_ROOM) in {one.why for one in far.ruled_out}
    assert search_of(panel_in_the_way=True).options == ()


def test_lips_that_are_planned_to_be_rolled_are_not_rolled_again() -> None:
    asked = checkfile.parse(question(rolled=True)).corners["LF"]
    changes = settings_within(asked.planned, asked.suspension, Steps(rolled_lips=True))
    assert not any(change.rolled_lips for change in changes)
    assert SettingChange(rolled_lips=True).kinds(asked.planned) == frozenset()
    plain = checkfile.parse(question()).corners["LF"].planned
    assert SettingChange(rolled_lips=True).kinds(plain) == {LIPS}
    assert setting_effort(SettingChange(rolled_lips=True), plain, Weights()) == Weights().lips


def test_what_nothing_bounds_gains_nothing_by_rolling() -> None:
    """Infinite before and after is no gain, and no figure that is not a number."""
    before = np.array([np.inf, -np.inf, 1.0, 2.0])
    after = np.array([np.inf, -np.inf, np.inf, 5.0])
    assert _gained(after, before).tolist() == [0.0, 0.0, np.inf, 3.0]
