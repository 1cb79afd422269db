"""Who may open the shop's pages."""

from __future__ import annotations

from typing import Any

from shop.models import BackgroundTask, CalendarFeed, User
from tests.factories import (
    make_arrival,
    make_bay,
    make_booking,
    make_car_model,
    make_class,
    make_customer,
    make_line,
    make_news,
    make_order,
    make_part,
    make_part_order,
    make_quote,
    make_shop,
    make_supplier,
    make_user,
    make_vehicle,
)
from tests.walk import LINK, MANAGER, PUBLIC, STAFF, TECHNICIAN, WRITER, Route


def order() -> dict[str, Any]:
    return {"pk": make_order().pk}


def quoted() -> dict[str, Any]:
    make_shop()
    order = make_order(state="quoted")
    make_line(order)
    return {"quote": make_quote(order), "order": order}


def token() -> dict[str, Any]:
    return {"token": quoted()["order"].token}


def a_task() -> dict[str, Any]:
    by = User.objects.get_or_create(username="starter", defaults={"role": "writer"})[0]
    task = BackgroundTask.objects.create(kind="a kind", subject=1, page="/orders/", by=by)
    return {"pk": task.pk}


def booked() -> dict[str, Any]:
    return {"pk": make_booking(make_order(state="booked")).pk}


def a_feed() -> dict[str, Any]:
    return {"pk": CalendarFeed.objects.get_or_create(bay=make_bay())[0].pk}


def a_feed_read() -> dict[str, Any]:
    feed = CalendarFeed.objects.create(bay=make_bay())
    return {"pk": feed.pk, "secret": feed.secret}


ROUTES: dict[str, Route] = {
    "task_cancel": Route(STAFF, a_task),
    "healthz": Route(PUBLIC),
    "worker": Route(PUBLIC),
    "login": Route(PUBLIC),
    "logout": Route(PUBLIC),
    "account": Route(STAFF),
    "password": Route(STAFF),
    "home": Route(STAFF),
    "order_list": Route(STAFF),
    "search": Route(STAFF),
    "today_list": Route(STAFF, lambda: {"name": "us"}),
    "news_open": Route(STAFF, lambda: {"pk": make_news().pk}),
    "news_all_seen": Route(STAFF),
    "first_steps_hide": Route(MANAGER),
    "order_new": Route(WRITER),
    "order": Route(STAFF, order),
    "order_cost": Route(STAFF, order),
    "order_when": Route(STAFF, order),
    "order_done": Route(STAFF, order),
    "order_held": Route(STAFF, order),
    "order_class_rules": Route(STAFF, order),
    "order_log": Route(STAFF, order),
    "job_sheet": Route(STAFF, order),
    "order_edit": Route(WRITER, order),
    "order_move": Route(STAFF, order),
    "order_notes": Route(STAFF, order),
    "order_wait": Route(STAFF, order),
    "order_lines": Route(WRITER, order),
    "order_sheet": Route(STAFF, order),
    "gate_override": Route(MANAGER, order),
    "quote_send": Route(WRITER, order),
    "torque_loosen": Route(TECHNICIAN, order, or_missing=True),
    "not_fitted": Route(TECHNICIAN, order, or_missing=True),
    "quote_sign": Route(WRITER, order),
    "quote": Route(STAFF, lambda: {"pk": quoted()["quote"].pk}),
    "parts_order": Route(WRITER, order),
    "order_parts": Route(STAFF, order),
    "parts_arrived": Route(STAFF, order),
    "parts_labels": Route(STAFF, order),
    "parts_expected": Route(STAFF),
    "arrival_undo": Route(STAFF, lambda: {"pk": make_arrival(make_part_order(make_order())).pk}),
    "part_order_undo": Route(WRITER, lambda: {"pk": make_part_order(make_order()).pk}),
    "price_list": Route(WRITER),
    "supplier_list": Route(STAFF),
    "supplier_new": Route(WRITER),
    "supplier_edit": Route(WRITER, lambda: {"pk": make_supplier().pk}),
    "booking_new": Route(WRITER, order),
    "booking_move": Route(WRITER, booked),
    "booking_no_show": Route(WRITER, booked),
    "opening_hours": Route(MANAGER),
    "week_sheet": Route(STAFF),
    "feeds": Route(STAFF),
    "feed_new": Route(STAFF),
    "feed_renew": Route(STAFF, a_feed, or_missing=True),
    "feed_end": Route(STAFF, a_feed, or_missing=True),
    "feed": Route(LINK, a_feed_read),
    "booking_cancel": Route(WRITER, lambda: {"pk": make_booking(make_order()).pk}),
    "day_sheet": Route(STAFF),
    "installed_new": Route(TECHNICIAN, order),
    "torque_sign": Route(TECHNICIAN, order),
    "road_test": Route(TECHNICIAN, order),
    "hand_over": Route(STAFF, order),
    "comeback_new": Route(WRITER, order),
    "comeback_photo": Route(STAFF, order, or_missing=True),
    "customer_list": Route(STAFF),
    "customer_new": Route(WRITER),
    "customer": Route(STAFF, lambda: {"pk": make_customer().pk}),
    "customer_edit": Route(WRITER, lambda: {"pk": make_customer().pk}),
    "vehicle_list": Route(STAFF),
    "vehicle_new": Route(WRITER),
    "vehicle": Route(STAFF, lambda: {"pk": make_vehicle().pk}),
    "vehicle_edit": Route(STAFF, lambda: {"pk": make_vehicle().pk}),
    "car_model_list": Route(STAFF),
    "car_model_new": Route(STAFF),
    "car_model": Route(STAFF, lambda: {"pk": make_car_model().pk}),
    "car_model_edit": Route(STAFF, lambda: {"pk": make_car_model().pk}),
    "part_list": Route(STAFF),
    "part_new": Route(WRITER),
    "part_edit": Route(WRITER, lambda: {"pk": make_part().pk}),
    "class_list": Route(STAFF),
    "class_new": Route(WRITER),
    "class_record": Route(STAFF, lambda: {"pk": make_class().pk}),
    "class_edit": Route(WRITER, lambda: {"pk": make_class().pk}),
    "bay_list": Route(MANAGER),
    "bay_new": Route(MANAGER),
    "bay_edit": Route(MANAGER, lambda: {"pk": make_bay().pk}),
    "shop_settings": Route(MANAGER),
    "staff": Route(MANAGER),
    "staff_new": Route(MANAGER),
    "staff_edit": Route(MANAGER, lambda: {"pk": make_user("technician").pk}),
    "customer_order": Route(LINK, token),
    "customer_authorise": Route(LINK, token),
    "customer_language": Route(LINK, token),
    "customer_sheet": Route(LINK, lambda: {"token": make_order(state="handed_over").token}),
}
