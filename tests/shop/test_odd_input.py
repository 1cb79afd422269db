"""Anything typed, pasted or put into an address: a page with a sentence, and never a crash."""

from __future__ import annotations

import random
from collections.abc import Callable
from copy import deepcopy
from typing import Any

import pytest
from django.test import Client

from tests.editing import taken_back
from tests.nights import day_and_night
from tests.odd_input import Sent, odd_inputs
from tests.routes import TABLE

pytestmark = [pytest.mark.database, pytest.mark.django_db]

SEED = 20261130
#: Inputs for each route, by day and at night: with some 130 routes that is 10,000 at night.
BY_DAY, AT_NIGHT = 2, 80


#: Answers a part of a page, which is empty where nothing was typed.
EMPTY = "an answer without a word"
MAY_BE_EMPTY = {"typed_read"}


def answered(browser: Client, sent: Sent) -> str:
    """What is wrong with the answer; empty if nothing is."""
    once = Client()
    once.cookies = deepcopy(browser.cookies)
    try:
        with taken_back():
            answer = getattr(once, sent.method)(sent.url, sent.data)
            if answer.streaming:
                return ""
            said = answer.content.strip()
    except Exception as error:  # any at all is what this test looks for
        return f"{type(error).__name__}: {str(error)[:200]}"
    if answer.status_code >= 500:
        return str(answer.status_code)
    if answer.status_code not in {204, 302, 405} and not said:
        return EMPTY
    return ""


@pytest.fixture
def cast(
    writer: Any, technician: Any, manager: Any, client_of: Callable[[Any], Client]
) -> dict[str, Client]:
    return {
        "manager": client_of(manager),
        "writer": client_of(writer),
        "technician": client_of(technician),
        "stranger": Client(),
    }


@pytest.mark.parametrize("wanted", day_and_night([BY_DAY], [AT_NIGHT]))
@pytest.mark.parametrize("name", sorted(TABLE))
def test_no_route_crashes(name: str, wanted: int, cast: dict[str, Client]) -> None:
    rng = random.Random(f"{SEED} {name} {wanted}")
    wrong = []
    for sent in odd_inputs(name, cast, rng, wanted):
        problem = answered(cast[sent.who], sent)
        if problem and not (name in MAY_BE_EMPTY and problem == EMPTY):
            wrong.append(f"{problem}\n    {sent}")
    assert wrong == [], "\n" + "\n".join(dict.fromkeys(wrong))
