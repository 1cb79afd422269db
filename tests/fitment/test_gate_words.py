"""What stands before parts and booking without a clearance check, in the customer's language."""

from __future__ import annotations

import re
from typing import Any

import pytest
from django.urls import reverse

from alignment.models import PlannedSetting
from alignment.text.render import customer
from fitment.clearance.gate import clearance_gate
from fitment.clearance.services import check_run
from fitment.models import OrderWheels
from fitment.text.render import stored_text
from shop.languages import ENGLISH, LANGUAGES, Speech
from shop.models import WorkOrder
from shop.money.services import quote_send
from shop.orders.services.gates import gate_override
from shop.sheet.document import sheet_pdf
from tests.factories import make_customer, make_line, make_order, make_shop, make_user
from tests.fitment.factories import make_ready_order, make_rubbing_order
from tests.pdf import text_of_pdf

pytestmark = pytest.mark.django_db
GERMAN = Speech(LANGUAGES["de"])


def unknown_car() -> WorkOrder:
    order = make_order(moves_wheel_or_height=True)
    order.vehicle.car_model = None
    order.vehicle.save()
    return order


def without(model: Any) -> WorkOrder:
    order = make_ready_order()
    model.objects.filter(order=order).delete()
    return order


def by_other_camber_method() -> WorkOrder:
    order = make_ready_order()
    PlannedSetting.objects.filter(order=order).update(camber_deg=-2.0, camber_by="upper_arm")
    return order


def upset() -> WorkOrder:
    """Checked, and then planned otherwise."""
    order = make_ready_order()
    check_run(order=order, by=make_user("writer"))
    PlannedSetting.objects.filter(order=order).update(toe_deg=0.11)
    return order


CASES = {
    "no car model": (unknown_car, "Ein Fahrzeug dieser Art wurde noch nicht vermessen"),
    "not checked": (make_ready_order, "Die Freigängigkeit ist noch nicht geprüft."),
    "stale": (upset, "Die Freigängigkeitsprüfung ist überholt"),
    "no plan": (
        lambda: without(PlannedSetting),
        "Für die Vorderachse sind Räder gewählt",
    ),
    "no wheels": (lambda: without(OrderWheels), "Einstellungen geplant, aber keine Räder"),
    "other means": (by_other_camber_method, "Ihre Bauart (Federbein) bietet: "),
}


@pytest.mark.parametrize("case", CASES)
def test_every_answer_without_a_check_is_said_in_german(case: str) -> None:
    make, expected = CASES[case]
    answer = clearance_gate(make())
    assert answer.said_to(ENGLISH) == answer.sentence
    german = answer.said_to(GERMAN)
    assert expected in german
    for word in (" the ", "The ", " is ", "checked", "axle", "settings"):
        assert word not in german


@pytest.mark.parametrize("case", ["no car model", "not checked", "no plan"])
def test_the_quote_warns_a_german_customer_in_german(case: str, client: Any, writer: Any) -> None:
    make, expected = CASES[case]
    make_shop()
    order = make()
    order.customer = make_customer(language="de")
    order.save()
    make_line(order)
    quote = quote_send(order=order, by=writer)
    page = client.get(reverse("customer_order", args=[order.token])).content.decode()
    assert expected in quote.gate_warning
    assert all(page.count(line) == 1 for line in quote.gate_warning.splitlines()), "said once"


def test_the_sheet_tells_a_decision_in_the_words_of_its_day() -> None:
    order = unknown_car()
    order.customer = make_customer(language="de")
    order.save()
    digest = clearance_gate(order).digest
    manager = make_user("manager", display_name="Ines Mortlake")
    override = gate_override(order=order, by=manager, reason="Alles gemessen", digest=digest)
    assert override.sentence.startswith("No car of this kind")
    told = " ".join(text_of_pdf(sheet_pdf(order)).split())
    assert "Ergebnis der Prüfung: Ein Fahrzeug dieser Art wurde noch nicht vermessen" in told
    assert "Übergangen von Ines Mortlake" in told
    assert "No car of this kind" not in told


def test_a_decision_keeps_what_the_customer_reads_beside_the_record() -> None:
    order = make_rubbing_order()
    manager = make_user("manager")
    check_run(order=order, by=manager)
    digest = clearance_gate(order).digest
    override = gate_override(order=order, by=manager, reason="The lip is rolled", digest=digest)
    check = order.clearance_checks.get()
    assert override.sentence == str(stored_text(check))
    assert override.said == str(stored_text(check, customer(ENGLISH)))
    # Whole millimetres; the record has tenths.
    assert re.search(r"\b\d+ ± \d+ mm", override.said)
    assert re.search(r"\d\.\d ± \d+\.\d mm", override.sentence)


def test_an_english_customer_in_millimetres_reads_the_record_itself() -> None:
    order = unknown_car()
    manager, digest = make_user("manager"), clearance_gate(order).digest
    override = gate_override(order=order, by=manager, reason="All measured", digest=digest)
    assert override.said == ""
