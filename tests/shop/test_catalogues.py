"""Catalogues: each holds every sentence that the sources say, whole, and none besides."""

from __future__ import annotations

import os
import re
from collections.abc import Iterable
from pathlib import Path
from typing import Any

import polib
import pytest
from django.conf import settings
from django.core.management import CommandError, call_command

from shop.languages.catalogues import catalogues, compile_catalogues, is_stale
from shop.languages.gathering import (
    Message,
    every_message,
    for_customers,
    gathered,
    in_python,
    in_template,
    language_of,
    start_catalogue,
    update_catalogue,
)

PATHS = {language_of(path): path for path in catalogues()}
PLACEHOLDER = re.compile(r"%\(\w+\)s|%%|\{\w*\}")


@pytest.fixture(scope="module")
def said() -> dict[tuple[str, str], Message]:
    return gathered()


def entries(language: str) -> list[polib.POEntry]:
    return list(polib.pofile(str(PATHS[language])))


def test_english_is_a_catalogue_too() -> None:
    assert {"en_GB", "de"} <= set(PATHS)


@pytest.mark.parametrize("language", sorted(PATHS))
def test_a_catalogue_holds_what_is_said_and_nothing_else(language: str, said: Any) -> None:
    held = {(entry.msgctxt or "", entry.msgid) for entry in entries(language)}
    assert sorted(said.keys() - held) == [], "run make messages, and translate what is new"
    assert sorted(held - said.keys()) == [], "run make messages"


def numbers_of(messages: Iterable[Message]) -> dict[tuple[str, str], set[str]]:
    """The plurals with which each sentence stands; the empty one where it stands alone."""
    found: dict[tuple[str, str], set[str]] = {}
    for message in messages:
        found.setdefault(message.key, set()).add(message.many)
    return found


def test_no_sentence_stands_alone_and_as_the_one_of_a_plural() -> None:
    """A catalogue holds it once: said alone, it would look for a form that is not there."""
    everywhere = numbers_of(every_message(Path(settings.BASE_DIR), lambda name: True))
    assert {key: many for key, many in everywhere.items() if len(many) > 1} == {}
    clash = [
        *in_python('gettext("{count} part")'),
        *in_python('say_many("{count} part", "all", 2)'),
    ]
    assert numbers_of(clash) == {("", "{count} part"): {"", "all"}}


@pytest.mark.parametrize("language", sorted(PATHS))
def test_every_sentence_is_translated_and_looked_at(language: str) -> None:
    wanted = for_customers()
    unfinished = [
        entry.msgid
        for entry in entries(language)
        if entry.fuzzy or ((entry.msgctxt or "", entry.msgid) in wanted and not entry.translated())
    ]
    assert unfinished == [], "empty, or marked fuzzy until a person has looked at it"


def test_only_pages_of_the_staff_may_wait_for_a_translation() -> None:
    assert len(for_customers()) < len(gathered())


@pytest.mark.parametrize("language", sorted(PATHS))
def test_a_translation_keeps_what_is_put_into_it(language: str) -> None:
    for entry in (entry for entry in entries(language) if entry.translated()):
        one, many = (sorted(PLACEHOLDER.findall(t)) for t in (entry.msgid, entry.msgid_plural))
        if not entry.msgid_plural:
            assert sorted(PLACEHOLDER.findall(entry.msgstr)) == one, entry.msgid
        for form, text in entry.msgstr_plural.items():
            allowed = (one, many) if form == 0 else (many,)
            assert sorted(PLACEHOLDER.findall(text)) in allowed, entry.msgid


@pytest.mark.parametrize("language", sorted(PATHS))
def test_plurals_have_all_forms_of_the_language(language: str, said: Any) -> None:
    catalogue = polib.pofile(str(PATHS[language]))
    forms = int(re.search(r"nplurals=(\d)", catalogue.metadata["Plural-Forms"])[1])
    several = [entry for entry in catalogue if entry.msgid_plural]
    assert {entry.msgid for entry in several} == {m.text for m in said.values() if m.many}
    said_here = [entry for entry in several if entry.translated()]
    assert all(len(entry.msgstr_plural) == forms for entry in said_here)


def test_german_says_what_a_german_shop_says() -> None:
    """Words that the trade does not use, or that say something else."""
    wrong = re.compile(
        r"Freigang|fall(en|t) durch|fällt durch|zu nah\b|Mittenloch|Comeback|Aufmaß|N·m"
        r"|\bAutos?\b|das Recht\b|Geschwindigkeitskennzahl|Stangenlängen"
    )
    told = {entry.msgid: [entry.msgstr, *entry.msgstr_plural.values()] for entry in entries("de")}
    assert {text: found for text, found in told.items() if wrong.search(" ".join(found))} == {}


# ---- Gathering


