"""Customers' words: no sentence lacks its translation, none loses what is put into it."""

import datetime as dt
import re
from decimal import Decimal

import pytest
from shop.languages.german import GLOSSARY

from shop.languages import ENGLISH, LANGUAGES, MissingWords, Speech, speech_for, speech_of
from shop.models import Tongue
from tests.factories import make_customer, make_order
from tests.said import said

TRANSLATED = [language for language in LANGUAGES.values() if language.words is not None]
BRACES = re.compile(r"\{(\w+)\}")
GERMAN = Speech(LANGUAGES["de"])


@pytest.mark.parametrize("language", TRANSLATED, ids=lambda language: language.code)
def test_every_sentence_that_is_said_is_in_the_catalogue(language) -> None:
    assert sorted(said() - set(language.words)) == []


@pytest.mark.parametrize("language", TRANSLATED, ids=lambda language: language.code)
def test_a_translation_keeps_what_is_put_into_it(language) -> None:
    for english, words in language.words.items():
        assert sorted(set(BRACES.findall(english))) == sorted(set(BRACES.findall(words))), english
        assert words.strip(), english


def test_no_translation_outlives_its_sentence() -> None:
    assert sorted(set(LANGUAGES["de"].words) - said() - set(GLOSSARY)) == []


def test_the_languages_to_choose_from_are_those_with_words() -> None:
    assert set(Tongue.values) == set(LANGUAGES)


def test_a_missing_sentence_fails_in_tests_and_stays_english_in_the_shop(settings) -> None:
    with pytest.raises(MissingWords):
        GERMAN.say("Nobody ever says this.")
    settings.TESTING = False
    assert GERMAN.say("Nobody ever says this.") == "Nobody ever says this."


def test_words_that_people_typed_stand_as_they_are_where_nobody_knows_them() -> None:
    assert GERMAN.may_say("fender lip") == "Kotflügelkante"
    assert GERMAN.may_say("bracket behind the {odd}") == "bracket behind the {odd}"


@pytest.mark.parametrize(
    ("speech", "degrees", "shown"),
    [
        (ENGLISH, -1.5, "−1.50°"),
        (ENGLISH, 0.001, "0.00°"),
        (GERMAN, -1.5, "−1,50°"),
        (Speech(LANGUAGES["en"], angles="minutes"), -1.5, "−1°30′"),
        (Speech(LANGUAGES["en"], angles="minutes"), 0.999, "+1°00′"),
        (Speech(LANGUAGES["en"], angles="minutes"), -0.004, "0°00′"),
    ],
)
def test_angles_are_shown_as_the_customer_reads_them(speech, degrees, shown) -> None:
    assert speech.angle(degrees) == shown


@pytest.mark.parametrize(
    ("speech", "mm", "places", "shown"),
    [
        (ENGLISH, 4.2, 1, "4.2 mm"),
        (GERMAN, 4.2, 1, "4,2 mm"),
        (Speech(LANGUAGES["en"], "in"), 25.4, 0, "1.00 in"),
        (Speech(LANGUAGES["en"], "in"), 366.0, 0, "14.41 in"),
        (Speech(LANGUAGES["de"], "in"), 25.4, 0, "1,00 in"),
        (ENGLISH, None, 1, "–"),
    ],
)
def test_lengths_are_shown_in_the_customers_unit(speech, mm, places, shown) -> None:
    assert speech.length(mm, places) == shown


def test_money_and_days_follow_the_language() -> None:
    assert ENGLISH.money("1234.5", "EUR") == "€1\N{NARROW NO-BREAK SPACE}234.50"
    assert GERMAN.money(Decimal("-5"), "EUR") == "−5,00\N{NARROW NO-BREAK SPACE}€"
    day = dt.date(2026, 3, 1)
    assert ENGLISH.day(day) == "1 March 2026"
    assert GERMAN.day(day) == "1. März 2026"
    assert GERMAN.short_day(day) == "So, 1. Mär 2026"


def test_an_order_speaks_as_its_customer_does(db) -> None:
    order = make_order()
    order.customer = make_customer(language="de", units="in", angles="minutes")
    assert speech_of(order) == Speech(LANGUAGES["de"], "in", "minutes")
    assert speech_for(make_customer()) == ENGLISH
    assert speech_of(None) == ENGLISH
