"""Rows of an order that several parts of a page ask for, fetched once while it is made."""

from __future__ import annotations

from shop.models import Booking, InstalledPart, Line, WorkOrder
from shop.site.page_cache import asked_once


def lines_of(order: WorkOrder) -> list[Line]:
    return asked_once(("lines", order.pk), lambda: list(order.lines.select_related("part")))


def bookings_of(order: WorkOrder) -> list[Booking]:
    """Blocks that stand, the earliest first."""

    def fetched() -> list[Booking]:
        return list(order.bookings.select_related("bay", "technician"))

    return asked_once(("bookings", order.pk), fetched)


def installed_of(order: WorkOrder) -> list[InstalledPart]:
    def fetched() -> list[InstalledPart]:
        return list(order.installed.select_related("part", "by"))

    return asked_once(("installed", order.pk), fetched)
