"""The widest tyre, the next, and why wider ones do not do: against a check of everything."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from common.verdicts import Verdict
from fitment.engine.check import run
from fitment.engine.model import Check
from fitment.engine.search.model import Question
from fitment.engine.search.search_file import search_parse
from fitment.engine.search.widest import Wider, widest
from tests.engine.searches import drawn_search, everything
from tests.nights import day_and_night

BY_DAY = (1, 5, 9)
ROUND_MM = 2e-3


def asked(seed: int) -> tuple[dict[str, Any], Question]:
    document = drawn_search(seed)
    document["search"]["goal"] = "widest_tyre"
    return document, search_parse(document).question


@pytest.mark.parametrize("seed", day_and_night(BY_DAY, range(30)))
def test_nothing_that_clears_is_wider_and_no_other_tyre_comes_next(seed: int) -> None:
    document, question = asked(seed)
    found = widest(question)
    assert found.complete
    clear = [one for one in everything(document) if one.clears]
    widths = sorted((one.width_mm for one in clear), reverse=True)
    assert (found.best is None) == (not clear)
    if found.best is None:
        assert found.runner_up is None
        return
    assert found.best.width_mm == pytest.approx(widths[0], abs=ROUND_MM)
    others = [one.width_mm for one in clear if one.names[1] != found.best.tyre.key]
    assert (found.runner_up is None) == (not others)
    if found.runner_up is not None:
        assert found.runner_up.width_mm == pytest.approx(max(others), abs=ROUND_MM)
        assert found.runner_up.tyre.key != found.best.tyre.key


@pytest.mark.parametrize("seed", day_and_night(BY_DAY, range(30)))
def test_every_wider_tyre_says_why_it_does_not_do(seed: int) -> None:
    _, question = asked(seed)
    found = widest(question)
    for one in found.wider:
        assert found.best is None or one.tyre.key != found.best.tyre.key
        if one.wheel is None:
            assert one.why is not None
        elif one.option is not None:
            assert one.option.fails
        else:
            assert one.verdict is not None
            assert one.spot is not None
            assert not clears_in_full(question, one)


def clears_in_full(question: Question, one: Wider) -> bool:
    """Whether a whole check lets a wider tyre clear as it is said to be mounted, in any setting."""
    assert one.wheel is not None
    assert one.spacer is not None
    wheel = replace(one.wheel.wheel, spacer_mm=one.spacer.mm)
    tyre = one.tyre.on(wheel)
    for change in question.space.settings:
        corners = {
            name: replace(c, planned=change.made_to(c.planned), wheel=wheel, tyre=tyre)
            for name, c in question.corners.items()
        }
        if run(Check("", question.duty, corners)).verdict.clears:
            return True
    return False


def test_a_tyre_that_fails_what_else_is_asked_is_told_and_not_crowned() -> None:
    _, question = asked(5)
    free = widest(question)
    assert free.best is not None
    crowned = free.best.tyre.tyre
    strict = widest(
        replace(
            question,
            passes=lambda corners, _: all(corner.tyre != crowned for corner in corners.values()),
        )
    )
    assert strict.best is None or strict.best.tyre.key != free.best.tyre.key
    told = [one for one in strict.wider if one.tyre.key == free.best.tyre.key]
    assert strict.best is None or strict.best.width_mm <= free.best.width_mm
    assert all(one.option is not None and one.option.fails for one in told)


def test_a_search_that_is_stopped_says_so() -> None:
    _, question = asked(5)
    assert not widest(question, lambda _: False).complete


def test_verdicts_of_wider_tyres_do_not_clear() -> None:
    verdicts = [one.verdict for seed in BY_DAY for one in widest(asked(seed)[1]).wider]
    assert Verdict.CONTACT in verdicts or Verdict.DOUBTFUL in verdicts
