"""Rows for tests, each with what it needs and nothing more. Every value can be overridden."""

from __future__ import annotations

import datetime as dt
from decimal import Decimal
from itertools import count
from typing import Any

from django.core.files.uploadedfile import SimpleUploadedFile
from django.utils import timezone

from shop.files.data import Owner
from shop.files.services import file_read, files_add
from shop.models import (
    Arrival,
    Authorisation,
    Bay,
    Booking,
    CarModel,
    ClassRecord,
    ClassRule,
    Customer,
    Deposit,
    Line,
    News,
    NewsKind,
    Package,
    Part,
    PartOrder,
    Quote,
    ShopSettings,
    StoredFile,
    Supplier,
    User,
    Vehicle,
    WorkOrder,
)
from shop.money.services import quote_document
from shop.orders.services.quoted import read_digest
from shop.orders.services.torques import torques_due
from tests.photographs import photograph

_serial = count(1)
PASSWORD = "a long test password"


def make_user(role: str = "technician", **values: Any) -> User:
    n = next(_serial)
    values.setdefault("username", f"{role}{n}")
    values.setdefault("display_name", f"{role.title()} {n}")
    return User.objects.create_user(password=PASSWORD, role=role, **values)


def make_shop(**values: Any) -> ShopSettings:
    """The shop with an hourly rate of 80.00 and 20 % tax."""
    shop = ShopSettings.load()
    defaults = {
        "name": "Test shop",
        "hourly_rate": Decimal("80.00"),
        "tax_rate": Decimal("20.00"),
    }
    for name, value in (defaults | values).items():
        setattr(shop, name, value)
    shop.save()
    return shop


def make_customer(**values: Any) -> Customer:
    values.setdefault("name", f"Customer {next(_serial)}")
    return Customer.objects.create(**values)


def make_car_model(**values: Any) -> CarModel:
    values.setdefault("name", f"Car model {next(_serial)}")
    values.setdefault("bolt_count", 5)
    values.setdefault("bolt_circle_mm", Decimal("116.00"))
    values.setdefault("centre_bore_mm", Decimal("64.50"))
    values.setdefault("thread", "M14×1.5")
    values.setdefault("wheel_nut_torque_nm", Decimal("120.0"))
    return CarModel.objects.create(**values)


def make_vehicle(**values: Any) -> Vehicle:
    """A vehicle with a car model of its own; ``car_model=None`` leaves it without one."""
    if "customer" not in values:
        values["customer"] = make_customer()
    if "car_model" not in values:
        values["car_model"] = make_car_model()
    values.setdefault("description", f"2016 estate {next(_serial)}")
    values.setdefault("mileage_km", 80_000)
    return Vehicle.objects.create(**values)


def make_part(**values: Any) -> Part:
    values.setdefault("number", f"P-{next(_serial)}")
    values.setdefault("name", "Camber top mount")
    values.setdefault("kind", "top mount")
    values.setdefault("price", Decimal("240.00"))
    values.setdefault("axle", "front")
    values.setdefault("moves_wheel", True)
    return Part.objects.create(**values)


def make_class(*rules: dict[str, Any], **values: Any) -> ClassRecord:
    """A class record with the given rules; without any, front camber to −3.0° at most."""
    values.setdefault("name", f"Class {next(_serial)}")
    values.setdefault("season", "2026")
    values.setdefault("source", "rule book of the club")
    values.setdefault("dated", dt.date(2026, 2, 1))
    record = ClassRecord.objects.create(**values)
    for position, rule in enumerate(rules or ({"kind": "camber_most", "limit": -3.0},)):
        rule.setdefault("wording", f"Rule {position + 1}")
        ClassRule.objects.create(record=record, position=position, **rule)
    return record


def make_order(**values: Any) -> WorkOrder:
    """An order in any state, put there directly: no guard is asked and nothing is logged."""
    if "vehicle" not in values:
        own = {"customer": values["customer"]} if "customer" in values else {}
        values["vehicle"] = make_vehicle(**own)
    values.setdefault("customer", values["vehicle"].customer)
    values.setdefault("number", f"T{next(_serial):04d}")
    values.setdefault("request_text", "Wider wheels, and more camber in front")
    return WorkOrder.objects.create(**values)


def make_news(**values: Any) -> News:
    """News that the customer signed."""
    if "order" not in values:
        values["order"] = make_order()
    values.setdefault("kind", NewsKind.SIGNED)
    return News.objects.create(**values)


