"""What any page keeps to in a browser: its width, targets for a thumb, access, a quiet console."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from functools import cache
from typing import Any

import pytest

#: Widths and whether in the dark: a phone, a tablet in the dark, a desk.
PHONE, TABLET, DESK = (360, False), (820, True), (1920, False)
#: At night every page is opened afresh at each of them.
AT_NIGHT = [pytest.param(*size, marks=pytest.mark.nightly) for size in (PHONE, TABLET, DESK)]
#: Up to this width a page is touched, and what can be pressed has the height of a thumb.
TOUCHED_PX = 1000
SMALLEST_TARGET_PX = 43.5
SMALL = """least => [...document.querySelectorAll('a,button,input,select,textarea,summary')]
  .filter(e => e.type != 'hidden' && e.getClientRects().length
    && getComputedStyle(e).visibility != 'hidden'
    && !(e.tagName == 'A' && getComputedStyle(e).display == 'inline'))
  .filter(e => {
    const box = (e.closest('label') || e).getBoundingClientRect();
    return box.height < least && box.width && !e.classList.contains('skip');
  })
  .map(e => e.outerHTML.slice(0, 90))"""
#: Every rule of axe; only what is violated travels back from the page.
VIOLATED = """axe.run({resultTypes: ['violations']}).then(found => found.violations.map(
  one => `${one.id}: ${one.nodes[0].html.slice(0, 90)}`))"""

#: Colours that change take their time; what is measured on the way is neither of the two.
SETTLED = "Promise.all(document.getAnimations().map(one => one.finished)).then(() => null)"


@cache
def axe_script() -> str:
    from axe_playwright_python.sync_playwright import Axe

    script: str = Axe().axe_script
    return script


def faults(page: Any, *, with_access: bool = True) -> list[str]:
    """What is wrong with a page as it stands; without access, its width and targets alone."""
    found = []
    if page.evaluate("document.documentElement.scrollWidth > innerWidth"):
        found.append("overflows sideways")
    if page.viewport_size["width"] < TOUCHED_PX:
        small = page.evaluate(SMALL, SMALLEST_TARGET_PX)
        found += [f"under 44 px: {target}" for target in small]
    if with_access:
        if not page.evaluate("'axe' in window"):
            page.evaluate(axe_script())
        found += page.evaluate(VIOLATED)
    return found


def nothing_more(page: Any) -> None:
    """A page is looked at as it opens."""


def faults_of_all(
    page: Any, addresses: Iterable[str], prepare: Callable[[Any], None] = nothing_more
) -> list[str]:
    """Open every address once on a page of a phone's width, and widen it to a tablet and a desk.

    Access is asked for in light and in dark; the desk has the same elements and colours as the
    phone, so only its width is looked at.
    """
    found: list[str] = []
    for address in addresses:
        show(page, PHONE)
        found += faults_as_opened(page, address, prepare)
        show(page, TABLET)
        found += [f"{address}, in the dark: {fault}" for fault in faults(page)]
        show(page, DESK)
        found += [f"{address}, on a desk: {fault}" for fault in faults(page, with_access=False)]
    return found


def faults_as_opened(
    page: Any, address: str, prepare: Callable[[Any], None] = nothing_more
) -> list[str]:
    """Open one address: what is wrong with the page, and what the console says."""
    page.complaints.clear()
    page.goto(address)
    prepare(page)
    found = faults(page)
    found += [said for said in page.complaints if "404" not in said]
    return [f"{address}: {fault}" for fault in found]


def show(page: Any, size: tuple[int, bool]) -> None:
    """Give an open page another width, and light or dark colours."""
    width, dark = size
    page.set_viewport_size({"width": width, "height": 1000})
    page.emulate_media(color_scheme="dark" if dark else "light")
    page.evaluate(SETTLED)
