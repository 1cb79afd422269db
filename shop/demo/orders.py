"""Orders of the demonstration, one in every state that is worth looking at."""

from __future__ import annotations

import datetime as dt
from decimal import Decimal
from typing import Any

from django.utils import timezone

from shop.models import (
    Arrival,
    Authorisation,
    Booking,
    Comeback,
    ContactMark,
    InstalledPart,
    Line,
    LogEntry,
    Mail,
    MailKind,
    MailState,
    OrderKind,
    Part,
    PartOrder,
    Quote,
    RoadTest,
    ShopSettings,
    State,
    TorqueSign,
    Use,
    User,
    Vehicle,
    WaitingFor,
    WorkOrder,
)
from shop.money.services import quote_document
from shop.orders.services.changes import order_number_next
from shop.orders.services.torques import torques_due
from shop.outbox.services.words import mail_words

Stage = dict[str, Any]


def _at(days: int, hour: int, minute: int = 0) -> dt.datetime:
    """A time of day so many days from today, in the shop's zone."""
    day = timezone.localdate() + dt.timedelta(days=days)
    return timezone.make_aware(dt.datetime.combine(day, dt.time(hour, minute)))


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
    _log(stage, order, "writer", "Opened", opened, order.request_text)
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
        texts={"de": {"description": "Arbeit: Einbau, Einstellung und Probefahrt"}},
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
    totals = order.totals
    quote = Quote.objects.create(
        order=order,
        number=f"{order.number}-1",
        total=totals.total,
        currency="EUR",
        sent_at=at,
        sent_by=stage["users"]["writer"],
        document=quote_document(order, "EUR", language=order.customer.language),
    )
    _log(stage, order, "writer", f"Quote {quote.number} sent", at, f"{quote.total} EUR")
    _emailed(stage, quote, at)
    if signed:
        Authorisation.objects.create(
            quote=quote,
            name=order.customer.name,
            amount=quote.total,
            via=Authorisation.Via.LINK,
            at=at + dt.timedelta(hours=5),
        )
    return quote


def _emailed(stage: Stage, quote: Quote, at: dt.datetime) -> None:
    """The email with the quote, and its link opened an hour later."""
    order = quote.order
    words = mail_words(MailKind.QUOTE, order, quote=quote)
    Mail.objects.create(
        order=order,
        quote=quote,
        kind=MailKind.QUOTE,
        to=order.customer.email,
        subject=words.subject,
        body=words.body,
        language=order.customer.language,
        state=MailState.SENT,
        attempts=1,
        said="250 2.0.0 OK",
        by=stage["users"]["writer"],
        at=at,
        sent_at=at + dt.timedelta(seconds=2),
    )
    quote.seen_at = at + dt.timedelta(hours=1)
    quote.save(update_fields=["seen_at"])


def _booked(stage: Stage, order: WorkOrder, bay: str, start: dt.datetime, hours: int) -> None:
    Booking.objects.create(
        order=order,
        bay=stage["bays"][bay],
        technician=stage["users"]["technician"],
        starts_at=start,
        ends_at=start + dt.timedelta(hours=hours),
        needs_rack=bay == "rack",
    )


def story(stage: Stage) -> None:
    """The request that sounds easy: wider tyres, spacers, and camber from the shims at hand."""
    order = _order(
        stage,
        "story",
        "story",
        2,
        request_text="Wider wheels in front for the club's hill runs, fifteen-millimetre spacers "
        "so that they fill the arches, and more camber from the shims that are there anyway. "
        "It must not touch on full lock in the paddock.",
        use=Use.AUTOCROSS,
        class_rules="the club's class for estates",
        class_record=stage["class"],
    )
    _lines(stage, order, "3.5", ("arm_shim", 2), ("spacer_15", 2))


def handed_over(stage: Stage) -> None:
    order = _order(
        stage,
        "handed_over",
        "coupe_grey",
        34,
        request_text="Lower it a little, and wider wheels behind.",
        state=State.HANDED_OVER,
        state_since=_at(-24, 16, 30),
        parts_ordered_at=_at(-31, 10),
        parts_ordered_by=stage["users"]["writer"],
    )
    _lines(stage, order, "6.5", ("coilover", 1), ("spacer", 2))
    _quoted(stage, order, _at(-33, 11), signed=True)
    for made in _on_order(stage, order, "north", _at(-31, 10), promised=-26):
        _arrived(stage, made, made.quantity, -27)
    _booked(stage, order, "rack", _at(-24, 9), 7)
    technician: User = stage["users"]["technician"]
    for line in order.lines.filter(kind="part"):
        InstalledPart.objects.create(
            order=order,
            line=line,
            part=line.part,
            description=line.description,
            corner_or_axle="car" if line.part == stage["parts"]["coilover"] else "rear",
            serial="N62-8817" if line.part == stage["parts"]["coilover"] else "",
            removed="Springs and dampers" if line.part == stage["parts"]["coilover"] else "",
            removed_to="given to the customer" if line.part == stage["parts"]["coilover"] else "",
            by=technician,
            at=_at(-24, 12),
        )
    for due in torques_due(order):
        TorqueSign.objects.create(
            order=order,
            what=due.what,
            due=due.key,
            position=due.position,
            due_nm=due.torque_nm,
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
        notes="Not loaded: no passenger for the back seat.",
    )
    ContactMark.objects.create(road_test=test, corner="LR", place="arch lip", gap_mm=7.5)
    ContactMark.objects.create(road_test=test, corner="RR", place="arch lip", gap_mm=8.0)
    _log(stage, order, "technician", "Road test → Handed over", _at(-24, 16, 30))


