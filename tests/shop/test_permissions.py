"""Every address of the site, opened by everybody."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from copy import deepcopy
from itertools import product
from typing import Any

import pytest
from django.db import transaction
from django.test import Client
from django.urls import get_resolver, reverse

from tests.factories import make_order
from tests.routes import PARTS, TABLE, patterns
from tests.walk import LINK

pytestmark = pytest.mark.database


def test_every_address_has_a_name_and_stands_in_the_table() -> None:
    names = [entry.name for entry in patterns(get_resolver())]
    nameless = [str(entry.pattern) for entry in patterns(get_resolver()) if not entry.name]
    assert nameless == []
    assert sorted(set(names) - set(TABLE)) == [], "say in tests/APP/routes.py who may open these"


def test_the_table_names_no_address_that_is_gone() -> None:
    assert sorted(set(TABLE) - {entry.name for entry in patterns(get_resolver())}) == []


def test_no_name_is_claimed_twice() -> None:
    assert len(TABLE) == sum(map(len, PARTS))


def outcome(response: Any) -> str:
    """What became of a visit, in one word."""
    if response.status_code == 302 and response.url.startswith("/accounts/login/"):
        return "sign in"
    words = {403: "refused", 404: "missing", 405: "not offered"}
    if response.status_code >= 500:
        return "crashed"
    return words.get(response.status_code, "let in")


def in_the_same_browser(browser: Client) -> Client:
    """Another look at the site with a visitor's cookies, after those of the last look."""
    again = Client()
    again.cookies = deepcopy(browser.cookies)
    return again


@contextmanager
def taken_back() -> Iterator[None]:
    """What a visit changes is gone after it, so that every visitor finds the same rows."""
    with transaction.atomic():
        yield
        transaction.set_rollback(True)


@pytest.mark.parametrize("name", sorted(TABLE))
def test_only_those_whom_it_is_for_get_in(
    name: str,
    writer: Any,
    technician: Any,
    manager: Any,
    stranger: Client,
    client_of: Callable[[Any], Client],
) -> None:
    route = TABLE[name]
    visitor = Client()
    visitor.get(reverse("customer_order", kwargs={"token": make_order().token}))
    cast = {
        "stranger": stranger,
        "customer": visitor,
        "writer": client_of(writer),
        "technician": client_of(technician),
        "manager": client_of(manager),
    }
    url = reverse(name, kwargs=route.parts())
    offered = False
    for method, (who, browser) in product(("get", "post"), cast.items()):
        with taken_back():
            seen = outcome(getattr(in_the_same_browser(browser), method)(url))
        if route.may(who, method):
            good = {"let in", "not offered"} | ({"missing"} if route.or_missing else set())
            if name == "logout":
                good.add("sign in")
            offered = offered or seen != "not offered"
        elif who in {"stranger", "customer"}:
            good = {"sign in", "not offered"}
        else:
            good = {"refused", "not offered"}
        assert seen in good, f"{method.upper()} {url} as {who}: {seen}, expected {good}"
    assert offered, f"{name} offers neither GET nor POST to anybody"


@pytest.mark.parametrize("name", sorted(name for name, r in TABLE.items() if r.reads == LINK))
def test_a_link_that_was_never_given_leads_nowhere(name: str, stranger: Client) -> None:
    parts = {**TABLE[name].parts(), "token": "A" * 43}
    for method in ("get", "post"):
        seen = outcome(getattr(stranger, method)(reverse(name, kwargs=parts)))
        assert seen in {"missing", "not offered"}
