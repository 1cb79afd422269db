"""Answers that several readers of one page ask for, worked out once while it is put together."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from typing import Any, TypeVar

Answer = TypeVar("Answer")

_answers: ContextVar[dict[Hashable, Any] | None] = ContextVar("answers", default=None)


@contextmanager
def looking() -> Iterator[None]:
    """While this lasts nothing is changed, so that a question that was asked is not asked again."""
    token = _answers.set({})
    try:
        yield
    finally:
        _answers.reset(token)


def asked_once(question: Hashable, work: Callable[[], Answer]) -> Answer:
    """The answer to a question: worked out again outside of ``looking``."""
    answers = _answers.get()
    if answers is None:
        return work()
    if question not in answers:
        answers[question] = work()
    answer: Answer = answers[question]
    return answer
