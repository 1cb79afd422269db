"""Whatever a check file holds, it is refused by name or answered, in bounded time and memory."""

from __future__ import annotations

import json
from collections import Counter

import pytest

from tests.engine.mutants import BYTES, SECONDS, fares, mutant
from tests.nights import day_and_night

#: So many mutants by day and at night, in shares that workers can divide.
SHARE, BY_DAY, AT_NIGHT = 25, 100, 10_000


@pytest.mark.parametrize("first", day_and_night(range(0, BY_DAY, SHARE), range(0, AT_NIGHT, SHARE)))
def test_a_mutant_is_refused_by_name_or_answered_within_bounds(first: int) -> None:
    for seed in range(first, first + SHARE):
        text = mutant(seed)
        fared = fares(text)
        assert fared.outcome == "answered" or fared.paths, f"seed {seed}: refused without a place"
        assert fared.seconds < SECONDS, f"seed {seed} took {fared.seconds:.2f} s"
        assert fared.peak_bytes < BYTES, f"seed {seed} took {fared.peak_bytes / 1e6:.0f} MB"


def test_the_mutants_of_a_day_come_to_all_that_a_file_can_come_to() -> None:
    """Guards the test above against mutants that are all refused at the door."""
    outcomes = Counter(fares(mutant(seed)).outcome for seed in range(60))
    assert set(outcomes) >= {"refused", "answered"}
    assert outcomes["answered"] >= 10


def test_a_mutant_is_the_same_for_one_seed_and_json() -> None:
    assert mutant(7) == mutant(7) != mutant(8)
    json.loads(mutant(7))
