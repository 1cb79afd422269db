"""The invented shop of the demonstration: people, cars, parts and orders in every state.

``build(stage)`` puts all that the other apps need into ``stage`` by name: ``users``, ``bays``,
``customers``, ``patterns``, ``vehicles``, ``parts`` and ``orders``. Rows in later states are put
there directly, with the log that they would have.
"""

from __future__ import annotations

import datetime as dt
from decimal import Decimal
from typing import Any

from django.utils import timezone

from shop.models import (
    Authorisation,
    Bay,
    Booking,
    Comeback,
    ContactMark,
    Customer,
    InstalledPart,
    Line,
    LogEntry,
    Market,
    OrderKind,
    Part,
    Pattern,
    Quote,
    RoadTest,
    Role,
    ShopSettings,
    State,
    TorqueSign,
    Use,
    User,
    Vehicle,
    WaitingFor,
    WorkOrder,
)
from shop.money import totals_of
from shop.services.orders import order_number_next
from shop.services.quotes import frozen_lines
from shop.torques import torques_due
from shop.vin import vin_check_digit

Stage = dict[str, Any]


def build(stage: Stage) -> None:
    """Fill an empty site; see the module for what ``stage`` holds afterwards."""
    _shop()
    stage["users"] = _users(stage["password"])
    stage["bays"] = _bays()
    stage["customers"] = _customers()
    stage["patterns"] = _patterns()
    stage["vehicles"] = _vehicles(stage["customers"], stage["patterns"])
    stage["parts"] = _parts()
    stage["orders"] = {}
    _story(stage)
    _handed_over(stage)
    _comeback(stage)
    _unmeasured(stage)
    _survey_visit(stage)
    _waiting_for_parts(stage)
    _on_the_lift(stage)
    _brakes(stage)


def invented_vin(serial: int) -> str:
    """A number that no maker has, with a check digit that is right."""
    blank = f"ZZZDEM000{serial:08d}"
    return f"{blank[:8]}{vin_check_digit(blank)}{blank[9:]}"


def _at(days: int, hour: int, minute: int = 0) -> dt.datetime:
    """A time of day so many days from today, in the shop's zone."""
    day = timezone.localdate() + dt.timedelta(days=days)
    return timezone.make_aware(dt.datetime.combine(day, dt.time(hour, minute)))


def _shop() -> ShopSettings:
    shop = ShopSettings.load()
    shop.name = "Lindgrove Chassis Works"
    shop.address = "7 Weighbridge Yard\nLindgrove"
    shop.phone = "+00 555 0170"
    shop.email = "desk@lindgrove.example"
    shop.hourly_rate = Decimal("96.00")
    shop.tax_rate = Decimal("20.00")
    shop.save()
    return shop


def _users(password: str) -> dict[str, User]:
    people = {
        "writer": ("Oda Fenwick", Role.WRITER),
        "technician": ("Tarek Holm", Role.TECHNICIAN),
        "manager": ("Ines Mortlake", Role.MANAGER),
    }
    users = {}
    for username, (name, role) in people.items():
        users[username] = User.objects.create_user(
            username=username, password=password, display_name=name, role=role
        )
    return users


def _bays() -> dict[str, Bay]:
    return {
        "rack": Bay.objects.create(name="Bay 1", has_rack=True),
        "lift": Bay.objects.create(name="Bay 2"),
        "pit": Bay.objects.create(name="Bay 3"),
    }


def _customers() -> dict[str, Customer]:
    rows = {
        "ilka": ("Ilka Brandvold", "+00 555 0101", "ilka@post.example"),
        "jonas": ("Jonas Pettigrue", "+00 555 0102", "jonas@post.example"),
        "mara": ("Mara Oyelaran-Voss", "+00 555 0103", ""),
        "dele": ("Dele Sandqvist", "+00 555 0104", "dele@post.example"),
        "ruth": ("Ruth Amberley", "+00 555 0105", ""),
    }
    return {
        key: Customer.objects.create(name=name, phone=phone, email=email)
        for key, (name, phone, email) in rows.items()
    }


