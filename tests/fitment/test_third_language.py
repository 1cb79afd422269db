"""A third language is a catalogue and nothing else, and a page in it has no English left.

The catalogue is made up: every sentence keeps its placeholders, and each of its letters becomes a
Cyrillic one. What is left in Latin letters was typed by people, or was never marked.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from html import unescape
from pathlib import Path
from typing import Any

import polib
import pytest
from django.test import Client
from django.urls import reverse

from shop.languages import LANGUAGES, Speech
from shop.languages.catalogues import compile_catalogues
from shop.languages.gathering import gathered, start_catalogue, update_catalogue
from shop.models import Authorisation, State
from shop.money.services import quote_send
from shop.site.language_list import languages_in
from tests.factories import make_customer, make_line, make_shop, make_user
from tests.fitment.factories import make_rubbing_order
from tests.fitment.test_spec_sheet import make_full_order, read

pytestmark = pytest.mark.django_db

LATIN = "abcdefghijklmnopqrstuvwxyz"
CYRILLIC = "абцдефгхийклмнопярстувщцыз"
OTHER_LETTERS = str.maketrans(LATIN + LATIN.upper(), CYRILLIC + CYRILLIC.upper())
PLACEHOLDER = re.compile(r"(%\(\w+\)s|%%|\{\w*\})")
#: Contexts whose messages are patterns and switches, not words.
PATTERNS = ("a day", "a time", "money", "labels inside")


def made_up(text: str) -> str:
    parts = PLACEHOLDER.split(text)
    return "".join(p if PLACEHOLDER.fullmatch(p) else p.translate(OTHER_LETTERS) for p in parts)


@pytest.fixture
def third(tmp_path: Path, settings: Any) -> Iterator[str]:
    """Ukrainian by name, for its four plural forms; each form ends in its number."""
    settings.LOCALE_PATHS = [tmp_path]
    path = start_catalogue("uk")
    update_catalogue(path, gathered().values())
    catalogue = polib.pofile(str(path))
    for entry in catalogue:
        if entry.msgid_plural:
            entry.msgstr_plural = {n: f"{made_up(entry.msgid_plural)}{n}" for n in range(4)}
        elif (entry.msgctxt or "").startswith(PATTERNS):
            entry.msgstr = entry.msgid
        else:
            entry.msgstr = made_up(entry.msgid)
    catalogue.save()
    compile_catalogues()
    settings.LANGUAGES = languages_in(tmp_path)
    return "uk"


def words_left(html: str) -> set[str]:
    """Latin words of what a page shows or reads out."""
    html = re.sub(r"<(script|style|head)\b.*?</\1>", " ", html, flags=re.S)
    read_out = re.findall(r'(?:aria-label|data-label|alt|title|placeholder)="([^"]*)"', html)
    shown = re.sub(r"<[^>]+>", " ", html)
    return latin(unescape(" ".join([shown, *read_out])))


def latin(text: str) -> set[str]:
    return set(re.findall(r"[A-Za-z][A-Za-z’']{2,}", text))


def test_the_folder_is_all_that_a_language_needs(third: str) -> None:
    assert dict(LANGUAGES) == {third: LANGUAGES[third]}
    speech = Speech(LANGUAGES[third])
    assert speech.language.tag == "uk"
    assert speech.say("Spec sheet {number}", number="W1") == f"{made_up('Spec sheet')} W1"
    assert speech.number(1.5, 1) == "1,5"


def test_a_language_with_more_plural_forms_uses_them(third: str) -> None:
    speech = Speech(LANGUAGES[third])
    said = ("{count} of {all} mounting checks fails.", "{count} of {all} mounting checks fail.")
    ends = [speech.say_many(*said, n, all=99)[-1] for n in (1, 2, 5, 21)]
    assert ends == ["0", "1", "2", "0"]


def test_a_customers_page_has_no_word_of_english_left(third: str) -> None:
    make_shop(name="Lindgrove", phone="+00 555 0170")
    order = make_rubbing_order()
    order.customer = make_customer(name="Ilka", language=third)
    order.request_text = "Quieter"
    order.save()
    writer = make_user("writer", display_name="Wanda")
    make_line(order, description="Setup")
    quote_send(order=order, by=writer)
    address = reverse("customer_order", args=[order.token])
    browser = Client(headers={"accept-language": "en"})
    typed = {"Lindgrove", "Ilka", "Quieter", "Wanda", "Setup", "Archroom", "EUR"}
    typed |= latin(f"{order.number} {order.vehicle}")
    assert words_left(browser.get(address).content.decode()) - typed == set()
    refused = browser.post(f"{address}authorise/", {"name": ""}).content.decode()
    assert words_left(refused) - typed == set()


def test_a_finished_order_and_its_sheet_have_none_either(third: str) -> None:
    order = make_full_order()
    order.customer.language, order.state = third, State.HANDED_OVER
    order.customer.save()
    order.save()
    assert Authorisation.objects.filter(quote__order=order).exists()
    typed = latin(
        "Lindgrove Chassis Works Weighbridge Yard Ilka Brandvold Archroom Club street club book "
        "two seasons North Coilover set Wrench EUR Rule bar"
    ) | latin(f"{order.number} {order.vehicle} {order.request_text} {order.vehicle.plate}")
    typed |= latin(" ".join(str(row) for row in order.order_wheels.all()))
    people = latin(" ".join(f"{user}" for user in type(make_user()).objects.all()))
    page = Client().get(reverse("customer_order", args=[order.token])).content.decode()
    assert words_left(page) - typed - people == set()
    _, text = read(order)
    assert latin(text) - typed - people == set()


def test_what_a_stranger_meets_is_translated(third: str) -> None:
    make_shop(name="Lindgrove")
    browser = Client(headers={"accept-language": "uk"})
    for address in ("/accounts/login/", "/no/such/page/", "/c/mistyped/"):
        page = browser.get(address).content.decode()
        assert words_left(page) - {"Archroom", "Lindgrove"} == set(), address


@pytest.mark.parametrize("name", ["order", "clearance"])
def test_a_page_of_the_staff_says_verdicts_corners_and_headings_in_their_language(
    third: str, name: str
) -> None:
    make_shop(name="Lindgrove")
    order = make_rubbing_order()
    technician = make_user("technician", display_name="Wanda")
    technician.language = third
    technician.save()
    browser = Client()
    browser.force_login(technician)
    page = browser.get(reverse(name, args=[order.pk])).content.decode()
    titles = " ".join(re.findall(r"<h[1-3]\b.*?</h[1-3]>|<table\b.*?</table>", page, re.S))
    typed = latin(f"{order.number} {order.vehicle} {order.vehicle.car_model} {order.customer}")
    typed |= latin(" ".join(str(row) for row in order.order_wheels.all()))
    assert words_left(titles) - typed == set()
