"""Deposits, packages, prices with tax and the shop's settings, as people type them."""

from decimal import Decimal
from typing import Any

import pytest
from django.urls import reverse

from shop.models import Deposit, Line, LogEntry, Package, ShopSettings
from tests.factories import make_line, make_order, make_package, make_part, make_shop

pytestmark = pytest.mark.django_db

ROW = {"lines-TOTAL_FORMS": "1", "lines-INITIAL_FORMS": "0"}


def test_a_deposit_is_asked_and_its_receipt_noted_with_who_when_and_how(
    writer: Any, client_of: Any
) -> None:
    make_shop()
    order, desk = make_order(), client_of(writer)
    desk.post(reverse("deposit_new", args=[order.pk]), {"asked": "1.250,00 €"})
    one = Deposit.objects.get()
    assert (one.asked, one.asked_by, one.received) == (Decimal("1250.00"), writer, None)
    url = reverse("deposit_edit", args=[one.pk])
    wrong = desk.post(url, {"asked": "1250.00", "received": "EUR 1 250,00"})
    assert wrong.status_code == 200
    page = wrong.content.decode()
    assert 'id="id_received_on_error"' in page
    assert 'id="id_received_how_error"' in page
    assert 'value="EUR 1 250,00"' in page
    assert Deposit.objects.get().received is None
    told = {"asked": "1250.00", "received": "1250", "received_on": "2026-11-03"}
    desk.post(url, told | {"received_how": "card", "note": "Terminal 2"})
    one = Deposit.objects.get()
    assert (one.received, one.received_how, one.received_by) == (Decimal(1250), "card", writer)
    assert 'data-test="deposits"' in desk.get(order.get_absolute_url()).content.decode()
    assert LogEntry.objects.filter(order=order, what__contains="1250").count() == 2


def test_a_package_is_kept_with_its_lines_and_edited(writer: Any, client_of: Any) -> None:
    desk, part = client_of(writer), make_part(name="Packer")
    data = ROW | {
        "lines-TOTAL_FORMS": "2",
        "name": "Rear packers, both sides",
        "planned": "packer",
        "in_use": "on",
        "lines-0-kind": "part",
        "lines-0-part": part.pk,
        "lines-0-quantity": "2",
        "lines-1-kind": "labour",
        "lines-1-description": "Fit packers",
        "lines-1-quantity": "0,8 h",
    }
    assert desk.post(reverse("package_new"), data).status_code == 302
    package = Package.objects.get()
    assert [(line.kind, line.quantity) for line in package.lines.all()] == [
        ("part", Decimal(2)),
        ("labour", Decimal("0.80")),
    ]
    wrong = desk.post(reverse("package_new"), data | {"name": "Other", "lines-1-quantity": "19 %"})
    assert "lines-1-quantity_error" in wrong.content.decode()
    assert 'value="19 %"' in wrong.content.decode()
    assert Package.objects.count() == 1
    assert "Fit packers" in desk.get(reverse("package_list")).content.decode()


def test_a_package_without_anything_to_match_is_added_by_hand(writer: Any, client_of: Any) -> None:
    make_shop()
    order, package = make_order(), make_package(name="Winter wheels on")
    data = ROW | {"lines-TOTAL_FORMS": "0", "package": package.pk, "add_package": "yes"}
    client_of(writer).post(reverse("order_lines", args=[order.pk]), data)
    line = order.lines.get()
    assert (line.description, line.quantity) == ("Fit packers", Decimal("0.80"))
    assert line.unit_price == Decimal("80.00")


def test_prices_with_tax_hold_for_new_lines_and_leave_old_ones(writer: Any, client_of: Any) -> None:
    make_shop(tax_rate=Decimal(19), prices_with_tax=True)
    order, desk = make_order(), client_of(writer)
    old = make_line(order, quantity=Decimal(1), unit_price=Decimal("100.00"))
    new = {
        "lines-TOTAL_FORMS": "2",
        "lines-INITIAL_FORMS": "1",
        "lines-0-id": old.pk,
        "lines-0-kind": "labour",
        "lines-0-description": "Fit and set up",
        "lines-0-axle": "any",
        "lines-0-quantity": "1",
        "lines-0-unit_price": "100.00",
        "lines-0-tax_rate": "20",
        "lines-1-kind": "labour",
        "lines-1-description": "Wash",
        "lines-1-axle": "any",
        "lines-1-quantity": "1",
        "lines-1-unit_price": "119,00 €",
    }
    url = reverse("order_lines", args=[order.pk])
    assert desk.post(url, new).status_code == 302
    assert list(Line.objects.values_list("with_tax", "tax_rate")) == [
        (False, Decimal("20.00")),
        (True, Decimal("19.00")),
    ]
    totals = order.totals
    assert (totals.net, totals.tax, totals.total) == (
        Decimal("200.00"),
        Decimal("39.00"),
        Decimal("239.00"),
    )
    assert [(share.rate, share.net) for share in totals.shares] == [
        (Decimal("20.00"), Decimal("100.00")),
        (Decimal("19.00"), Decimal("100.00")),
    ]
    assert 'data-test="mixed-tax"' in desk.get(url).content.decode()


@pytest.mark.parametrize(
    ("sent", "field"),
    [
        ({"hourly_rate": "1.250"}, "hourly_rate"),
        ({"hourly_rate": "92,50 $"}, "hourly_rate"),
        ({"tax_rate": "19 h"}, "tax_rate"),
    ],
)
def test_the_settings_read_what_is_typed_or_say_why_not(
    manager: Any, client_of: Any, sent: dict[str, str], field: str
) -> None:
    make_shop()
    desk, url = client_of(manager), reverse("shop_settings")
    page = desk.get(url).context["form"]
    data = {name: page[name].value() for name in page.fields if page[name].value() is not None}
    data["prices_with_tax"] = ""
    good = data | {"hourly_rate": "92,50 €", "tax_rate": "19 %"}
    assert desk.post(url, good).status_code == 302
    shop = ShopSettings.load()
    assert (shop.hourly_rate, shop.tax_rate) == (Decimal("92.50"), Decimal(19))
    answer = desk.post(url, good | sent)
    assert answer.status_code == 200
    assert answer.context["form"].errors.keys() == {field}
    assert next(iter(sent.values())) in answer.content.decode()
    other = desk.post(url, good | {"currency": "CHF", "hourly_rate": "CHF 90"})
    assert other.status_code == 302
