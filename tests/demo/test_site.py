"""The demo shop as it is built on a fresh clone: every link on every page leads somewhere."""

from __future__ import annotations

import re
from collections import deque
from html import unescape
from io import StringIO
from typing import Any

import pytest
from django.core.management import call_command
from django.test import Client

from shop.models import User, WorkOrder
from tests.demo.conftest import Demo

MOST_PAGES = 400
LINK = re.compile(r'href="(/[^"#]*)')


pytestmark = [pytest.mark.database, pytest.mark.django_db, pytest.mark.usefixtures("demo")]


def shape(url: str) -> str:
    """Addresses that differ in numbers and queries only are of one kind."""
    return re.sub(r"\d+", "0", url.partition("?")[0])


def crawl(browser: Client, start: str, each_kind: int) -> dict[str, int]:
    """Open what can be reached by links, a few of each kind; the status of each address."""
    seen: dict[str, int] = {}
    kinds: dict[str, int] = {}
    waiting = deque([start])
    while waiting and len(seen) < MOST_PAGES:
        url = waiting.popleft()
        if url in seen or url.startswith("/static/") or kinds.get(shape(url), 0) >= each_kind:
            continue
        kinds[shape(url)] = kinds.get(shape(url), 0) + 1
        response = browser.get(url)
        seen[url] = response.status_code
        if response.status_code == 302:
            waiting.append(response["Location"])
        elif response.headers.get("Content-Type", "").startswith("text/html"):
            waiting.extend(unescape(found) for found in LINK.findall(response.content.decode()))
    return seen


def broken(seen: dict[str, int]) -> dict[str, int]:
    return {url: status for url, status in seen.items() if status >= 400}


#: How many pages of a kind are opened: by day the first that is met, at night three.
DAY_AND_NIGHT = [1, pytest.param(3, marks=pytest.mark.nightly)]


@pytest.mark.parametrize("each_kind", DAY_AND_NIGHT)
@pytest.mark.parametrize(("name", "fewest"), [("manager", 40), ("writer", 35), ("technician", 30)])
def test_staff_find_only_links_that_they_may_follow(
    name: str, fewest: int, each_kind: int, client_of: Any
) -> None:
    seen = crawl(client_of(User.objects.get(username=name)), "/", each_kind)
    assert broken(seen) == {}
    assert len(seen) >= fewest, sorted(seen)


def test_customers_find_only_links_that_they_may_follow(stranger: Client) -> None:
    for order in WorkOrder.objects.all():
        seen = crawl(stranger, f"/c/{order.token}/", each_kind=3)
        assert broken(seen) == {}
        inside = [url for url in seen if not url.startswith(f"/c/{order.token}/")]
        assert inside in ([], ["/", "/accounts/login/?next=/"]), inside


def test_the_sign_ins_are_said_and_the_clearance_of_the_first_order_can_be_read(demo: Demo) -> None:
    assert "manager" in demo.printed
    out = StringIO()
    call_command("clearance_check_text", "W0001", stdout=out)
    assert "arch lip" in out.getvalue()
