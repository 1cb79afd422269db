"""Scripts have their words from the page: none of them says a sentence of its own."""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from django.conf import settings
from django.test import Client
from django.urls import reverse
from django.utils import translation

from shop.site.script_texts import TEXTS, script_texts
from tests.factories import make_customer, make_order

SCRIPTS = sorted((Path(settings.BASE_DIR) / "static").glob("*.js"))
#: Comments, regular expressions (after what no division follows) and texts of JavaScript.
TOKEN = re.compile(
    r"//[^\n]*|/\*.*?\*/"
    r"|(?<=[(,=:\[!&|?{};])\s*/(?![*/])(?:\\.|\[(?:\\.|[^\]\n])*\]|[^/\n\\\[])+/[a-z]*"
    r"|(?P<text>\"(?:\\.|[^\"\\\n])*\"|'(?:\\.|[^'\\\n])*'|`(?:\\.|[^`\\])*`)",
    re.S,
)
FILLED_IN = re.compile(r"\$\{[^}]*\}|<[^>]*>")
SENTENCE = re.compile(r"[^\W\d_]{2,}[,:;.]? [^\W\d_]")
LABEL = re.compile(r"[A-Z][a-z]+[.!?:]?")
#: What people never read: classes, selectors, headers, keys, and the console of developers.
FOR_MACHINES = {
    "use strict",
    "btn quiet",
    "field tick keys",
    "kept loud",
    "notice warning",
    "#notices p",
    '<body data-seen=""',
    "select, textarea",
    "(pointer: coarse) and (min-width: 40.01rem)",
    "text/html; charset=utf-8",
    "default-src 'none'; style-src 'self'; base-uri 'none'; frame-ancestors 'none'",
    "Pages are not kept on this device: ",
    "Enter",
    "Escape",
    "Vary",
}
CALLED = re.compile(
    r"\b(?:text|say)\(\s*(?:form, )?\"(\w+)\"|\btext\(.*?\? \"(\w+)\" : \"(\w+)\"\)"
)


def texts_of(script: str) -> Iterator[str]:
    for token in TOKEN.finditer(script):
        if token["text"]:
            yield FILLED_IN.sub("", token["text"][1:-1])


def said_by(script: str) -> list[str]:
    """Texts of a script that are for people."""
    return [
        text
        for text in texts_of(script)
        if text not in FOR_MACHINES and (SENTENCE.search(text) or LABEL.fullmatch(text))
    ]


@pytest.mark.parametrize("path", SCRIPTS, ids=lambda path: path.name)
def test_a_script_has_no_sentence_of_its_own(path: Path) -> None:
    assert said_by(path.read_text("utf-8")) == []


@pytest.mark.parametrize(
    "script",
    [
        'say("Not saved yet.")',
        "say(`Sent ${time}, thank you.`)",
        "press('Discard', go)",
        'x.replace(/^"|"$/g, ""); say("It is sent.")',
        "// a note\nsay(`<p>This page needs the server.</p>`)",
    ],
)
def test_a_sentence_in_a_script_would_be_found(script: str) -> None:
    assert len(said_by(script)) == 1


def test_what_scripts_ask_for_is_there_and_all_of_it_is_asked_for() -> None:
    """By its name in a text, or as a property in the worker."""
    found = "\n".join(path.read_text("utf-8") for path in SCRIPTS)
    called = {name for names in CALLED.findall(found) for name in names if name}
    assert called <= set(TEXTS)
    named = set(re.findall(r'"(\w+)"', found)) | set(re.findall(r"\btold\.(\w+)", found))
    assert set(TEXTS) - named == set()


def texts_on(html: str) -> dict[str, str]:
    (block,) = re.findall(r'<script id="texts" type="application/json">(.*?)</script>', html)
    found: dict[str, str] = json.loads(block)
    return found


@pytest.mark.django_db
def test_a_page_tells_its_scripts_the_words_of_its_language(
    technician: Any, client_of: Callable[[Any], Client]
) -> None:
    browser = client_of(technician)
    assert texts_on(browser.get(reverse("account")).content.decode()) == script_texts()
    technician.language = "de"
    technician.save()
    german = texts_on(browser.get(reverse("account")).content.decode())
    with translation.override("de"):
        assert german == script_texts()
    assert set(german) == set(TEXTS)


@pytest.mark.django_db
def test_a_customers_page_needs_no_script_and_loads_none() -> None:
    order = make_order(customer=make_customer(language="de"))
    page = Client().get(reverse("customer_order", args=[order.token])).content.decode()
    assert "<script" not in page