def _patterns() -> dict[str, Pattern]:
    coupe = Pattern.objects.create(
        name="Small coupé, struts all round",
        notes="The arches are close; the lip turns in by about ten millimetres.",
        bolt_count=5,
        bolt_circle_mm=Decimal("100.00"),
        centre_bore_mm=Decimal("56.10"),
        thread="M12×1.25",
        wheel_nut_torque_nm=Decimal("110.0"),
        oe_tyre_front="215/45R17",
        oe_tyre_rear="215/45R17",
        steered_notes="front only",
        driven_notes="rear only",
    )
    saloon = Pattern.objects.create(
        name="Four-door, wishbones in front, five links behind",
        notes="Room to spare. The rear toe eccentric runs out near 1.5° of negative camber.",
        bolt_count=5,
        bolt_circle_mm=Decimal("112.00"),
        centre_bore_mm=Decimal("66.60"),
        thread="M14×1.5",
        wheel_nut_torque_nm=Decimal("140.0"),
        oe_tyre_front="225/50R17",
        oe_tyre_rear="225/50R17",
        steered_notes="front only",
        driven_notes="rear only",
        has_assistance_sensors=True,
    )
    return {"coupe": coupe, "saloon": saloon}


def _vehicles(customers: dict[str, Customer], patterns: dict[str, Pattern]) -> dict[str, Vehicle]:
    rows: dict[str, tuple[str, str, str | None, int, str]] = {
        "story": ("ilka", "2017 small coupé, red", "coupe", 61_400, "LG 17 IBV"),
        "sister": ("jonas", "2015 small coupé, grey", "coupe", 98_250, "LG 15 JPG"),
        "touring": ("mara", "2018 four-door, dark blue", "saloon", 74_900, "LG 18 MOV"),
        "commuter": ("dele", "2016 four-door, silver", "saloon", 132_700, "LG 16 DSQ"),
        "unknown": ("ruth", "2020 light van, white", None, 45_100, "LG 20 RAM"),
    }
    vehicles = {}
    for serial, (key, (owner, words, pattern, mileage, plate)) in enumerate(rows.items(), 1):
        vehicles[key] = Vehicle.objects.create(
            customer=customers[owner],
            pattern=patterns[pattern] if pattern else None,
            description=words,
            mileage_km=mileage,
            plate=plate,
            vin=invented_vin(serial),
            market=Market.NORTH_AMERICA if serial == 1 else Market.OTHER,
        )
    return vehicles


def _parts() -> dict[str, Part]:
    rows: dict[str, dict[str, Any]] = {
        "top_mount": {
            "number": "TM-12",
            "name": "Camber top mount",
            "kind": "top mount",
            "price": Decimal("265.00"),
            "axle": "front",
            "adjuster": "top_mount_in_mm",
            "reach_min": 0,
            "reach_max": 12,
            "torque_nm": Decimal("47.0"),
            "lead": "four working days",
        },
        "shim": {
            "number": "SH-18",
            "name": "Lower-arm shim kit",
            "kind": "shim",
            "price": Decimal("38.00"),
            "axle": "front",
            "adjuster": "lower_arm_out_mm",
            "reach_min": 0,
            "reach_max": 18,
            "torque_nm": Decimal("95.0"),
            "caution": "Count the turns of the bolt behind the shims.",
            "lead": "on the shelf",
        },
        "toe_link": {
            "number": "TL-40",
            "name": "Rear toe link",
            "kind": "toe link",
            "price": Decimal("148.00"),
            "axle": "rear",
            "adjuster": "rod:toe link",
            "reach_min": -15,
            "reach_max": 15,
            "torque_nm": Decimal("82.0"),
            "caution": "The factory eccentric is locked out when these are fitted.",
            "lead": "one week",
        },
        "coilover": {
            "number": "CO-31",
            "name": "Coilover set",
            "kind": "coilover",
            "price": Decimal("1480.00"),
            "axle": "any",
            "adjuster": "ride_height_mm",
            "reach_min": -45,
            "reach_max": 0,
            "torque_nm": Decimal("62.0"),
            "lead": "two weeks",
        },
        "spacer": {
            "number": "SP-05",
            "name": "Wheel spacer, 5 mm",
            "kind": "spacer",
            "price": Decimal("29.00"),
            "axle": "any",
            "lead": "on the shelf",
        },
    }
    parts = {
        key: Part.objects.create(maker="Northmere", moves_wheel=True, **values)
        for key, values in rows.items()
    }
    parts["pads"] = Part.objects.create(
        number="BP-07",
        name="Brake pad set",
        maker="Calder & Rowe",
        kind="brake",
        price=Decimal("74.00"),
        axle="front",
        torque_nm=Decimal("35.0"),
        lead="on the shelf",
    )
    return parts


