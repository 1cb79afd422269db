"""What the page of one order shows, gathered in a fixed number of queries."""

from __future__ import annotations

from typing import Any

from common.verdicts import GateResult
from shop.calendar.services import may_be_booked
from shop.extensions.panels import rendered
from shop.extensions.points import ORDER_PANELS
from shop.languages import speech_of_page
from shop.models import LineKind, OrderKind, State, WorkOrder
from shop.money.services import MAY_BE_QUOTED
from shop.orders.services.access import customer_link
from shop.orders.services.cautions import (
    TECHNICIAN,
    Moment,
    cautions_at,
    cautions_for,
    class_caution,
    job_of,
)
from shop.orders.services.class_rules import class_context
from shop.orders.services.gates import gates_ask
from shop.orders.services.next_step import next_act
from shop.orders.services.standing import Standing, standing_of
from shop.orders.services.states import Move, moves_from
from shop.orders.services.torques import lines_unaccounted, torques_due
from shop.parts.data import booked_too_early
from shop.site.page_cache import looking
from shop.site.view_helpers import StaffRequest
from shop.values.amounts import totals_of
from shop.values.first_rows import first_rows
from shop.work.services import WORK_STATES

BACKWARD = {State.CANCELLED, State.ENQUIRY}
LOG_SHOWN = 100


def side_moves(order: WorkOrder, moves: list[Move]) -> list[Move]:
    """Moves that are no next act: back, off, and dropping the order."""
    return [
        move
        for move in moves
        if move.wants_reason and (move.end != State.CANCELLED or order.is_open)
    ]


@looking()
def order_page_context(request: StaffRequest, order: WorkOrder) -> dict[str, Any]:
    """Everything that templates/shop/order.html needs."""
    lines = list(order.lines.select_related("part"))
    quotes = list(order.quotes.select_related("authorisation", "sent_by"))
    verdicts = gates_ask(order) if order.is_open else []
    due = [one for one in torques_due(order) if order.is_open or not one.is_open]
    road_tests = list(order.road_tests.select_related("by").prefetch_related("marks"))
    has_parts = any(line.kind == LineKind.PART for line in lines)
    standing = standing_of(order, verdicts) if order.is_open else Standing()
    act = next_act(
        order,
        verdicts,
        has_lines=bool(lines),
        parts_due=has_parts and order.parts_ordered_at is None and order.needs_quote,
        torques_open=any(item.is_open for item in due) or bool(lines_unaccounted(order)),
        has_road_test=bool(road_tests),
        standing=standing,
        parts_late=booked_too_early(order),
    )
    on_lift = order.state in WORK_STATES
    return {
        "order": order,
        "act": act,
        "may_act": act.is_for(request.user),
        "verdicts": [v for v in verdicts if v.answer.result != GateResult.NOT_NEEDED],
        "class_caution": class_caution(order, speech=speech_of_page()) if order.is_open else "",
        **class_context(order),
        "panels": rendered((panel(request, order) for panel in ORDER_PANELS), request),
        "lines": lines,
        "totals": totals_of(lines),
        "quotes": quotes,
        "standing": standing,
        "bookings": list(order.bookings.select_related("bay", "technician")),
        "may_book": may_be_booked(order),
        "may_quote": order.state in MAY_BE_QUOTED and bool(lines),
        "due": due,
        "other_torques": _not_due(order, due),
        "installed": list(order.installed.select_related("by")),
        "road_tests": road_tests,
        **_cautions(order),
        "on_lift": on_lift,
        "shows_work": on_lift or order.state == State.HANDED_OVER or _is_at_work(order),
        "side_moves": side_moves(order, moves_from(order, request.user)),
        "follow_ups": list(order.follow_ups.all()),
        "comeback": getattr(order, "comeback", None) if order.kind == OrderKind.COMEBACK else None,
        "log": first_rows(order.log.all(), LOG_SHOWN),
        "customer_link": customer_link(request, order),
    }


def _cautions(order: WorkOrder) -> dict[str, list[str]]:
    """All cautions of the job, and on the lift those of fitting, which stand open."""
    if not _is_at_work(order):
        return {}
    job = job_of(order)
    fitting = cautions_at(job, Moment.FIT) if order.state == State.ON_LIFT else []
    rest = [text for text in cautions_for(job, TECHNICIAN) if text not in fitting]
    return {"cautions": rest, "fitting_cautions": fitting}


def _is_at_work(order: WorkOrder) -> bool:
    return order.state in (State.BOOKED, *WORK_STATES)


def _not_due(order: WorkOrder, due: list[Any]) -> list[Any]:
    """Signatures for fasteners that are not on the list."""
    keys = {item.key for item in due}
    signs = order.torques.filter(reopened_at=None).select_related("by")
    return [sign for sign in signs if sign.due not in keys]
