"""Waiting for what a page or its worker does by itself."""

from __future__ import annotations

import time
from typing import Any

PATIENCE_S, STEP_MS = 15.0, 30


def until(page: Any, function: str, arg: Any = None) -> None:
    """Ask the page again until its function, which may be async, answers true.

    ``page.wait_for_function`` takes the promise of an async function for true and waits for
    nothing.
    """
    last = time.monotonic() + PATIENCE_S
    while not page.evaluate(function, arg):
        assert time.monotonic() < last, f"never came true: {function}, {arg}"
        page.wait_for_timeout(STEP_MS)


def shows(page: Any, selector: str, words: str) -> None:
    """Hold that the first such element comes to read these words: a page may still be arriving."""
    from playwright.sync_api import expect

    expect(page.locator(selector).first).to_contain_text(words)