@pytest.mark.parametrize(
    ("source", "messages"),
    [
        ('speech.say("Two " "parts", x=1)', [Message("Two parts")]),
        ('say("One" if one else "Other")', [Message("One"), Message("Other")]),
        ("say(variable)", []),
        ('gettext_lazy("Label")', [Message("Label")]),
        ('_("Label")', [Message("Label")]),
        ('speech.say_in("unit", "in")', [Message("in", context="unit")]),
        ('pgettext_lazy("use", "Track")', [Message("Track", context="use")]),
        (
            'speech.say_many("{count} car", "{count} cars", n)',
            [Message("{count} car", "", "{count} cars")],
        ),
        ('npgettext("x", "a", "b", n)', [Message("a", "x", "b")]),
        ('sentence("{gap_mm} away", gap_mm=short)', [Message("{gap_mm} away")]),
        ('plural("a car", "{count} cars")', [Message("a car", "", "{count} cars")]),
        ('print("No message")', []),
    ],
)
def test_messages_of_python(source: str, messages: list[Message]) -> None:
    assert list(in_python(source)) == messages


@pytest.mark.parametrize(
    ("source", "messages"),
    [
        ('<p>{% translate "It’s here" %}</p>', [Message("It’s here")]),
        ("""{% translate 'Say "x"' as y %}""", [Message('Say "x"')]),
        ('{% translate "Track" context "use" %}', [Message("Track", context="use")]),
        (
            "{% blocktranslate with a=b %}Tax {{ a }} %, it's due{% endblocktranslate %}",
            [Message("Tax %(a)s %%, it's due")],
        ),
        (
            "{% blocktranslate count n=m %}a car{% plural %}{{ n }} cars{% endblocktranslate %}",
            [Message("a car", "", "%(n)s cars")],
        ),
        ('{{ label|default:_("Save") }}', [Message("Save")]),
        ('{% include "x.html" with title="Not marked" %}', []),
    ],
)
def test_messages_of_templates(source: str, messages: list[Message]) -> None:
    assert list(in_template(source)) == messages


# ---- Bringing catalogues in line


@pytest.fixture
def empty(tmp_path: Path, settings: Any) -> Path:
    settings.LOCALE_PATHS = [tmp_path]
    return start_catalogue("cs")


def test_a_new_language_starts_with_its_own_plural_forms(empty: Path) -> None:
    assert language_of(empty) == "cs"
    assert "nplurals=4" in polib.pofile(str(empty)).metadata["Plural-Forms"]
    with pytest.raises(ValueError, match="xx"):
        start_catalogue("xx")
    with pytest.raises(CommandError, match="xx"):
        call_command("makemessages", new="xx")


def translate(path: Path, **texts: str) -> None:
    catalogue = polib.pofile(str(path))
    for entry in catalogue:
        entry.msgstr = texts.get(entry.msgid, entry.msgstr)
    catalogue.save()


def test_what_is_still_said_keeps_its_translation_and_the_rest_goes(empty: Path) -> None:
    assert update_catalogue(empty, [Message("Rad"), Message("Old")]).to_translate == 2
    translate(empty, Rad="kolo", Old="starý")
    change = update_catalogue(empty, [Message("Rad"), Message("New"), Message("Rad", "verb")])
    assert (change.added, change.dropped, change.to_translate) == (2, 1, 2)
    left = {(entry.msgctxt, entry.msgid): entry.msgstr for entry in polib.pofile(str(empty))}
    assert left == {(None, "Rad"): "kolo", (None, "New"): "", ("verb", "Rad"): ""}


def test_a_reworded_sentence_keeps_its_translation_to_be_looked_at(empty: Path) -> None:
    update_catalogue(empty, [Message("The wheel touches the lip.")])
    catalogue = polib.pofile(str(empty))
    catalogue[0].msgstr = "Kolo se dotýká."
    catalogue.save()
    reworded = [Message("The wheel touches the arch lip.")]
    assert update_catalogue(empty, reworded).to_translate == 1
    (entry,) = polib.pofile(str(empty))
    assert (entry.msgstr, entry.fuzzy) == ("Kolo se dotýká.", True)
    assert update_catalogue(empty, reworded).to_translate == 1, "a second run keeps the mark"


def test_english_says_what_the_sources_say(tmp_path: Path, settings: Any) -> None:
    settings.LOCALE_PATHS = [tmp_path]
    path = start_catalogue("en-gb")
    update_catalogue(path, [Message("One tyre", "", "{count} tyres"), Message("Rim")])
    one, two = sorted(polib.pofile(str(path)), key=lambda entry: entry.msgid)
    assert one.msgstr_plural == {0: "One tyre", 1: "{count} tyres"}
    assert two.msgstr == "Rim"


def test_only_what_changed_is_compiled(empty: Path) -> None:
    update_catalogue(empty, [Message("Rim")])
    assert is_stale(empty)
    assert compile_catalogues() == [empty]
    assert compile_catalogues() == []
    later = empty.with_suffix(".mo").stat().st_mtime + 5
    os.utime(empty, (later, later))
    assert compile_catalogues() == [empty]
    assert [path.suffix for path in empty.parent.iterdir()].count(".mo") == 1
