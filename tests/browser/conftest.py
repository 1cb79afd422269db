"""A real browser, opened inside a test after its rows exist."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, contextmanager
from typing import Any

import pytest

from tests.conftest import CHROMIUM

FLAGS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]

Opened = Callable[..., AbstractContextManager[Any]]


@pytest.fixture
def browser_as(live_server: Any, client_of: Callable[[Any], Any]) -> Opened:
    """``with browser_as(user) as page:`` opens a page signed in as the user, or as a stranger.

    Make all rows before: while the browser is open, this thread may not touch the database.
    The page remembers what its console complained about in ``page.complaints``.
    """

    @contextmanager
    def opened(
        user: Any = None, *, width: int = 820, dark: bool = False, touch: bool = False
    ) -> Iterator[Any]:
        from playwright.sync_api import sync_playwright

        cookie = client_of(user).cookies["sessionid"].value if user else None
        with sync_playwright() as playwright:
            chromium = playwright.chromium.launch(executable_path=CHROMIUM, args=FLAGS)
            context = chromium.new_context(
                base_url=live_server.url,
                viewport={"width": width, "height": 1000},
                color_scheme="dark" if dark else "light",
                has_touch=touch,
                is_mobile=touch,
            )
            if cookie:
                context.add_cookies(
                    [{"name": "sessionid", "value": cookie, "url": live_server.url}]
                )
            page = context.new_page()
            page.complaints = []
            page.on(
                "console",
                lambda said: page.complaints.append(said.text) if said.type == "error" else None,
            )
            page.on("pageerror", lambda error: page.complaints.append(str(error)))
            try:
                yield page
            finally:
                chromium.close()

    return opened
