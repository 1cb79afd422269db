"""The words of checks, rules and gates: one definition each, and one meaning."""

from __future__ import annotations

import json

import pytest

from common.verdicts import (
    OUTCOMES,
    VERDICTS,
    GateResult,
    Outcome,
    Verdict,
    reached,
    worst,
    worst_outcome,
)


@pytest.mark.parametrize("word", [*VERDICTS, *OUTCOMES])
def test_a_gate_can_answer_every_verdict_and_every_outcome(word: Verdict | Outcome) -> None:
    assert GateResult(word) == word
    assert GateResult(word).name == word.name


def test_the_rest_of_what_a_gate_answers() -> None:
    assert set(GateResult) - {*VERDICTS, *OUTCOMES} == {
        GateResult.CANNOT_BE_MOUNTED,
        GateResult.OUT_OF_REACH,
        GateResult.STALE,
        GateResult.NOT_CHECKED,
        GateResult.NOT_NEEDED,
    }


def test_a_word_is_stored_and_looked_up_as_itself() -> None:
    assert json.dumps({"verdict": Verdict.CLEAR}) == '{"verdict": "clear"}'
    assert {"clear": 1}[Verdict.CLEAR] == 1
    assert f"{Verdict.CLEAR}" == "clear"


def test_the_worst_comes_first() -> None:
    for index, verdict in enumerate(VERDICTS):
        assert worst(reversed(VERDICTS[index:])) is verdict
    for index, outcome in enumerate(OUTCOMES):
        assert worst_outcome(reversed(OUTCOMES[index:])) is outcome
    assert worst([]) is Verdict.CLEAR
    assert worst_outcome([]) is Outcome.PASSES


def test_only_what_touches_nothing_for_sure_clears() -> None:
    assert {verdict for verdict in Verdict if verdict.clears} == {Verdict.TIGHT, Verdict.CLEAR}


@pytest.mark.parametrize("verdict", VERDICTS)
def test_a_setting_out_of_reach_is_said_unless_more_stands_against_it(verdict: Verdict) -> None:
    assert reached(verdict, in_reach=True) == verdict
    stays = verdict in (Verdict.CONTACT, Verdict.UNMEASURED)
    assert reached(verdict, in_reach=False) == (verdict if stays else GateResult.OUT_OF_REACH)
