"""Every page of the staff has help: two sentences, a picture, and its own words explained."""

from __future__ import annotations

import re
from collections import Counter
from typing import Any

import pytest
from django.template import Context, Template
from django.template.loader import get_template
from django.urls import reverse

from shop.extensions.points import PAGE_HELP
from shop.languages.own_words import OWN_WORDS
from tests.routes import TABLE
from tests.walk import LINK, PUBLIC

STAFF_ROUTES = sorted(name for name, route in TABLE.items() if route.reads not in (PUBLIC, LINK))


@pytest.mark.django_db
@pytest.mark.parametrize("name", STAFF_ROUTES)
def test_each_page_of_the_staff_has_help(name: str, manager: Any, client_of: Any) -> None:
    answer = client_of(manager).get(reverse(name, kwargs=TABLE[name].parts()))
    page = "" if answer.streaming else answer.content.decode(errors="replace")
    if answer.status_code != 200 or 'id="main"' not in page:
        return  # a file, a part of a page, or only the target of a form
    assert page.count('data-test="page-help"') == 1, "register its PageHelp at PAGE_HELP"


def test_help_is_two_sentences_with_a_picture_and_known_words() -> None:
    for page in PAGE_HELP:
        sentences = re.findall(r"[.?!](?:\s|$)", page.text)
        assert len(sentences) == 2, page.text
        assert "<title" in get_template(f"help/{page.picture}.html").template.source
        assert set(page.words) <= set(OWN_WORDS), page.routes


def test_a_route_has_one_help() -> None:
    routes = Counter(name for page in PAGE_HELP for name in page.routes)
    assert [name for name, count in routes.items() if count > 1] == []


def test_each_own_word_is_explained_on_some_page() -> None:
    assert {word for page in PAGE_HELP for word in page.words} == set(OWN_WORDS)


def test_a_word_is_explained_at_its_first_use_alone() -> None:
    shown = Template('{% term "spot" %} and {% term "spot" "spots" %}').render(Context())
    assert shown.count("popovertarget") == 1
    assert OWN_WORDS["spot"][1] in shown
    assert shown.endswith("and spots")
