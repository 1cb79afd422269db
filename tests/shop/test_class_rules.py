"""Class rules: each kind passes, fails or cannot be judged, and the customer is told."""

from __future__ import annotations

from typing import Any

import pytest
from django.urls import reverse

from common.verdicts import Outcome
from fitment.models import OrderWheels
from shop.models import ClassRecord, Quote
from shop.money.services import quote_send
from shop.orders.services.class_rules import findings_sentence, rules_judged
from tests.alignment.factories import make_plan, make_visit
from tests.factories import (
    make_class,
    make_customer,
    make_line,
    make_order,
    make_part,
    make_shop,
    make_vehicle,
)
from tests.fitment.factories import make_tyre, make_wheel

pytestmark = pytest.mark.django_db


def plan(**values: Any) -> Any:
    return lambda order: make_plan(order, **values)


def wheels(width: float, size: str = "225/40R18", spacer: float = 0.0) -> Any:
    def choose(order: Any) -> None:
        OrderWheels.objects.create(
            order=order,
            axle="front",
            wheel=make_wheel(width_in=width),
            tyre=make_tyre(size=size),
            spacer_mm=spacer,
        )

    return choose


def part(**values: Any) -> Any:
    def write(order: Any) -> None:
        made = make_part(**values)
        make_line(order, kind="part", part=made, description=made.name, axle=made.axle)

    return write


def heights(stage: str, typed: str) -> Any:
    return lambda order: make_visit(
        order, {("LF", "ride_height"): typed, ("RF", "ride_height"): "360"}, stage=stage
    )


def nothing(order: Any) -> None:
    """An order as it is opened."""


CAMBER = {"kind": "camber_most", "limit": -2.0}
TABLE = [
    (CAMBER, plan(camber_deg=-1.9), Outcome.PASSES),
    (CAMBER, plan(camber_deg=-2.0), Outcome.PASSES),
    (CAMBER, plan(camber_deg=-2.1), Outcome.FAILS),
    ({**CAMBER, "limit": 2.0}, plan(camber_deg=-2.1), Outcome.FAILS),
    ({**CAMBER, "axle": "rear"}, plan(camber_deg=-2.1), Outcome.CANNOT_SAY),
    (CAMBER, plan(camber_deg=None), Outcome.CANNOT_SAY),
    (CAMBER, nothing, Outcome.CANNOT_SAY),
    (
        {"kind": "lowered_most", "limit": 30},
        plan(adjusters={"ride_height_mm": -30}),
        Outcome.PASSES,
    ),
    ({"kind": "lowered_most", "limit": 30}, plan(adjusters={"ride_height_mm": -31}), Outcome.FAILS),
    ({"kind": "lowered_most", "limit": 30}, plan(), Outcome.PASSES),
    ({"kind": "lowered_most", "limit": 30}, nothing, Outcome.CANNOT_SAY),
    ({"kind": "height_least", "limit": 345}, heights("after", "345"), Outcome.PASSES),
    ({"kind": "height_least", "limit": 345}, heights("after", "344"), Outcome.FAILS),
    ({"kind": "height_least", "limit": 345}, nothing, Outcome.CANNOT_SAY),
    ({"kind": "wheel_width_most", "limit": 8.5}, wheels(8.5), Outcome.PASSES),
    ({"kind": "wheel_width_most", "limit": 8.5}, wheels(9), Outcome.FAILS),
    ({"kind": "wheel_width_most", "limit": 8.5}, nothing, Outcome.CANNOT_SAY),
    ({"kind": "wheel_width_most", "limit": 8.5, "axle": "rear"}, wheels(9), Outcome.CANNOT_SAY),
    ({"kind": "wheel_diameter_most", "limit": 18}, wheels(8), Outcome.PASSES),
    ({"kind": "wheel_diameter_most", "limit": 17}, wheels(8), Outcome.FAILS),
    ({"kind": "tyre_width_most", "limit": 225}, wheels(8), Outcome.PASSES),
    ({"kind": "tyre_width_most", "limit": 215}, wheels(8), Outcome.FAILS),
    ({"kind": "tyre_width_most", "limit": 215}, wheels(8, "27x9 R18"), Outcome.CANNOT_SAY),
    (
        {"kind": "adjuster_barred", "item": "top_mount_in_mm"},
        plan(camber_by="top_mount"),
        Outcome.FAILS,
    ),
    (
        {"kind": "adjuster_barred", "item": "top_mount_in_mm"},
        plan(camber_by="lower_arm"),
        Outcome.PASSES,
    ),
    (
        {"kind": "adjuster_barred", "item": "top_mount_in_mm"},
        part(adjuster="top_mount_in_mm", kind="top mount"),
        Outcome.FAILS,
    ),
    ({"kind": "part_barred", "item": "coilover"}, part(kind="coilover"), Outcome.FAILS),
    ({"kind": "part_barred", "item": "coilover"}, part(kind="brake"), Outcome.PASSES),
    ({"kind": "part_barred", "item": "spacer"}, wheels(8, spacer=5), Outcome.FAILS),
    ({"kind": "part_barred", "item": "spacer"}, wheels(8), Outcome.PASSES),
    (
        {"kind": "part_barred", "item": "coilover", "axle": "rear"},
        part(kind="coilover", axle="front"),
        Outcome.PASSES,
    ),
]


