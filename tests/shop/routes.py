"""Who may open the shop's pages."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from shop.services.quotes import quote_send
from tests.factories import (
    make_bay,
    make_booking,
    make_customer,
    make_line,
    make_order,
    make_part,
    make_pattern,
    make_user,
    make_vehicle,
)
from tests.walk import LINK, MANAGER, PUBLIC, STAFF, TECHNICIAN, WRITER, Route


def an_order() -> dict[str, Any]:
    return {"pk": make_order().pk}


def a_quote() -> dict[str, Any]:
    order = make_order(moves_wheel_or_height=False)
    make_line(order)
    return {"pk": quote_send(order=order, by=make_user("writer")).pk}


def a_booking() -> dict[str, Any]:
    return {"pk": make_booking(make_order()).pk}


def a_bay() -> dict[str, Any]:
    return {"pk": make_bay().pk}


def a_customer() -> dict[str, Any]:
    return {"pk": make_customer().pk}


def a_vehicle() -> dict[str, Any]:
    return {"pk": make_vehicle().pk}


def a_pattern() -> dict[str, Any]:
    return {"pk": make_pattern().pk}


def a_part() -> dict[str, Any]:
    return {"pk": make_part(price=Decimal("10.00")).pk}


def a_colleague() -> dict[str, Any]:
    return {"pk": make_user("technician").pk}


def a_link() -> dict[str, Any]:
    return {"token": make_order().token}


ROUTES: dict[str, Route] = {
    # The house
    "healthz": Route(PUBLIC),
    "login": Route(PUBLIC),
    "logout": Route(PUBLIC),
    "password": Route(STAFF),
    # Work orders
    "home": Route(STAFF),
    "order_list": Route(STAFF),
    "order_new": Route(WRITER),
    "order": Route(STAFF, an_order),
    "order_edit": Route(WRITER, an_order),
    # Which move belongs to whom is the transition table's to say; see test_order_moves.
    "order_move": Route(STAFF, an_order),
    "order_wait": Route(STAFF, an_order),
    "order_notes": Route(STAFF, an_order),
    "gate_override": Route(MANAGER, an_order),
    "order_lines": Route(WRITER, an_order),
    "quote_send": Route(WRITER, an_order),
    "quote_sign": Route(WRITER, an_order, or_missing=True),
    "quote": Route(STAFF, a_quote),
    "parts_order": Route(WRITER, an_order),
    "order_sheet": Route(STAFF, an_order),
    # The work
    "installed_new": Route(TECHNICIAN, an_order),
    "torque_sign": Route(TECHNICIAN, an_order),
    "road_test": Route(TECHNICIAN, an_order),
    "hand_over": Route(STAFF, an_order),
    "comeback_new": Route(WRITER, an_order),
    "comeback_photo": Route(STAFF, an_order, or_missing=True),
    # Time
    "booking_new": Route(WRITER, an_order),
    "booking_cancel": Route(WRITER, a_booking),
    "day_sheet": Route(STAFF),
    # Records
    "customer_list": Route(STAFF),
    "customer_new": Route(WRITER),
    "customer": Route(STAFF, a_customer),
    "customer_edit": Route(WRITER, a_customer),
    "vehicle_list": Route(STAFF),
    "vehicle_new": Route(WRITER),
    "vehicle": Route(STAFF, a_vehicle),
    "vehicle_edit": Route(STAFF, a_vehicle),
    "pattern_list": Route(STAFF),
    "pattern_new": Route(STAFF),
    "pattern": Route(STAFF, a_pattern),
    "pattern_edit": Route(STAFF, a_pattern),
    "part_list": Route(STAFF),
    "part_new": Route(WRITER),
    "part_edit": Route(WRITER, a_part),
    # The manager's
    "bay_list": Route(MANAGER),
    "bay_new": Route(MANAGER),
    "bay_edit": Route(MANAGER, a_bay),
    "shop_settings": Route(MANAGER),
    "staff": Route(MANAGER),
    "staff_new": Route(MANAGER),
    "staff_edit": Route(MANAGER, a_colleague),
    # The customer's link
    "customer_order": Route(LINK, a_link),
    "customer_authorise": Route(LINK, a_link, or_missing=True),
    "customer_sheet": Route(LINK, a_link, or_missing=True),
}
