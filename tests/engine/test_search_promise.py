"""A search file's answer against a full check of every combination that it lists."""

from __future__ import annotations

import copy
from typing import Any

import pytest

from fitment.engine.search.options import options
from fitment.engine.search.search_answer import options_dump
from fitment.engine.search.search_file import search_parse
from tests.engine.searches import GOALS, MOST, Combination, drawn_search, everything, named
from tests.nights import day_and_night

#: Catalogues of a few dozen combinations: every goal, both sides of an axle, every limit.
BY_DAY = (5, 6, 7, 8)
ROUND_MM = 2e-3


def answered(document: dict[str, Any]) -> dict[str, Any]:
    search = search_parse(document)
    return options_dump(search, options(search.question))


@pytest.mark.parametrize("seed", day_and_night(BY_DAY, range(50)))
def test_no_combination_that_clears_is_better_than_the_first_answer(seed: int) -> None:
    document = drawn_search(seed)
    found = answered(document)
    assert found["complete"]
    assert found["looked_at"] == sum(found["ruled_out"].values()) + found["cleared"] <= MOST
    checked = {one.names: one for one in everything(document)}
    clear = [one for one in checked.values() if one.clears]
    assert bool(found["options"]) == bool(clear)
    for option in found["options"]:
        one = checked[named(option)]
        assert option["verdict"] == one.verdict
        assert option["price"] == one.price
        assert option["section_width_mm"] == pytest.approx(one.width_mm, abs=ROUND_MM)
        assert option["tightest"]["clearance_mm"] == pytest.approx(one.least_mm, abs=1e-6)
    if clear:
        nothing_is_better(document["search"]["goal"], checked[named(found["options"][0])], clear)


def nothing_is_better(goal: str, first: Combination, clear: list[Combination]) -> None:
    if goal == "widest_tyre":
        assert first.width_mm >= max(one.width_mm for one in clear) - ROUND_MM
    elif goal == "least_cost":
        prices = [one.price for one in clear if one.price is not None]
        assert not prices or first.price == min(prices)
    elif goal == "most_clearance":
        assert first.least_mm >= max(one.least_mm for one in clear) - 0.05
    else:
        fewest = min(one.changed for one in clear)
        assert first.changed == fewest
        prices = [one.price for one in clear if one.changed == fewest and one.price is not None]
        assert not prices or first.price == min(prices)


def test_the_catalogues_of_the_day_show_every_goal_and_have_answers() -> None:
    documents = [drawn_search(seed) for seed in BY_DAY]
    assert {one["search"]["goal"] for one in documents} == set(GOALS)
    assert any(len(one["corners"]) == 2 for one in documents)
    assert any("budget" in one["search"]["limits"] for one in documents)
    assert all(answered(one)["options"] for one in documents)


def test_a_tyre_far_too_wide_for_its_rim_is_never_clear() -> None:
    """A 305 on an 8 in rim, with a recorded range, with the standard's, and with neither."""
    document = drawn_search(0)
    document["search"] |= {
        "goal": "widest_tyre",
        "wheels": [document["search"]["wheels"][0] | {"diameter_in": 17, "width_in": 8.0}],
        "limits": {},
    }
    for size, rims, word in (
        ("305/30R17", None, "rim width"),
        ("305/30R17", [10.5, 12.0], "rim width"),
        ("305/20R17", None, "cannot say: rim width"),
    ):
        asked = copy.deepcopy(document)
        tyre = {"name": "wide", "size": size} | ({"rim_in": rims} if rims else {})
        asked["search"]["tyres"] = [tyre]
        found = answered(asked)
        assert found["options"] == []
        assert found["ruled_out"] == {word: found["looked_at"]}