def comeback(stage: Stage) -> None:
    first: WorkOrder = stage["orders"]["handed_over"]
    order = _order(
        stage,
        "comeback",
        "coupe_grey",
        1,
        kind=OrderKind.COMEBACK,
        first_order=first,
        request_text="With the children and luggage in the back it scrapes over the humps by the "
        "ferry.",
        moves_wheel_or_height=False,
    )
    Comeback.objects.create(
        order=order,
        first_order=first,
        corner="LR",
        place="arch lip",
        happens="laden",
        description=order.request_text,
    )
    _log(stage, first, "writer", "Came back", order.created_at, f"See {order.number}")


def unmeasured(stage: Stage) -> None:
    order = _order(
        stage,
        "unmeasured",
        "unknown",
        3,
        request_text="Bigger wheels for the van, with tyres for gravel.",
    )
    _lines(stage, order, "2")


def survey_visit(stage: Stage) -> None:
    order = _order(
        stage,
        "survey_visit",
        "unknown",
        2,
        kind=OrderKind.SURVEY_VISIT,
        first_order=stage["orders"]["unmeasured"],
        request_text="Measure the car for clearance checks.",
        moves_wheel_or_height=False,
        state=State.BOOKED,
    )
    _booked(stage, order, "lift", _at(1, 8, 30), 2)
    _log(stage, order, "writer", "Asked → Booked", _at(-2, 9, 40))


def _on_order(
    stage: Stage, order: WorkOrder, supplier: str, at: dt.datetime, *, promised: int
) -> list[PartOrder]:
    """All parts of an order, ordered at once and promised for so many days from today."""
    return [
        PartOrder.objects.create(
            order=order,
            line=line,
            part=line.part,
            description=line.description,
            quantity=line.quantity,
            supplier=stage["suppliers"][supplier],
            supplier_number=f"{4100 + order.pk}-{line.position + 1}",
            promised_on=_at(promised, 8).date(),
            ordered_at=at,
            ordered_by=stage["users"]["writer"],
        )
        for line in order.lines.filter(kind="part")
    ]


def _arrived(stage: Stage, made: PartOrder, quantity: Decimal, days: int) -> None:
    Arrival.objects.create(
        part_order=made,
        quantity=quantity,
        arrived_on=_at(days, 11).date(),
        by=stage["users"]["writer"],
        at=_at(days, 11),
    )


def waiting_for_parts(stage: Stage) -> None:
    order = _order(
        stage,
        "waiting",
        "touring",
        8,
        request_text="The rear tyres wear on the inside. Please set the rear so that they last.",
        state=State.APPROVED,
        state_since=_at(-6, 17),
        waiting_for=WaitingFor.PARTS,
        parts_ordered_at=_at(-5, 9),
        parts_ordered_by=stage["users"]["writer"],
    )
    _lines(stage, order, "3", ("toe_link", 2))
    _quoted(stage, order, _at(-7, 12), signed=True)
    first = _on_order(stage, order, "yard", _at(-5, 9), promised=-1)[0]
    _arrived(stage, first, Decimal(1), -2)
    _log(stage, order, "writer", "Parts ordered", _at(-5, 9))
    _log(stage, order, "writer", "Part arrived", _at(-2, 11))


def on_the_lift(stage: Stage) -> None:
    order = _order(
        stage,
        "on_lift",
        "commuter",
        5,
        request_text="It pulls to the left since the kerb.",
        state=State.ON_LIFT,
        state_since=_at(0, 8, 10),
    )
    _lines(stage, order, "1.5", ("arm_shim", 1), ("upper_arm", 1), ("tie_rod", 1))
    _quoted(stage, order, _at(-4, 12), signed=True)
    _booked(stage, order, "rack", _at(0, 8), 3)
    _log(stage, order, "technician", "Booked → On the lift", _at(0, 8, 10))


def brakes(stage: Stage) -> None:
    order = _order(
        stage,
        "brakes",
        "touring",
        1,
        kind=OrderKind.OTHER,
        request_text="New brake pads in front, please.",
        moves_wheel_or_height=False,
        state=State.QUOTED,
    )
    _lines(stage, order, "1", ("pads", 1))
    _quoted(stage, order, _at(-1, 15), signed=False)
