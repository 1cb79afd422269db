"""Answers that one page asks for several times are worked out once, and never outlive it."""

from __future__ import annotations

import threading
from collections.abc import Callable
from functools import partial
from itertools import count

import pytest

from shop.site.page_cache import asked_once, looking


def counter() -> Callable[[], int]:
    """Work that answers how often it was done."""
    return partial(next, count(1))


def test_outside_a_look_every_question_is_worked_out_anew() -> None:
    work = counter()
    assert [asked_once("a", work) for _ in range(3)] == [1, 2, 3]


def test_within_a_look_a_question_is_worked_out_once() -> None:
    work = counter()
    with looking():
        first = [asked_once("a", work) for _ in range(3)]
        other = asked_once("b", work)
    assert (first, other) == ([1, 1, 1], 2)
    assert asked_once("a", work) == 3


def test_no_answer_outlives_a_page_that_failed() -> None:
    work = counter()

    @looking()
    def failing_page() -> None:
        asked_once("a", work)
        raise RuntimeError

    with pytest.raises(RuntimeError):
        failing_page()
    with looking():
        assert asked_once("a", work) == 2


def test_none_is_an_answer() -> None:
    made: list[None] = []
    with looking():
        for _ in range(2):
            assert asked_once("a", lambda: made.append(None)) is None
    assert len(made) == 1


def test_two_requests_at_once_do_not_share_their_answers() -> None:
    seen: list[int] = []

    def other() -> None:
        seen.append(asked_once("a", lambda: 2))

    with looking():
        assert asked_once("a", lambda: 1) == 1
        thread = threading.Thread(target=other)
        thread.start()
        thread.join()
        assert asked_once("a", lambda: 3) == 1
    assert seen == [2]
