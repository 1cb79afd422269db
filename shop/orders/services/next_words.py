"""What has to happen next on an order, in words for a list: the order's row alone is asked."""

from __future__ import annotations

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from shop.models import CustomerAnswer, State, WaitingFor, WorkOrder

#: What to do about what the customer said on their page, by its kind.
ANSWERED = {
    CustomerAnswer.Kind.ASKED: gettext_lazy("Answer the customer's question"),
    CustomerAnswer.Kind.CHOSE: gettext_lazy("Customer chose another option"),
    CustomerAnswer.Kind.DECLINED: gettext_lazy("Customer declined the quote"),
}


def next_words(order: WorkOrder) -> str:
    """The next act in words for a list; ``order`` comes out of ``for_list``."""
    said: str | None = getattr(order, "customer_said", None)
    if said and order.state in (State.ENQUIRY, State.QUOTED, State.APPROVED):
        return str(ANSWERED[CustomerAnswer.Kind(said)])
    if order.waiting_for == WaitingFor.PARTS:
        to_book = order.state == State.APPROVED
        return _("Book for when the parts arrive") if to_book else _("Waiting for parts")
    if order.waiting_for == WaitingFor.CUSTOMER and order.state != State.QUOTED:
        return _("Waiting for the customer")
    parts_due = getattr(order, "has_parts", False) and order.parts_ordered_at is None
    words = {
        State.ENQUIRY: _asked_words(order),
        State.QUOTED: _("Waiting for approval"),
        State.APPROVED: _("Order parts") if parts_due else _("Book a bay and a time"),
        State.BOOKED: _("Put the car on the lift"),
        State.ON_LIFT: _("In progress: sign torques"),
        State.ROAD_TEST: _("Hand over the car")
        if getattr(order, "has_road_test", False)
        else _("Drive and record the road test"),
        State.HANDED_OVER: _("Closed"),
        State.CANCELLED: _("Closed"),
    }
    return words[State(order.state)]


def _asked_words(order: WorkOrder) -> str:
    if not order.needs_quote:
        return _("Book a bay and a time")
    if not getattr(order, "has_lines", True):
        return _("Add labour and parts")
    if order.needs_check:
        return _("Check clearance, then quote")
    return _("Send quote")
