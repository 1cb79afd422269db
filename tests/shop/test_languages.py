"""Who reads which language, and how each writes words, numbers and dates."""

from __future__ import annotations

import datetime as dt
from decimal import Decimal
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import translation

from shop.languages import ENGLISH, LANGUAGES, Speech, speech_for, speech_of, speech_of_page
from shop.models import Line, OrderKind, State, Use
from shop.orders.services.cautions import CUSTOMER, cautions_for, job_of
from shop.orders.services.quoted import frozen_lines, order_differs
from shop.orders.services.standing import standing_of
from shop.sheet.document import sheet_pdf
from tests.factories import make_customer, make_line, make_order, make_part, make_quote, make_shop
from tests.fitment.factories import make_ready_order
from tests.pdf import text_of_pdf

GERMAN = Speech(LANGUAGES["de"])
SPACE = "\N{NARROW NO-BREAK SPACE}"


# ---- What a speech says


def test_a_sentence_is_said_in_the_readers_language_and_not_the_active_one() -> None:
    with translation.override("en-gb"):
        assert GERMAN.say("Spec sheet {number}", number="W1") == "Datenblatt W1"
    with translation.override("de"):
        assert ENGLISH.say("Spec sheet {number}", number="W1") == "Spec sheet W1"
        assert speech_of_page() == GERMAN


def test_labels_of_choices_are_said_too() -> None:
    assert GERMAN.say(OrderKind.COMEBACK.label) == "Reklamation"
    assert ENGLISH.say(Use.TRACK.label) == "Track"
    assert GERMAN.say(Use.TRACK.label) == "Rennstrecke"


def test_a_count_takes_the_form_that_goes_with_it() -> None:
    said = ("{count} of {all} mounting checks fails.", "{count} of {all} mounting checks fail.")
    assert [ENGLISH.say_many(*said, n, all=9) for n in (1, 2)] == [
        "1 of 9 mounting checks fails.",
        "2 of 9 mounting checks fail.",
    ]
    assert GERMAN.say_many(*said, 1, all=9) == "1 von 9 Montageprüfungen ist nicht bestanden."


def test_words_that_people_typed_stand_as_they_are_where_the_catalogue_lacks_them() -> None:
    assert GERMAN.may_say("arch lip") == "Radlaufkante"
    assert GERMAN.may_say("bracket behind the {odd}") == "bracket behind the {odd}"
    assert GERMAN.may_say("") == "", "the empty message is the head of the catalogue"


def test_labels_inside_a_sentence_follow_the_language() -> None:
    assert ENGLISH.within("Other work") == "other work"
    assert GERMAN.within("Rennstrecke") == "Rennstrecke"


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
        (Speech(LANGUAGES["de"], "in"), 25.4, 0, "1,00 Zoll"),
        (ENGLISH, None, 1, "–"),
    ],
)
def test_lengths_are_shown_in_the_customers_unit(speech, mm, places, shown) -> None:
    assert speech.length(mm, places) == shown


def test_units_are_those_of_the_language() -> None:
    assert (ENGLISH.torque_unit, GERMAN.torque_unit) == ("N·m", "Nm")
    assert Speech(LANGUAGES["de"], "in").length_unit == "Zoll"


def test_money_follows_the_language() -> None:
    assert ENGLISH.money("1234.5", "EUR") == f"€1{SPACE}234.50"
    assert GERMAN.money(Decimal("-5"), "EUR") == f"−5,00{SPACE}€"


def test_dates_are_written_as_each_language_writes_them() -> None:
    day, moment = dt.date(2026, 11, 23), dt.datetime(2026, 11, 23, 17, 0)
    assert ENGLISH.day(day) == "23 November 2026"
    assert ENGLISH.short_day(day) == "Mon 23 Nov 2026"
    assert ENGLISH.moment(moment) == "23 November 2026, 17:00"
    assert GERMAN.day(dt.date(2026, 3, 1)) == "1. März 2026"
    assert GERMAN.short_day(day) == "Mo., 23.11.2026"
    assert GERMAN.moment(moment) == "23. November 2026 um 17:00 Uhr"


def test_a_near_code_finds_the_language() -> None:
    assert LANGUAGES["en"] == LANGUAGES["en-gb"]
    assert LANGUAGES["de-at"].tag == "de"
    assert LANGUAGES["en"].tag == "en-GB"
    assert LANGUAGES["de"].name == "Deutsch"
    assert LANGUAGES.get("tlh") is None


def test_an_order_speaks_as_its_customer_does(db) -> None:
    order = make_order()
    order.customer = make_customer(language="de", units="in", angles="minutes")
    assert speech_of(order) == Speech(LANGUAGES["de"], "in", "minutes")
    assert speech_for(make_customer()) == ENGLISH
    assert speech_for(make_customer(language="tlh")) == ENGLISH
    assert speech_of(None) == ENGLISH


# ---- Whose language a page is in


def page(client: Client, name: str, accept: str = "", **parts: Any) -> tuple[str, Any]:
    headers = {"accept-language": accept} if accept else {}
    response = client.get(reverse(name, kwargs=parts), headers=headers)
    return response.content.decode(), response