@pytest.mark.parametrize(("rule", "job", "result"), TABLE)
def test_a_rule_is_held_against_plan_wheels_and_parts(rule: dict, job: Any, result: str) -> None:
    order = make_order(class_record=make_class(dict(rule)))
    job(order)
    (finding,) = rules_judged(order)
    assert finding.result == result, finding
    assert finding.reason


def test_a_part_that_is_not_on_the_list_leaves_its_kind_open() -> None:
    order = make_order(class_record=make_class({"kind": "part_barred", "item": "arm"}))
    make_line(order, kind="part", description="Arm from the customer")
    (finding,) = rules_judged(order)
    assert finding.result == Outcome.CANNOT_SAY
    assert "Arm from the customer" in finding.reason


def test_a_height_that_is_still_to_change_is_not_known() -> None:
    order = make_order(class_record=make_class({"kind": "height_least", "limit": 345}))
    make_plan(order, adjusters={"ride_height_mm": -20})
    heights("before", "370")(order)
    assert rules_judged(order)[0].result == Outcome.CANNOT_SAY


def test_an_order_without_a_record_is_not_judged() -> None:
    assert rules_judged(make_order(class_rules="the club's class")) == []


def racing(**customer: Any) -> Any:
    make_shop()
    record = make_class(
        {"kind": "camber_most", "limit": -2.0, "wording": "At most 2° of camber"},
        {"kind": "wheel_width_most", "limit": 8.5, "wording": "Rims up to 8.5 in"},
        name="Club street",
    )
    owner = make_customer(**customer)
    order = make_order(vehicle=make_vehicle(customer=owner), class_record=record)
    make_plan(order)
    make_line(order)
    return order


def test_the_findings_are_counted_in_a_sentence() -> None:
    order = racing()
    record = ClassRecord.objects.get()
    said = findings_sentence(record, rules_judged(order))
    assert "this job fails 1 of 2 rules; 1 cannot be checked" in said
    assert "rule book of the club, as of 1 February 2026" in said
    order.planned_settings.update(camber_deg=-1.0)
    assert "no rule fails, but 1 of 2" in findings_sentence(record, rules_judged(order))
    wheels(8)(order)
    assert "passes all 2 rules" in findings_sentence(record, rules_judged(order))


def test_the_order_and_the_quote_show_each_rule_and_the_caution(
    client_of: Any, writer: Any
) -> None:
    order = racing()
    browser = client_of(writer)
    for url in (order.get_absolute_url(), reverse("quote_send", args=[order.pk])):
        page = browser.get(url).content.decode()
        assert "At most 2° of camber" in page
        assert "planned −2.40°; the limit is −2.00°" in page
        assert "You told us that the car competes under Club street 2026" in page


def test_a_quote_freezes_what_was_found_in_the_customers_language(client: Any, writer: Any) -> None:
    order = racing(language="de")
    quote = quote_send(order=order, by=writer)
    assert "Verletzt: 1 von 2 Regeln" in quote.document["class_rules_said"]
    assert quote.document["class_findings"][0]["result"] == Outcome.FAILS
    order.planned_settings.update(camber_deg=-1.0)
    page = client.get(reverse("customer_order", args=[order.token])).content.decode()
    assert "geplant −2,40°; die Grenze ist −2,00°" in page
    assert "nicht erfüllt" in page
    assert "Sie sagten uns" in Quote.objects.get().class_caution


def test_a_class_is_written_down_with_its_rules(client_of: Any, writer: Any) -> None:
    browser = client_of(writer)
    values = {
        "name": "Hill climb",
        "season": "2026",
        "source": "rule book",
        "dated": "2026-01-05",
        "rules-TOTAL_FORMS": "3",
        "rules-INITIAL_FORMS": "0",
        "rules-0-kind": "camber_most",
        "rules-0-axle": "any",
        "rules-0-limit": "-2,4",
        "rules-0-wording": "Camber up to 2.4°",
        "rules-1-kind": "part_barred",
        "rules-1-axle": "any",
        "rules-1-part": "spacer",
        "rules-1-wording": "No spacers",
        "rules-2-kind": "",
        "rules-2-axle": "any",
        "rules-2-wording": "",
    }
    answer = browser.post(reverse("class_new"), values)
    record = ClassRecord.objects.get()
    assert answer.url == record.get_absolute_url()
    camber, spacer = record.rules.all()
    assert (camber.limit, spacer.item) == (-2.4, "spacer")
    wrong = {**values, "name": "Other", "rules-0-limit": "", "rules-1-part": ""}
    answer = browser.post(reverse("class_new"), wrong)
    page = answer.content.decode()
    assert answer.status_code == 422
    assert "Enter the limit." in page
    assert "Choose what is barred." in page
