"""Who may open the shop's pages."""

from __future__ import annotations

from typing import Any

from shop.customer_page.answers import question_ask
from shop.models import BackgroundTask, CalendarFeed, Mail, User
from tests.factories import (
    make_arrival,
    make_bay,
    make_booking,
    make_car_model,
    make_class,
    make_customer,
    make_deposit,
    make_file,
    make_line,
    make_news,
    make_order,
    make_package,
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


def a_question() -> dict[str, Any]:
    return {"pk": question_ask(order=make_order(), text="Does it rub?").pk}


def quote_on_link() -> dict[str, Any]:
    found = quoted()
    return {"token": found["order"].token, "pk": found["quote"].pk}


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
    return {"pk": feed.pk, "token": feed.secret}


def a_mail(**values: Any) -> dict[str, Any]:
    order = make_order(state="quoted")
    values = {"state": "sent", "subject": "A quote", "body": "x", "language": "de", **values}
    mail = Mail.objects.create(order=order, kind="message", to="a@example.org", **values)
    return {"pk": mail.pk}


def a_file(**owner: Any) -> dict[str, Any]:
    owner = owner or {"order": make_order()}
    return {"pk": make_file(**owner).pk}


def file_on_link() -> dict[str, Any]:
    order = make_order()
    return {"token": order.token, "pk": make_file(order=order, for_customer=True).pk}


ROUTES: dict[str, Route] = {
    "task_cancel": Route(STAFF, a_task),
    "healthz": Route(PUBLIC),
    "worker": Route(PUBLIC),
    "login": Route(PUBLIC),
    "logout": Route(PUBLIC),
    "password_reset": Route(PUBLIC),
    "password_reset_sent": Route(PUBLIC),
    "password_new": Route(PUBLIC, lambda: {"uidb64": "x", "token": "y"}),
    "order_files": Route(STAFF, order),
    "vehicle_files": Route(STAFF, lambda: {"pk": make_vehicle().pk}),
    "corner_files": Route(STAFF, lambda: {"pk": make_car_model().pk, "corner": "LF"}),
    "file": Route(STAFF, a_file),
    "file_thumb": Route(STAFF, a_file),
    "file_edit": Route(STAFF, a_file),
    "file_remove": Route(STAFF, a_file),
    "customer_file": Route(LINK, file_on_link),
    "customer_file_thumb": Route(LINK, file_on_link),
    "order_mail": Route(WRITER, order),
    "mail_again": Route(WRITER, lambda: a_mail(state="bounced")),
    "mail_withdraw": Route(WRITER, lambda: a_mail(state="waiting")),
    "mail_returned": Route(WRITER, a_mail),
    "mail_settings": Route(MANAGER),
    "mail_try": Route(MANAGER),
    "mail_text": Route(MANAGER, lambda: {"kind": "quote", "language": "de"}),
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
    "order_copy": Route(WRITER, order),
    "lines_from_plan": Route(WRITER, order),
    "quote_preview_pdf": Route(WRITER, lambda: {"pk": quoted()["order"].pk}),
    "deposit_new": Route(WRITER, order),
    "deposit_edit": Route(WRITER, lambda: {"pk": make_deposit().pk}),
    "package_list": Route(WRITER),
    "package_new": Route(WRITER),
    "package_edit": Route(WRITER, lambda: {"pk": make_package().pk}),
    "order_sheet": Route(STAFF, order),
    "gate_override": Route(MANAGER, order),
    "quote_send": Route(WRITER, order),
    "torque_loosen": Route(TECHNICIAN, order, or_missing=True),
    "not_fitted": Route(TECHNICIAN, order, or_missing=True),
    "quote_sign": Route(WRITER, order),
    "quote": Route(STAFF, lambda: {"pk": quoted()["quote"].pk}),
    "quote_pdf": Route(STAFF, lambda: {"pk": quoted()["quote"].pk}),
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
    "customer_merge": Route(WRITER, lambda: {"pk": make_customer().pk}),
    "customer_edit": Route(WRITER, lambda: {"pk": make_customer().pk}),
    "vehicle_list": Route(STAFF),
    "vehicle_new": Route(WRITER),
    "vehicle": Route(STAFF, lambda: {"pk": make_vehicle().pk}),
    "vehicle_merge": Route(WRITER, lambda: {"pk": make_vehicle().pk}),
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
    "customer_ask": Route(LINK, token),
    "customer_decline": Route(LINK, token),
    "customer_choose": Route(LINK, token),
    "customer_answers": Route(STAFF, order),
    "customer_reply": Route(WRITER, a_question),
    "customer_quote_pdf": Route(LINK, quote_on_link),
    "customer_sheet": Route(LINK, lambda: {"token": make_order(state="handed_over").token}),
}
