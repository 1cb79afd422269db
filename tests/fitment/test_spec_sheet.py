"""The whole spec sheet: two languages, two sizes of paper, tags, length, time, and one override."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from typing import TYPE_CHECKING, Any

import pytest
from django.urls import reverse

from alignment.models import AdjusterPosition
from alignment.targets.services import target_take
from alignment.text.render import customer
from fitment.clearance.gate import clearance_gate
from fitment.clearance.services import check_run
from fitment.engine import checkfile
from fitment.engine.check import run
from fitment.text.render import stored_text
from shop.languages import ENGLISH, LANGUAGES, Speech
from shop.models import Authorisation, Customer, WorkOrder
from shop.orders.services.gates import gate_override
from shop.sheet.document import customer_address, sheet_pdf
from tests.alignment.factories import make_target, make_visit
from tests.budget import share_of
from tests.factories import (
    as_read,
    make_class,
    make_customer,
    make_line,
    make_part,
    make_quote,
    make_shop,
    make_user,
    sign_torques,
)
from tests.fitment.factories import make_ready_order, make_rubbing_order
from tests.pdf import reader_of

if TYPE_CHECKING:
    from pypdf import PdfReader


pytestmark = pytest.mark.django_db

Orders = Callable[..., WorkOrder]
GERMAN, INCHES = Speech(LANGUAGES["de"]), Speech(LANGUAGES["en"], "in", "minutes")
BEFORE = {("LF", "camber"): "-0.75", ("RF", "camber"): "-0.50", ("LF", "toe"): "0.12"}
AFTER = {
    ("LF", "camber"): "-2.35",
    ("RF", "camber"): "-2.05",
    ("LF", "caster"): "6.5",
    ("RF", "caster"): "6.4",
    ("LF", "sai"): "13.6",
    ("RF", "sai"): "13.55",
    ("LF", "toe"): "0.06",
    ("RF", "toe"): "0.05",
    ("LR", "camber"): "-1.7",
    ("RR", "camber"): "-1.6",
    ("LR", "toe"): "0.11",
    ("RR", "toe"): "0.10",
    ("LF", "ride_height"): "346",
    ("RF", "ride_height"): "345",
}


@pytest.fixture(scope="module")
def order_with_everything(lasting: Any) -> int:
    with lasting():
        return make_full_order().pk


@pytest.fixture
def full_order(order_with_everything: int, db: None) -> Orders:
    """``full_order(language="de")``: an order with everything, for a customer who reads so."""

    def order_for(**customer: Any) -> WorkOrder:
        order = WorkOrder.objects.get(pk=order_with_everything)
        Customer.objects.filter(pk=order.customer_id).update(**customer)
        return order

    return order_for


def make_full_order() -> WorkOrder:
    """An order with everything that a sheet can show."""
    make_shop(name="Lindgrove Chassis Works", address="7 Weighbridge Yard", phone="+00 555 0170")
    order = make_ready_order(axles="front rear", use="autocross")
    order.customer = make_customer(name="Ilka Brandvold")
    order.class_record = make_class(name="Club street", source="club book")
    order.mileage_km, order.state = 61_400, "road_test"
    order.save()
    technician, writer = make_user("technician"), make_user("writer")
    figures = {("front", "camber"): (-2.4, 0.1), ("front", "toe"): (0.05, 0.03)}
    sheet = make_target(figures, car_model=order.vehicle.car_model, source="two seasons")
    target_take(order=order, sheet=sheet, by=writer)
    conditions = {"technician": technician, "tyre_pressure": "2.4 bar", "accuracy_deg": 0.03}
    make_visit(order, BEFORE, stage="before", rack_name="North", **conditions)
    after = make_visit(
        order,
        AFTER,
        stage="after",
        rack_name="North",
        steering_ahead=True,
        steering_ratio=15.0,
        mileage_km=61_412,
        **conditions,
    )
    AdjusterPosition.objects.create(
        visit=after, corner="LF", adjuster="toe_link_mm", typed="2 marks", value=2, unit="marks"
    )
    part = make_part(name="Coilover set", kind="spring", torque_nm=62)
    make_line(order, kind="part", part=part, description="Coilover set", axle="front")
    order.installed.create(
        line=order.lines.get(description="Coilover set"),
        description="Coilover set",
        part=part,
        serial="N31",
        corner_or_axle="car",
        by=technician,
    )
    order.torques.create(what="Wheel nuts or bolts", torque_nm=110, tool="Wrench 2", by=technician)
    test = order.road_tests.create(by=technician, lock_left="quiet", lock_right="quiet")
    test.marks.create(corner="LF", place="arch lip", gap_mm=7.4)
    quote = make_quote(order)
    Authorisation.objects.create(quote=quote, name="Ilka Brandvold", amount=quote.total, via="link")
    check_run(order=order, by=technician)
    return order


def read(order: WorkOrder) -> tuple[PdfReader, str]:
    reader = reader_of(sheet_pdf(order))
    text = " ".join(" ".join(page.extract_text() for page in reader.pages).split())
    return reader, text


EVERYTHING = {
    "en": (
        "Spec sheet",
        "Settings and readings",
        "Planned. Front: camber −2.40° by the top mount",
        "Target: the shop's own targets for street, version 1, two seasons, as of 1 March 2026.",
        "rack North, good for ±0.03°",
        "tyre pressures 2.4 bar",
        "−2.35 −2.40 +0.05",
        "0.25 out",
        "Thrust angle, rear",
        "Included angle, front, ° – +11.25 – +11.50",
        "Scrub, front, m/km – 1.0",
        "Steering wheel turned, ° – −0.07",
        "plus is to the right",
        "where they stood before → where they were left",
        "2 marks",
        "Clearance of the wheels",
        "arch lip",
        "hub face",
        "Wheels and tyres",
        "Parts installed",
        "N31",
        "Torque record",
        "Wrench 2",
        "Road test",
        "full lock left: no contact".capitalize(),
        "Class rules",
        "planned −2.40°; the limit is −3.00°",
        "Cautions",
        "headlamps",
        "Ilka Brandvold authorised quote",
        "Have the wheel nuts or bolts retorqued after 50 to 100 km, at 61 450 to 61 500 km.",
        "Next check",
        "For the workshop: name, date",
        "Page 1 of 2",
    ),
    "de": (
        "Datenblatt",
        "Einstellung und Messwerte",
        "Geplant. Vorn: Sturz −2,40° über das Domlager",
        "Ziel: Zielwerte der Werkstatt für Straße, Fassung 1, two seasons, Stand 1. März 2026.",
        "Messstand North, genau auf ±0,03°",
        "−2,35 −2,40 +0,05",
        "0,25 außerhalb",
        "Fahrachswinkel, hinten",
        "Spreizung und Sturz, vorn",
        "Radieren, vorn, m/km – 1,0",
        "2 Striche",
        "Freigängigkeit der Räder",
        "Radlaufkante",
        "Anlagefläche",
        "Räder und Reifen",
        "Eingebaute Teile",
        "Drehmomente",
        "Radmuttern",
        "Probefahrt",
        "Klassenreglement",
        "geplant −2,40°; die Grenze ist −3,00°",
        "Hinweise",
        "Scheinwerfer",
        "hat das Angebot",
        "Lassen Sie die Radmuttern oder Radschrauben nach 50 bis 100 km nachziehen",
        "Für die Werkstatt: Name, Datum",
        "Seite 1 von 2",
    ),
}


@pytest.mark.parametrize("size", ["a4", "letter"])
@pytest.mark.parametrize("language", ["en", "de"])
def test_the_sheet_is_whole_in_every_language_on_every_paper(
    full_order: Orders, language: str, size: str
) -> None:
    order = full_order(language=language)
    make_shop(sheet_size=size)
    reader, text = read(order)
    for words in EVERYTHING[language]:
        assert words in text, words
    assert reader.trailer["/Root"]["/Lang"] == LANGUAGES[language].tag
    width, height = (float(side) for side in reader.pages[0].mediabox[2:])
    assert (round(width), round(height)) == {"a4": (595, 842), "letter": (612, 792)}[size]
    assert len(reader.pages) <= 2


def test_a_german_sheet_has_no_english_of_ours_left(full_order: Orders) -> None:
    order = full_order(language="de")
    order.request_text = ""  # the customer's own words stay as they are
    _, text = read(order)
    for word in ("Camber", "camber", "Toe", "Front", "Before", "clear", "Order", "Page", " the "):
        assert word not in text, word


def test_inches_and_minutes_for_those_who_ask_for_them(full_order: Orders) -> None:
    _, text = read(full_order(units="in", angles="minutes"))
    assert "−2°21′ −2°24′ +0°03′" in text
    assert "13.62" in text
    assert re.search(r"arch lip [+]\d\.\d\d clear", text.replace("arch liparch lip", "arch lip"))
    assert "lowered by 0.59 in" in text
    assert "Numbers are gaps in inches" in text
    assert not re.search(r"\d mm (into|of)", text)
    # 61 400 km, 61 412 km and a scale bar of 4 in; 110 N·m are 81 lb·ft.
    assert "Mileage 38 152 mi" in text
    assert "38 160 mi" in text
    assert "110 (81)" in text
    assert "Tightened to, N·m (lb·ft)" in text
    assert "4 in" in text
    assert "after 30 to 60 mi, at 38 182 to 38 212 mi." in text
    assert "after 620 mi, at 38 772 mi." in text
    assert "ft/mi" in text
    assert not re.search(r"\d (mm|km|m/km)\b", text)


def test_curves_have_their_axes_in_inches_too(full_order: Orders) -> None:
    order = full_order(units="in")
    order.curves_on_sheet = True
    _, text = read(order)
    assert "travel from ride height, inches (+ bump)" in text
    assert not re.search(r"\d mm\b", text)


def test_what_the_readings_do_not_tell_has_no_row(full_order: Orders) -> None:
    order = full_order()
    order.rack_visits.update(steering_ahead=False)
    order.rack_visits.filter(stage="after").get().readings.filter(quantity="sai").delete()
    _, text = read(order)
    for words in ("Steering wheel turned", "Front wheels point", "Included angle", "Setback"):
        assert words not in text
    assert "Scrub, rear" in text


def test_curves_are_printed_where_they_were_asked_for(full_order: Orders) -> None:
    order = full_order()
    assert "over travel, before and after" not in read(order)[1]
    order.curves_on_sheet = True
    reader, text = read(order)
    assert "Camber and toe over travel, before and after" in text
    assert "ride height" in text
    assert len(reader.pages) <= 2


def test_the_tick_at_hand_over_asks_for_the_curves(
    full_order: Orders, client_of: Any, technician: Any
) -> None:
    order = full_order()
    browser = client_of(technician)
    url = reverse("hand_over", args=[order.pk])
    assert "camber and toe curves" in browser.get(url).content.decode()
    sign_torques(order, technician)
    browser.post(url, {"reason": "", "curves": "on"})
    order.refresh_from_db()
    assert order.state == "handed_over"
    assert order.curves_on_sheet


def nodes(node: Any) -> Iterator[Any]:
    node = node.get_object()
    if node.get("/Type") == "/StructElem":
        yield node
    kids = node.get("/K", [])
    for kid in kids if isinstance(kids, list) else [kids]:
        if kid.get_object().get("/Type") == "/StructElem":
            yield from nodes(kid)


@pytest.mark.parametrize("language", ["en", "de"])
def test_a_screen_reader_finds_heads_of_rows_and_columns_and_what_is_drawn(
    full_order: Orders, language: str
) -> None:
    reader, _ = read(full_order(language=language))
    root = reader.trailer["/Root"]
    found = list(nodes(root["/StructTreeRoot"]))
    roles = [node["/S"] for node in found]
    assert root["/MarkInfo"]["/Marked"].value is True
    assert roles[:2] == ["/Document", "/P"]
    assert roles.count("/H1") == 1
    assert roles.count("/H2") >= 9
    scopes = {str(node["/A"]["/Scope"]) for node in found if node["/S"] == "/TH"}
    assert scopes == {"/Column", "/Row"}
    alts = [str(node["/Alt"]) for node in found if node["/S"] == "/Figure"]
    assert len(alts) == 4  # the code, two sections, and the corner that decides from the side
    section = {"en": "Section through wheel and tyre", "de": "Schnitt durch Rad und Reifen"}
    assert sum(alt.startswith(section[language]) for alt in alts) == 2
    assert any("QR" in alt for alt in alts)
    for page in reader.pages:
        stream = page.get_contents().get_data()
        marks = [int(mark) for mark in re.findall(rb"/MCID (\d+)>> BDC", stream)]
        assert marks == list(range(len(marks)))
        begun = len(re.findall(rb"\b(?:BDC|BMC)\b", stream))
        assert begun == len(re.findall(rb"\bEMC\b", stream))


def test_a_decision_in_spite_of_the_check_is_printed_once() -> None:
    order = make_rubbing_order()
    manager = make_user("manager", display_name="Ines Mortlake")
    check_run(order=order, by=manager)
    digest = clearance_gate(order).digest
    gate_override(order=order, by=manager, reason="The lip is rolled first", digest=digest)
    _, text = read(order)
    assert text.count("The lip is rolled first") == 1
    assert text.count("Overridden by Ines Mortlake on") == 1


def test_the_code_opens_the_customers_page(settings: Any) -> None:
    settings.SITE_URL = "https://shop.example"
    order = make_rubbing_order()
    assert customer_address(order) == f"https://shop.example/c/{order.token}/"


def test_a_sheet_takes_no_longer_than_three_checks_of_what_it_prints(full_order: Orders) -> None:
    order = full_order(language="de")
    question = checkfile.parse(order.clearance_checks.get().inputs)
    share = share_of(lambda: run(question), lambda: sheet_pdf(order))
    assert share < 3.0  # 1.2 when it was written


# ---- what the check says


@pytest.mark.parametrize("speech", [ENGLISH, GERMAN, INCHES])
def test_the_sheet_says_what_the_check_says_to_its_customer(speech: Speech) -> None:
    order = make_rubbing_order()
    order.customer = make_customer(
        language=speech.language.code, units=speech.lengths, angles=speech.angles
    )
    order.save()
    check = check_run(order=order, by=make_user("writer"))
    _, text = read(order)
    assert str(stored_text(check, customer(speech))) in text


def test_a_customer_of_another_language_reads_the_warning_and_signs_the_record(
    client: Any, writer: Any
) -> None:
    from shop.money.services import quote_send

    make_shop()
    order = make_rubbing_order()
    order.customer = make_customer(language="de")
    order.save()
    make_line(order)
    check = check_run(order=order, by=writer)
    quote = quote_send(order=order, by=writer)
    page = client.get(reverse("customer_order", args=[order.token])).content.decode()
    assert '<html lang="de">' in page
    warning = stored_text(check, customer(GERMAN))
    assert str(warning) in quote.gate_warning
    assert page.count(warning.headline) == 2, "on the letter, and beside the check itself"
    assert "Ich habe die Warnung oben gelesen" in page
    send = reverse("customer_authorise", args=[order.token])
    values = as_read(quote) | {"name": "", "agree": "on"}
    refused = client.post(send, values).content.decode()
    assert "Bitte geben Sie Ihren vollständigen Namen ein." in refused
    values["name"] = "Ilka Brandvold"
    refused = client.post(send, values).content.decode()
    assert "Bitte kreuzen Sie an, dass Sie die Warnung" in refused
    assert client.post(send, {**values, "signed_warning": "on"}).status_code == 302
    signed = Authorisation.objects.get(quote=quote)
    assert signed.signed_sentence == quote.gate_warning


def test_without_an_address_of_the_site_there_is_no_code(settings: Any) -> None:
    settings.SITE_URL = ""
    reader, text = read(make_rubbing_order())
    assert "Your page" not in text
    found = nodes(reader.trailer["/Root"]["/StructTreeRoot"])
    assert not [node for node in found if node["/S"] == "/Figure"]
