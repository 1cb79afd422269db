"""A page in another language differs in words only: never in what forms, links and drawings say."""

from __future__ import annotations

import re
from collections.abc import Callable
from html import unescape
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from tests.shop.test_permissions import TABLE
from tests.walk import LINK

#: Pages with figures in forms, addresses and drawings; at night all the others.
BY_DAY = {"order", "order_lines", "part_edit", "shop_settings", "visit_edit", "clearance_check"}
#: Those of them on which figures with decimals stand.
TELL_FIGURES = {"order_lines", "clearance_check"}
#: Those that show how figures can be typed: with either mark.
SHOW_EXAMPLES = {"visit_edit", "visit_new"}
WORDS = r"aria-|alt\b|title\b|placeholder\b|lang\b|content\b|data-labels?\b|data-outbox\b"
ATTRIBUTE = re.compile(rf'\s((?!{WORDS})[\w:-]+)="([^"]*)"')
#: Made anew for every page.
NEW_EACH_TIME = re.compile(r'name="(csrfmiddlewaretoken|entry_key|sent_key)"[^>]*>')


#: Words to choose from while typing: people read and keep them, in their own language.
SUGGESTIONS = re.compile(r"<datalist.*?</datalist>", re.S)


DRAWING = re.compile(r"<svg\b.*?</svg>", re.S)
#: Where something stands in a drawing: labels are laid out by the width of their words.
PLACE = re.compile(r'\s(d|x|y|dy|text-anchor|viewBox)="([^"]*)"')


def for_machines(html: str) -> list[tuple[str, str]]:
    kept = SUGGESTIONS.sub("", NEW_EACH_TIME.sub(">", html))
    return ATTRIBUTE.findall(DRAWING.sub(lambda drawn: PLACE.sub("", drawn[0]), kept))


def places(html: str) -> str:
    """Every number that says where something stands in a drawing."""
    return " ".join(at for drawn in DRAWING.findall(html) for _, at in PLACE.findall(drawn))


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
    assert "," not in places(german.content.decode())


def test_the_pages_by_day_are_pages_of_the_site() -> None:
    assert sorted(BY_DAY - set(TABLE)) == []


#: A figure with decimals and a unit behind it or a currency before it, and its mark.
FIGURE = re.compile(
    r"(?<![\d.,])\d+([.,])\d+(?=[\s\u202f]?(?:mm|°|€|%|bar|N·m|h\b))|€[\d\u202f]+([.,])\d\d\b"
)
#: Fields keep what was typed, help shows what can be typed, a letter is in its reader's language.
NOT_SAID_TO_THE_READER = re.compile(
    r"<(script|style|head|datalist|textarea|option)\b.*?</\1>"
    r'|<p class="help".*?</p>|<(article|span)\b[^>]*\blang="[^>]*>.*?</\2>|<[^>]+>',
    re.S,
)


def marks(html: str) -> set[str]:
    """The decimal marks of figures that a page tells its reader."""
    shown = unescape(NOT_SAID_TO_THE_READER.sub(" ", html))
    return {point or of_money for point, of_money in FIGURE.findall(shown)}


@pytest.mark.parametrize("name", opened())
def test_figures_have_the_mark_of_the_readers_language(
    name: str, manager: Any, client_of: Callable[[Any], Client]
) -> None:
    url, browser = reverse(name, kwargs=TABLE[name].parts()), client_of(manager)
    english = browser.get(url)
    if english.status_code != 200 or "html" not in english.headers["Content-Type"]:
        assert name not in BY_DAY
        return
    manager.language = "de"
    manager.save()
    also = {"."} if name in SHOW_EXAMPLES else set()
    german = marks(browser.get(url).content.decode())
    assert marks(english.content.decode()) <= {"."}
    assert german <= {",", *also}
    assert german or name not in TELL_FIGURES
