"""A real browser: one Chromium a session, and a context of its own for whoever opens a page."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, contextmanager
from typing import TYPE_CHECKING, Any

import pytest

from tests.conftest import CHROMIUM

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

FLAGS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]
#: Playwright leaves an event loop running in this thread, in which Django refuses the database.
#: The loop runs browser calls only, so this variable lets the database in between them.
LOOP_IS_NOT_OURS = "DJANGO_ALLOW_ASYNC_UNSAFE"

Opened = Callable[..., AbstractContextManager[Any]]


def _to_a_whole_page(page: Page) -> Callable[..., None]:
    """A click that, where it leads to another page, returns once that page has arrived whole."""
    click = page.click

    def clicked(*args: Any, **options: Any) -> None:
        click(*args, **options)
        page.wait_for_load_state()

    return clicked


@pytest.fixture(scope="session")
def chromium() -> Iterator[Browser]:
    """The browser of this session (of this worker); tests open contexts in it."""
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playwright, pytest.MonkeyPatch.context() as patch:
        patch.setenv(LOOP_IS_NOT_OURS, "yes")
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=FLAGS)
        yield browser
        browser.close()


@pytest.fixture
def browser_as(chromium: Browser, live_server: Any, client_of: Callable[[Any], Any]) -> Opened:
    """``with browser_as(user) as page:`` opens a page signed in as the user, or as a stranger.

    Each opening is a context of its own: no cookie, draft or kept page of another is in it. Make
    all rows before: while a page is open, Django refuses this thread the database. The page
    remembers what its console complained about in ``page.complaints``.
    """

    @contextmanager
    def opened(
        user: Any = None, *, width: int = 820, dark: bool = False, touch: bool = False
    ) -> Iterator[Any]:
        cookie = client_of(user).cookies["sessionid"].value if user else None
        context = chromium.new_context(
            base_url=live_server.url,
            viewport={"width": width, "height": 1000},
            color_scheme="dark" if dark else "light",
            has_touch=touch,
            is_mobile=touch,
        )
        if cookie:
            context.add_cookies([{"name": "sessionid", "value": cookie, "url": live_server.url}])
        page: Any = context.new_page()  # a page of Playwright has no place for complaints
        page.click = _to_a_whole_page(page)
        page.complaints = []
        page.on(
            "console",
            lambda said: page.complaints.append(said.text) if said.type == "error" else None,
        )
        page.on("pageerror", lambda error: page.complaints.append(str(error)))
        try:
            with pytest.MonkeyPatch.context() as patch:
                patch.delenv(LOOP_IS_NOT_OURS)
                yield page
        finally:
            for left in chromium.contexts:  # a test may have opened more beside it
                left.close()

    return opened
