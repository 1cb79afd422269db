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

MOST_PAGES = 400
LINK = re.compile(r'href="(/[^"#]*)')


@pytest.fixture
def demo(db: None) -> str:
    out = StringIO()
    call_command("demo_shop", stdout=out)
    return out.getvalue()


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


def test_everybody_finds_only_links_that_they_may_follow(demo: str, client_of: Any) -> None:
    for name, fewest in {"manager": 40, "writer": 35, "technician": 30}.items():
        seen = crawl(client_of(User.objects.get(username=name)), "/", each_kind=3)
        assert broken(seen) == {}, f"as {name}"
        assert len(seen) >= fewest, f"as {name}: {sorted(seen)}"


def test_customers_find_only_links_that_they_may_follow(demo: str, stranger: Client) -> None:
    for order in WorkOrder.objects.all():
        seen = crawl(stranger, f"/c/{order.token}/", each_kind=3)
        assert broken(seen) == {}
        inside = [url for url in seen if not url.startswith(f"/c/{order.token}/")]
        assert inside in ([], ["/", "/accounts/login/?next=/"]), inside


def test_the_sign_ins_are_told_and_the_room_of_the_first_order_can_be_read(demo: str) -> None:
    assert "manager" in demo
    out = StringIO()
    call_command("clearance_check_text", "W0001", stdout=out)
    assert "fender lip" in out.getvalue()
