"""One figure reads alike on page, sheet and sentence."""

from __future__ import annotations

import pytest

from alignment.geometry import units
from shop.languages import ENGLISH, LANGUAGES, Speech, formatting
from shop.templatetags import archroom
from tests.common.test_numerals import HALVES

GERMAN = Speech(LANGUAGES["de"])


@pytest.mark.parametrize(("value", "places", "written"), HALVES)
def test_page_sheet_sentence_and_echo_round_alike(value, places, written) -> None:
    assert archroom.number(value, places) == written
    assert ENGLISH.number(value, places) == written
    assert GERMAN.number(value, places) == written.replace(".", ",")
    assert units.format_number(float(value), places, signed=False) == written
    assert formatting.number(str(value), places) == written


def test_an_angle_is_the_same_for_staff_and_customers() -> None:
    assert archroom.degrees(-1.625) == ENGLISH.angle(-1.625) == units.format_degrees(-1.625)
    minutes = Speech(LANGUAGES["en"], angles="minutes")
    assert archroom.minutes(-1.625) == minutes.angle(-1.625) == units.format_minutes(-1.625)


def test_money_is_the_same_for_staff_and_customers() -> None:
    assert archroom.money("-1234.505", "EUR") == ENGLISH.money("-1234.505", "EUR")
    assert formatting.money("-0.001", "EUR") == "€0.00"
    assert formatting.money("12", "NOK") == "NOK\N{NARROW NO-BREAK SPACE}12.00"


def test_what_is_not_known_is_a_dash_with_no_unit() -> None:
    shown = (archroom.mm(None), archroom.percent(""), archroom.degrees("none"))
    assert {*shown, archroom.money(None, "EUR")} == {formatting.NOT_READ}


def test_capital_changes_the_first_letter_alone() -> None:
    assert formatting.capital("toe link of the LF corner") == "Toe link of the LF corner"
    assert formatting.capital("") == ""