def test_a_stranger_reads_the_browsers_language(stranger) -> None:
    for accept, tag, words in (("de-AT,de;q=0.9", "de", "Anmelden"), ("fr", "en-GB", "Sign in")):
        html, response = page(stranger, "login", accept)
        assert f'<html lang="{tag}">' in html
        assert words in html
        assert response.headers["Content-Language"] == tag
        assert "Accept-Language" in response.headers["Vary"]


def test_a_user_chooses_a_language_for_themselves(writer, client_of) -> None:
    browser = client_of(writer)
    html, _ = page(browser, "account")
    assert '<html lang="en-GB">' in html
    assert "as the browser requests" in html
    answer = browser.post(reverse("account"), {"language": "de"}, follow=True)
    html = answer.content.decode()
    assert '<html lang="de">' in html
    assert "Ihr Konto" in html
    assert "Gespeichert." in html
    assert "Annahme" in html, "the label of the role"
    html, response = page(browser, "home", accept="en")
    assert '<html lang="de">' in html, "their choice is before the browser's"
    assert "Accept-Language" not in response.headers.get("Vary", "")
    assert "Aufträge" in html, "the links of the header"
    browser.post(reverse("account"), {"language": "browser"})
    html, _ = page(browser, "account", accept="en")
    assert '<html lang="en-GB">' in html


def test_a_language_that_the_site_lacks_is_refused_and_one_that_went_is_passed_over(
    writer, client_of
) -> None:
    browser = client_of(writer)
    assert browser.post(reverse("account"), {"language": "tlh"}).status_code == 200
    writer.refresh_from_db()
    assert writer.language == ""
    writer.language = "tlh"
    writer.save()
    html, _ = page(browser, "account")
    assert '<html lang="en-GB">' in html


def test_a_customers_page_is_in_their_language_and_not_the_browsers(db) -> None:
    make_shop()
    order = make_order(customer=make_customer(language="de"))
    html, response = page(Client(), "customer_order", accept="en", token=order.token)
    assert '<html lang="de">' in html
    assert "Wir haben Ihren Wunsch" in html
    assert "Behalten Sie die Adresse dieser Seite für sich" in html
    assert response.headers["Content-Language"] == "de"


def test_a_wrong_link_is_said_in_the_visitors_language_and_names_no_page_of_the_staff(db) -> None:
    make_shop(phone="+00 555 0170")
    for accept, words, staff in (
        ("de", "Unbekannter Link", "Aufträge"),
        ("en", "Unknown link", "list of orders"),
    ):
        html, response = page(Client(), "customer_order", accept=accept, token="mistyped")
        assert response.status_code == 404
        assert words in html
        assert "+00 555 0170" in html
        assert staff not in html
    html = Client().get("/c/", headers={"accept-language": "de"}).content.decode()
    assert "Seite nicht gefunden" in html
    assert "Liste der Aufträge" not in html


def test_a_colleague_who_mistypes_is_led_back_to_the_orders(writer, client_of) -> None:
    answer = client_of(writer).get("/no/such/page/")
    assert "start from the list of orders" in answer.content.decode()


def test_what_a_customer_may_not_open_yet_is_refused_in_their_language(db) -> None:
    make_shop()
    order = make_order(customer=make_customer(language="de"))
    html, response = page(Client(), "customer_sheet", accept="en", token=order.token)
    assert response.status_code == 404
    assert "Unbekannter Link" in html


def test_a_letter_is_in_the_customers_language_on_a_page_of_the_staff(writer, client_of) -> None:
    make_shop()
    order = make_order(state=State.QUOTED, customer=make_customer(language="de"))
    make_line(order)
    html, _ = page(client_of(writer), "quote", pk=make_quote(order).pk)
    assert '<html lang="en-GB">' in html
    assert '<article class="quote-paper" lang="de">' in html
    assert "Gesamtbetrag (brutto)" in html
    assert "Not authorised yet." in html


def test_what_changed_since_a_quote_is_headed_in_the_language_of_its_reader(db) -> None:
    make_shop()
    order = make_order(state=State.APPROVED, customer=make_customer(language="de"))
    quote = make_quote(order)
    make_line(order)
    german, english = {"Arbeit oder Teil", "Freigängigkeit"}, {"Work or part", "Clearance"}
    assert {one.title for one in order_differs(order, quote)} == german
    assert {one.title for one in order_differs(order, quote, reader=ENGLISH)} == english
    assert "Work or part" in standing_of(order, []).why_not


# ---- What the shop typed


