"""A page in another language differs in words only: never in what forms, links and drawings say."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from tests.shop.test_permissions import TABLE
from tests.walk import LINK

#: Pages with figures in forms, addresses and drawings; at night all the others.
BY_DAY = {"order", "order_lines", "part_edit", "shop_settings", "visit_edit", "clearance_check"}
WORDS = r"aria-|alt\b|title\b|placeholder\b|lang\b|content\b|data-labels?\b|data-outbox\b"
ATTRIBUTE = re.compile(rf'\s((?!{WORDS})[\w:-]+)="([^"]*)"')
#: Made anew for every page.
NEW_EACH_TIME = re.compile(r'name="(csrfmiddlewaretoken|entry_key)"[^>]*>')


def for_machines(html: str) -> list[tuple[str, str]]:
    return ATTRIBUTE.findall(NEW_EACH_TIME.sub(">", html))


def opened() -> list[Any]:
    names = sorted(name for name, route in TABLE.items() if route.reads != LINK)
    return [
        pytest.param(name, marks=() if name in BY_DAY else pytest.mark.nightly) for name in names
    ]


@pytest.mark.parametrize("name", opened())
def test_only_words_differ(name: str, manager: Any, client_of: Callable[[Any], Client]) -> None:
    url, browser = reverse(name, kwargs=TABLE[name].parts()), client_of(manager)
    english = browser.get(url)
    if english.status_code != 200 or "html" not in english.headers["Content-Type"]:
        assert name not in BY_DAY
        return
    manager.language = "de"
    manager.save()
    german = browser.get(url)
    assert german.headers["Content-Language"] == "de"
    assert for_machines(german.content.decode()) == for_machines(english.content.decode())


def test_the_pages_by_day_are_pages_of_the_site() -> None:
    assert sorted(BY_DAY - set(TABLE)) == []