# Orders


def _order(stage: Stage, key: str, vehicle: str, days_ago: int, **values: Any) -> WorkOrder:
    car: Vehicle = stage["vehicles"][vehicle]
    opened = _at(-days_ago, 9, 15)
    order = WorkOrder.objects.create(
        number=order_number_next(),
        customer=car.customer,
        vehicle=car,
        mileage_km=car.mileage_km,
        created_at=opened,
        state_since=values.pop("state_since", opened),
        **values,
    )
    _log(stage, order, "writer", "Opened", opened, order.wish)
    stage["orders"][key] = order
    return order


def _log(
    stage: Stage, order: WorkOrder, who: str, what: str, at: dt.datetime, detail: str = ""
) -> None:
    user: User = stage["users"][who]
    LogEntry.objects.create(
        order=order, by=user, who=user.shown_name, what=what, at=at, detail=detail
    )


def _lines(stage: Stage, order: WorkOrder, hours: str, *parts: tuple[str, int]) -> None:
    """One labour line of so many hours, and a line for each (part, pieces)."""
    shop = ShopSettings.load()
    Line.objects.create(
        order=order,
        description="Labour: fit, set up and road test",
        quantity=Decimal(hours),
        unit_price=shop.hourly_rate,
        tax_rate=shop.tax_rate,
    )
    for position, (key, pieces) in enumerate(parts, 1):
        part: Part = stage["parts"][key]
        Line.objects.create(
            order=order,
            kind="part",
            part=part,
            description=part.name,
            axle=part.axle,
            quantity=Decimal(pieces),
            unit_price=part.price,
            tax_rate=shop.tax_rate,
            position=position,
        )


def _quoted(stage: Stage, order: WorkOrder, at: dt.datetime, *, signed: bool) -> Quote:
    totals = totals_of(order.lines.all())
    quote = Quote.objects.create(
        order=order,
        number=f"{order.number}-1",
        total=totals.total,
        currency="EUR",
        sent_at=at,
        sent_by=stage["users"]["writer"],
        document={
            "lines": frozen_lines(order),
            "net": str(totals.net),
            "tax": str(totals.tax),
            "total": str(totals.total),
            "shares": [
                {"rate": str(s.rate), "net": str(s.net), "tax": str(s.tax)} for s in totals.shares
            ],
            "checks": [],
            "currency": "EUR",
        },
    )
    _log(stage, order, "writer", f"Quote {quote.number} sent", at, f"{quote.total} EUR")
    if signed:
        Authorisation.objects.create(
            quote=quote,
            name=order.customer.name,
            amount=quote.total,
            via=Authorisation.Via.LINK,
            at=at + dt.timedelta(hours=5),
        )
    return quote


def _booked(stage: Stage, order: WorkOrder, bay: str, start: dt.datetime, hours: int) -> None:
    Booking.objects.create(
        order=order,
        bay=stage["bays"][bay],
        technician=stage["users"]["technician"],
        starts_at=start,
        ends_at=start + dt.timedelta(hours=hours),
        needs_rack=bay == "rack",
    )


def _story(stage: Stage) -> None:
    """The wish that sounds easy: wide wheels, and camber from the cheapest part."""
    order = _order(
        stage,
        "story",
        "story",
        2,
        wish="Wider wheels with sticky tyres for club days, and two and a half degrees of camber "
        "in front. I read that it fits with enough camber.",
        use=Use.AUTOCROSS,
        class_rules="the club's street class",
    )
    _lines(stage, order, "3.5", ("shim", 2), ("spacer", 2))


