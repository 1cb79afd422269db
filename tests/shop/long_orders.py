"""An order on which every list is long and every text is, as after a year of changes of mind."""

from __future__ import annotations

import datetime as dt
from decimal import Decimal

from shop.models import LogEntry, User, WorkOrder
from tests.factories import make_bay, make_booking, make_line, make_part, make_quote, tomorrow_at

LOG, LINES, QUOTES, BOOKINGS, INSTALLED, ROAD_TESTS = 40, 25, 8, 6, 10, 3
LONG_TEXT = "Please mind the paint of the arches, and ring before anything is cut or rolled. " * 12


def make_long(order: WorkOrder, by: User) -> WorkOrder:
    """Fill every list of an order that exists, put there directly, and its texts."""
    bay = make_bay(name=f"Bay of {order.number}")
    for count in range(LINES):
        part = make_part(torque_nm=Decimal(50)) if count % 5 == 0 else None
        values = {"kind": "part", "part": part} if part else {}
        make_line(order, description=f"Work of position {count + 1} " + LONG_TEXT[:60], **values)
    for _ in range(QUOTES):
        make_quote(order, sent_by=by)
    for count in range(BOOKINGS):
        starts = tomorrow_at(9) + dt.timedelta(days=count)
        make_booking(order, bay=bay, technician=by, starts_at=starts)
    for count in range(INSTALLED):
        order.installed.create(
            description=f"Arm {count + 1}, {LONG_TEXT[:60]}", part=make_part(torque_nm=60), by=by
        )
    for _ in range(ROAD_TESTS):
        test = order.road_tests.create(
            by=by, notes=LONG_TEXT, contradiction=LONG_TEXT[:400], wrong="car"
        )
        for place in ("lip", "liner", "strut", "arm"):
            test.marks.create(corner="LF", place=place, gap_mm=3)
    LogEntry.objects.bulk_create(
        LogEntry(order=order, by=by, who=by.shown_name, what=f"Act {n}", detail=LONG_TEXT)
        for n in range(LOG)
    )
    WorkOrder.objects.filter(pk=order.pk).update(
        request_text=LONG_TEXT, technician_notes=LONG_TEXT, waiting_for="parts"
    )
    return WorkOrder.objects.get(pk=order.pk)