def test_parts_lines_and_cautions_can_be_given_in_more_than_one_language(db) -> None:
    make_shop()
    order = make_order(customer=make_customer(language="de"))
    part = make_part(name="Top mount", caution="Count the turns.", kind="top mount")
    part.set_text("de", "name", " Domlager ")
    part.set_text("de", "caution", "Umdrehungen zählen.")
    part.save()
    make_line(order, kind="part", part=part, description="Top mount")
    labour = make_line(order, description="Set the camber")
    labour.set_text("de", "description", "Sturz einstellen")
    labour.save()
    make_line(order, description="Wash the car")
    told = [line["description"] for line in frozen_lines(order)]
    assert told == ["Domlager", "Sturz einstellen", "Wash the car"]
    order.installed.create(
        description="Top mount", part=part, corner_or_axle="front", by=make_quote(order).sent_by
    )
    text = " ".join(text_of_pdf(sheet_pdf(order)).split())
    assert "Domlager" in text
    assert "Umdrehungen zählen." in text
    assert "Top mount" not in text
    order.customer = make_customer()
    order.save()
    assert next(line["description"] for line in frozen_lines(order)) == "Top mount"


def test_a_text_that_is_taken_away_leaves_nothing(db) -> None:
    part = make_part(name="Top mount")
    part.set_text("de", "name", "Domlager")
    part.set_text("de", "name", "")
    assert part.texts == {}
    assert part.text_in("de", "name") == "Top mount"


def test_the_form_of_a_part_asks_for_its_other_languages(writer, client_of) -> None:
    part = make_part(name="Top mount", number="T-1", kind="top mount", price=Decimal(265))
    html, _ = page(client_of(writer), "part_edit", pk=part.pk)
    assert 'name="name_de"' in html
    assert 'lang="de"' in html
    assert "Name, in Deutsch" in html
    values = {"number": "T-1", "name": "Top mount", "kind": "top mount", "axle": "any"}
    texts = {"price": "265", "name_de": "Domlager", "caution_de": "Vorsicht."}
    answer = client_of(writer).post(reverse("part_edit", args=[part.pk]), {**values, **texts})
    assert answer.status_code == 302
    part.refresh_from_db()
    assert part.texts == {"de": {"name": "Domlager", "caution": "Vorsicht."}}


def test_lines_ask_for_the_language_of_their_customer_only(writer, client_of) -> None:
    make_shop()
    german = make_order(customer=make_customer(language="de"))
    html, _ = page(client_of(writer), "order_lines", pk=german.pk)
    assert 'name="lines-0-description_de"' in html
    values = {
        "lines-TOTAL_FORMS": "1",
        "lines-INITIAL_FORMS": "0",
        "lines-0-kind": "labour",
        "lines-0-axle": "any",
        "lines-0-description": "Set the camber",
        "lines-0-description_de": "Sturz einstellen",
    }
    answer = client_of(writer).post(reverse("order_lines", args=[german.pk]), values)
    assert answer.status_code == 302
    assert Line.objects.get(order=german).texts == {"de": {"description": "Sturz einstellen"}}
    html, _ = page(client_of(writer), "order_lines", pk=make_order().pk)
    assert "description_de" not in html


def test_a_shop_of_another_language_types_in_its_own(settings, writer, client_of) -> None:
    settings.LANGUAGE_CODE = "de"
    part = make_part()
    html, _ = page(client_of(writer), "part_edit", pk=part.pk)
    assert 'name="name_en_gb"' in html
    assert 'name="name_de"' not in html
    assert make_customer().language == "de"


def test_a_spacer_among_the_wheels_brings_its_caution_without_a_line(db) -> None:
    order = make_ready_order()
    assert not [text for text in cautions_for(job_of(order), CUSTOMER) if "spacer" in text]
    order.order_wheels.update(spacer_mm=15)
    assert [text for text in cautions_for(job_of(order), CUSTOMER) if "With a spacer" in text]
    with translation.override("de"):
        (told,) = [t for t in cautions_for(job_of(order), CUSTOMER) if "Distanzscheibe" in t]
    assert "Einschraubtiefe" in told


INCHES = Speech(LANGUAGES["en"], "in")


@pytest.mark.parametrize(
    ("nm", "said"),
    [(1, "1 (0.7)"), (3.5, "3.5 (2.6)"), (6, "6 (4.4)"), (13.4, "13.4 (9.9)"), (110, "110 (81)")],
)
def test_a_torque_in_pounds_is_within_six_in_a_hundred_of_the_one_meant(
    nm: float, said: str
) -> None:
    assert INCHES.bare_torque(nm) == said
    shown = float(said.partition("(")[2].rstrip(")")) * 1.3558179483
    assert shown == pytest.approx(nm, rel=0.06)


@pytest.mark.parametrize(
    ("km", "said"),
    [(1, "0.5"), (3, "2"), (4, "2.5"), (10, "6"), (50, "30"), (100, "60"), (500, "310"), (0, "0")],
)
def test_a_distance_to_drive_is_a_round_number_of_miles_and_never_none(km: int, said: str) -> None:
    assert INCHES.bare_distance(INCHES.as_said_km(km)) == said


@pytest.mark.parametrize(
    ("mm", "said"),
    [(0.1, "0.004 in"), (0.2, "0.008 in"), (0.3, "0.01 in"), (2.5, "0.10 in"), (5.0, "0.20 in")],
)
def test_a_short_length_in_inches_keeps_digits_that_tell_it_from_none(mm: float, said: str) -> None:
    assert INCHES.length(mm) == said