def _handed_over(stage: Stage) -> None:
    order = _order(
        stage,
        "handed_over",
        "sister",
        34,
        wish="Lower it a little, and fill the arches.",
        state=State.HANDED_OVER,
        state_since=_at(-24, 16, 30),
        parts_ordered_at=_at(-31, 10),
        parts_ordered_by=stage["users"]["writer"],
    )
    _lines(stage, order, "6.5", ("coilover", 1), ("spacer", 2))
    _quoted(stage, order, _at(-33, 11), signed=True)
    _booked(stage, order, "rack", _at(-24, 9), 7)
    technician: User = stage["users"]["technician"]
    for line in order.lines.filter(kind="part"):
        InstalledPart.objects.create(
            order=order,
            line=line,
            part=line.part,
            description=line.description,
            corner_or_axle="car" if line.part == stage["parts"]["coilover"] else "rear",
            serial="N31-0452" if line.part == stage["parts"]["coilover"] else "",
            removed="Springs and dampers" if line.part == stage["parts"]["coilover"] else "",
            removed_to="given to the customer" if line.part == stage["parts"]["coilover"] else "",
            by=technician,
            at=_at(-24, 12),
        )
    for due in torques_due(order):
        TorqueSign.objects.create(
            order=order,
            what=due.what,
            torque_nm=due.torque_nm or Decimal(110),
            tool="Wrench 2",
            by=technician,
            at=_at(-24, 14),
        )
    test = RoadTest.objects.create(
        order=order,
        by=technician,
        at=_at(-24, 15, 30),
        lock_left="quiet",
        lock_right="quiet",
        dip="quiet",
        loaded="not_done",
        notes="No load: nobody to sit in the back.",
    )
    ContactMark.objects.create(road_test=test, corner="LR", place="fender lip", gap_mm=7.5)
    ContactMark.objects.create(road_test=test, corner="RR", place="fender lip", gap_mm=8.0)
    _log(stage, order, "technician", "Road test → Handed over", _at(-24, 16, 30))


def _comeback(stage: Stage) -> None:
    first: WorkOrder = stage["orders"]["handed_over"]
    order = _order(
        stage,
        "comeback",
        "sister",
        1,
        kind=OrderKind.COMEBACK,
        first_order=first,
        wish="With two friends in the back it rubs over the dip by the bridge.",
        moves_wheel_or_height=False,
    )
    Comeback.objects.create(
        order=order,
        first_order=first,
        corner="LR",
        place="fender lip",
        happens="laden",
        description=order.wish,
    )
    _log(stage, first, "writer", "Came back", order.created_at, f"See {order.number}")


def _unmeasured(stage: Stage) -> None:
    order = _order(
        stage,
        "unmeasured",
        "unknown",
        3,
        wish="Larger wheels on the van, as large as will go.",
    )
    _lines(stage, order, "2")


def _survey_visit(stage: Stage) -> None:
    order = _order(
        stage,
        "survey_visit",
        "unknown",
        2,
        kind=OrderKind.SURVEY_VISIT,
        first_order=stage["orders"]["unmeasured"],
        wish="Measure the car, so that its room is known.",
        moves_wheel_or_height=False,
        state=State.BOOKED,
    )
    _booked(stage, order, "lift", _at(1, 8, 30), 2)
    _log(stage, order, "writer", "Asked → Booked", _at(-2, 9, 40))


def _waiting_for_parts(stage: Stage) -> None:
    order = _order(
        stage,
        "waiting",
        "touring",
        8,
        wish="The rear tyres wear on the inside. Set it up properly, two degrees behind at most.",
        state=State.AGREED,
        state_since=_at(-6, 17),
        waiting_for=WaitingFor.PARTS,
        parts_ordered_at=_at(-5, 9),
        parts_ordered_by=stage["users"]["writer"],
    )
    _lines(stage, order, "3", ("toe_link", 2))
    _quoted(stage, order, _at(-7, 12), signed=True)
    _log(stage, order, "writer", "Parts ordered", _at(-5, 9))


def _on_the_lift(stage: Stage) -> None:
    order = _order(
        stage,
        "on_lift",
        "commuter",
        5,
        wish="It pulls to the left since the kerb.",
        state=State.ON_LIFT,
        state_since=_at(0, 8, 10),
    )
    _lines(stage, order, "1.5")
    _quoted(stage, order, _at(-4, 12), signed=True)
    _booked(stage, order, "rack", _at(0, 8), 3)
    _log(stage, order, "technician", "Booked → On the lift", _at(0, 8, 10))


def _brakes(stage: Stage) -> None:
    order = _order(
        stage,
        "brakes",
        "touring",
        1,
        kind=OrderKind.OTHER,
        wish="New brake pads in front, please.",
        moves_wheel_or_height=False,
        state=State.QUOTED,
    )
    _lines(stage, order, "1", ("pads", 1))
    _quoted(stage, order, _at(-1, 15), signed=False)
