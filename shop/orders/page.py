"""What the page of one order shows, gathered in a fixed number of queries."""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest
from django.template.loader import render_to_string
from django.urls import reverse
from django.utils.safestring import SafeString, mark_safe

from shop.calendar.services import may_be_booked
from shop.languages import ENGLISH
from shop.models import LineKind, OrderKind, State, WorkOrder
from shop.money.amounts import totals_of
from shop.money.quotes import MAY_BE_QUOTED, frozen_lines
from shop.orders.cautions import TECHNICIAN, cautions_for, class_caution, job_of
from shop.orders.class_rules import findings_sentence, rules_judged
from shop.orders.gates import gates_ask
from shop.orders.next_step import next_act
from shop.orders.services import Move, moves_from
from shop.orders.torques import torques_due
from shop.orders.work import WORK_STATES
from shop.site.extension_points import Panel, order_panels
from shop.site.page_cache import looking

BACKWARD = {State.CANCELLED, State.ENQUIRY}
LOG_SHOWN = 100


def rendered(panels: list[Panel], request: HttpRequest | None = None) -> list[dict[str, Any]]:
    """Panels with their HTML, for a template that knows nothing of the apps above."""
    return [
        {"title": panel.title, "anchor": panel.anchor, "html": _html(panel, request)}
        for panel in panels
    ]


def _html(panel: Panel, request: HttpRequest | None) -> SafeString:
    # The template of the panel has escaped its values already.
    return mark_safe(render_to_string(panel.template, dict(panel.context), request))  # noqa: S308


def side_moves(order: WorkOrder, moves: list[Move]) -> list[Move]:
    """Moves that are no next act: back, off, and dropping the order."""
    return [
        move
        for move in moves
        if move.wants_reason and (move.end != State.CANCELLED or order.is_open)
    ]


@looking()
def order_page_context(request: HttpRequest, order: WorkOrder) -> dict[str, Any]:
    """Everything that templates/shop/order.html needs."""
    lines = list(order.lines.select_related("part"))
    quotes = list(order.quotes.select_related("authorisation", "sent_by"))
    verdicts = gates_ask(order) if order.is_open else []
    due = torques_due(order)
    road_tests = list(order.road_tests.select_related("by").prefetch_related("marks"))
    has_parts = any(line.kind == LineKind.PART for line in lines)
    changed = bool(quotes) and quotes[0].document["lines"] != frozen_lines(order)
    act = next_act(
        order,
        verdicts,
        has_lines=bool(lines),
        parts_due=has_parts and order.parts_ordered_at is None and order.needs_quote,
        torques_open=any(not item.signed for item in due),
        has_road_test=bool(road_tests),
        lines_changed=changed and order.state in MAY_BE_QUOTED,
    )
    on_lift = order.state in WORK_STATES
    return {
        "order": order,
        "act": act,
        "may_act": act.is_for(request.user),
        "verdicts": [v for v in verdicts if v.answer.result != "not needed"],
        "class_caution": class_caution(order) if order.is_open else "",
        **class_context(order),
        "panels": rendered(order_panels(request, order), request),
        "lines": lines,
        "totals": totals_of(lines),
        "quotes": quotes,
        "lines_changed": changed and order.is_open,
        "bookings": list(order.bookings.select_related("bay", "technician")),
        "may_book": may_be_booked(order),
        "may_quote": order.state in MAY_BE_QUOTED and bool(lines),
        "due": due,
        "other_torques": _not_due(order, due),
        "installed": list(order.installed.select_related("by")),
        "road_tests": road_tests,
        "cautions": cautions_for(job_of(order), TECHNICIAN) if _is_at_work(order) else [],
        "on_lift": on_lift,
        "shows_work": on_lift or order.state == State.HANDED_OVER or _is_at_work(order),
        "side_moves": side_moves(order, moves_from(order, request.user)),
        "follow_ups": list(order.follow_ups.all()),
        "comeback": getattr(order, "comeback", None) if order.kind == OrderKind.COMEBACK else None,
        "log": list(order.log.all()[:LOG_SHOWN]),
        "customer_link": customer_link(request, order),
    }


def class_context(order: WorkOrder) -> dict[str, Any]:
    """What the order is under the recorded rules of its class; nothing without a record."""
    findings = rules_judged(order)
    if order.class_record is None or not findings:
        return {}
    return {
        "class_findings": findings,
        "class_sentence": findings_sentence(order.class_record, findings),
        "speech": ENGLISH,
    }


def _is_at_work(order: WorkOrder) -> bool:
    return order.state in (State.BOOKED, *WORK_STATES)


def _not_due(order: WorkOrder, due: list[Any]) -> list[Any]:
    """Signatures for fasteners that are not on the list."""
    names = {item.what for item in due}
    return [sign for sign in order.torques.select_related("by") if sign.what not in names]


def customer_link(request: HttpRequest, order: WorkOrder) -> str:
    """The whole address of the customer's page, to be sent."""
    return request.build_absolute_uri(reverse("customer_order", args=[order.token]))