def make_line(order: WorkOrder, **values: Any) -> Line:
    values.setdefault("description", "Fit and set up")
    values.setdefault("quantity", Decimal("2.00"))
    values.setdefault("unit_price", Decimal("80.00"))
    values.setdefault("tax_rate", Decimal("20.00"))
    return Line.objects.create(order=order, **values)


def make_deposit(order: WorkOrder | None = None, **values: Any) -> Deposit:
    values.setdefault("asked", Decimal("150.00"))
    if "asked_by" not in values:
        values["asked_by"] = make_user("writer")
    return Deposit.objects.create(order=order or make_order(), **values)


def make_package(**values: Any) -> Package:
    """A package with an hour of labour."""
    values.setdefault("name", f"Package {next(_serial)}")
    package = Package.objects.create(**values)
    package.lines.create(description="Fit packers", quantity=Decimal("0.80"))
    return package


def make_quote(order: WorkOrder, **values: Any) -> Quote:
    """A quote frozen from the order's lines, put there directly: no gate is asked."""
    totals = order.totals
    values.setdefault("number", f"{order.number}-{order.quotes.count() + 1}")
    values.setdefault("total", totals.total)
    values.setdefault("currency", "EUR")
    values.setdefault("document", quote_document(order, values["currency"]))
    if "sent_by" not in values:
        values["sent_by"] = make_user("writer")
    return Quote.objects.create(order=order, **values)


def make_file(**values: Any) -> StoredFile:
    """A photograph of a record."""
    values = {"by": make_user(), **values}
    kept = {name: values.pop(name) for name in ("by", "for_customer") if name in values}
    upload = SimpleUploadedFile("wheel.jpg", photograph())
    return files_add(owner=Owner(**values), files=[file_read(upload)], **kept)[0]


def signed_before(order: WorkOrder) -> WorkOrder:
    """The order with its latest quote signed as if nothing had stood against it at that time."""
    quote = order.quotes.latest("sent_at", "pk")
    Authorisation.objects.create(
        quote=quote, name="Ilka B", amount=quote.total, via=Authorisation.Via.LINK
    )
    WorkOrder.objects.filter(pk=order.pk).update(state="approved")
    return WorkOrder.objects.get(pk=order.pk)


def as_read(quote: Quote) -> dict[str, str]:
    """Number and digest of a quote, as the page that showed it sends them back."""
    return {"number": quote.number, "digest": read_digest(quote)}


def sign_torques(order: WorkOrder, by: User) -> None:
    """Sign for everything that is due, put there directly."""
    for due in torques_due(order):
        order.torques.create(
            what=due.what,
            due=due.key,
            position=due.position,
            due_nm=due.torque_nm,
            torque_nm=due.torque_nm or Decimal("110.0"),
            tool="Wrench 2",
            by=by,
        )


def make_bay(**values: Any) -> Bay:
    values.setdefault("name", f"Bay {next(_serial)}")
    return Bay.objects.create(**values)


def tomorrow_at(hour: int, minute: int = 0) -> dt.datetime:
    day = timezone.localdate() + dt.timedelta(days=1)
    return timezone.make_aware(dt.datetime.combine(day, dt.time(hour, minute)))


def make_part_order(order: WorkOrder, **values: Any) -> PartOrder:
    """Two pieces of a part of this order, put on order directly."""
    if "line" not in values:
        part = make_part(moves_wheel=False)
        values["line"] = make_line(
            order, kind="part", part=part, description=part.name, quantity=Decimal(2)
        )
    line = values["line"]
    values.setdefault("part", line.part)
    values.setdefault("description", line.description)
    values.setdefault("quantity", line.quantity)
    return PartOrder.objects.create(order=order, **values)


def make_arrival(part_order: PartOrder, **values: Any) -> Arrival:
    values.setdefault("quantity", Decimal(1))
    values.setdefault("arrived_on", timezone.localdate())
    return Arrival.objects.create(part_order=part_order, **values)


def make_supplier(**values: Any) -> Supplier:
    values.setdefault("name", f"Supplier {Supplier.objects.count() + 1}")
    return Supplier.objects.create(**values)


def make_booking(order: WorkOrder, **values: Any) -> Booking:
    """A block tomorrow from nine to eleven, put there directly."""
    values.setdefault("starts_at", tomorrow_at(9))
    values.setdefault("ends_at", values["starts_at"] + dt.timedelta(hours=2))
    if "bay" not in values:
        values["bay"] = make_bay()
    if "technician" not in values:
        values["technician"] = make_user("technician")
    return Booking.objects.create(order=order, **values)
