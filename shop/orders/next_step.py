"""What has to happen next on an order, in words, and the one action that does it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from django.urls import reverse

from shop.models import OrderKind, Role, State, User, WaitingFor, WorkOrder
from shop.site.extension_points import MANAGER, WRITER

if TYPE_CHECKING:
    from shop.orders.gates import GateVerdict

WHO = {Role.WRITER: "a service writer", Role.TECHNICIAN: "a technician", Role.MANAGER: "a manager"}


@dataclass(frozen=True)
class NextAct:
    """``words`` for everybody; ``label`` and ``url`` for those whose ``role`` may act.

    With ``move_to`` the action is a move of the order and is posted; otherwise it is a link.
    """

    words: str
    role: str = Role.WRITER
    label: str = ""
    url: str = ""
    move_to: str = ""

    def is_for(self, user: User) -> bool:
        return bool(self.label) and user.has_role(self.role)

    @property
    def who(self) -> str:
        return WHO.get(Role(self.role), "")


def next_words(order: WorkOrder) -> str:
    """The next act in words for a list; ``order`` comes from ``WorkOrder.objects.for_list()``."""
    if order.waiting_for == WaitingFor.PARTS:
        to_book = order.state == State.APPROVED
        return "Book a time for when the parts are here" if to_book else "Wait for the parts"
    if order.waiting_for == WaitingFor.CUSTOMER and order.state != State.QUOTED:
        return "Hear from the customer"
    parts_due = getattr(order, "has_parts", False) and order.parts_ordered_at is None
    words = {
        State.ENQUIRY: _asked_words(order),
        State.QUOTED: "Hear whether the customer agrees",
        State.APPROVED: "Order the parts" if parts_due else "Book a bay and a time",
        State.BOOKED: "Put the car on the lift",
        State.ON_LIFT: "Do the work and sign for it",
        State.ROAD_TEST: "Hand the car over"
        if getattr(order, "has_road_test", False)
        else "Drive and record the road test",
        State.HANDED_OVER: "Nothing: handed over",
        State.CANCELLED: "Nothing: dropped",
    }
    return words[State(order.state)]


def _asked_words(order: WorkOrder) -> str:
    if not order.needs_quote:
        return "Book a bay and a time"
    if not getattr(order, "has_lines", True):
        return "Write down the work and the parts"
    if order.needs_check:
        return "Check the room, then send the quote"
    return "Send the quote"


def next_act(
    order: WorkOrder,
    verdicts: Sequence[GateVerdict],
    *,
    has_lines: bool,
    parts_due: bool,
    torques_open: bool,
    has_road_test: bool,
    lines_changed: bool = False,
) -> NextAct:
    """The one next act of an order page."""

    def to(name: str) -> str:
        return reverse(name, args=[order.pk])

    state = State(order.state)
    if state == State.ENQUIRY and not order.needs_quote:
        return _book(order, verdicts, to("booking_new"))
    if state == State.ENQUIRY:
        return _before_the_quote(order, verdicts, has_lines)
    if state == State.QUOTED:
        if lines_changed:
            return NextAct(
                "The lines have changed since the quote was sent: send it again.",
                label="Send a new quote",
                url=to("quote_send"),
            )
        return NextAct(
            "The quote is with the customer, who authorises it on their link or in person.",
            label="Sign in person",
            url=to("quote_sign"),
        )
    if state == State.APPROVED:
        return _agreed(order, verdicts, parts_due, lines_changed)
    if state == State.BOOKED:
        if parts_due:
            return _parts(order, verdicts)
        if order.waiting_for == WaitingFor.PARTS:
            return _arrived(order)
        return NextAct(
            "The car goes on the lift when its time comes.",
            Role.TECHNICIAN,
            "Put the car on the lift",
            to("order_move"),
            State.ON_LIFT,
        )
    if state == State.ON_LIFT:
        return _on_the_lift(order, torques_open)
    if state == State.ROAD_TEST:
        if has_road_test:
            return NextAct(
                "The road test is on record.", Role.TECHNICIAN, "Hand over", to("hand_over")
            )
        return NextAct(
            "The car is on its road test.", Role.TECHNICIAN, "Record the road test", to("road_test")
        )
    if state == State.CANCELLED:
        return NextAct("This order was dropped.")
    return NextAct("The car was handed over.", label="Open the spec sheet", url=to("order_sheet"))


def _closed(verdicts: Sequence[GateVerdict]) -> GateVerdict | None:
    return next((verdict for verdict in verdicts if not verdict.is_open), None)


def _before_the_quote(
    order: WorkOrder, verdicts: Sequence[GateVerdict], has_lines: bool
) -> NextAct:
    if not has_lines:
        unknown = next(
            (v for v in verdicts if v.answer.result == "not checked" and v.answer.action_url), None
        )
        if unknown:
            return NextAct(
                "Choose wheels, tyres and settings and see whether they clear. Then write down the "
                "work and the parts.",
                label=unknown.answer.action_label,
                url=unknown.answer.action_url,
            )
        return NextAct(
            "Write down the work and the parts.",
            label="Write the lines",
            url=reverse("order_lines", args=[order.pk]),
        )
    shut = next(
        (v for v in verdicts if v.answer.action_url and v.may_pass != WRITER and not v.override),
        None,
    )
    if shut:
        return NextAct(
            f"{shut.answer.sentence} A quote can be sent all the same, with this as a warning.",
            label=shut.answer.action_label,
            url=shut.answer.action_url,
        )
    return NextAct(
        "The work is written down: send the quote.",
        label="Send the quote",
        url=reverse("quote_send", args=[order.pk]),
    )


def _past_the_gate(order: WorkOrder, verdict: GateVerdict) -> NextAct:
    """The way on from a closed gate."""
    if verdict.may_pass == MANAGER and verdict.wants_override:
        return NextAct(
            f"{verdict.answer.sentence} {verdict.why_closed}",
            Role.MANAGER,
            "Decide whether to go on",
            reverse("gate_override", args=[order.pk]),
        )
    if verdict.may_pass == MANAGER:
        return NextAct(
            f"{verdict.answer.sentence} The customer has to sign under this sentence, on a quote "
            "that carries it.",
            label="Send a new quote",
            url=reverse("quote_send", args=[order.pk]),
        )
    return NextAct(
        f"{verdict.answer.sentence} {verdict.why_closed}",
        label=verdict.answer.action_label,
        url=verdict.answer.action_url,
    )


def _book(order: WorkOrder, verdicts: Sequence[GateVerdict], url: str) -> NextAct:
    shut = _closed(verdicts)
    if shut:
        return _past_the_gate(order, shut)
    words = "Find a bay, a technician and a time."
    if order.waiting_for == WaitingFor.PARTS:
        words = "The parts are on their way. Book a time for when they are here."
    return NextAct(words, label="Book a time", url=url)


def _parts(order: WorkOrder, verdicts: Sequence[GateVerdict]) -> NextAct:
    shut = _closed(verdicts)
    if shut:
        return _past_the_gate(order, shut)
    return NextAct(
        "The customer has agreed: order the parts.",
        label="Order the parts",
        url=reverse("parts_order", args=[order.pk]),
    )


def _arrived(order: WorkOrder) -> NextAct:
    return NextAct(
        "The parts are on their way.",
        label="The parts are here",
        url=reverse("order_wait", args=[order.pk]),
    )


def _agreed(
    order: WorkOrder, verdicts: Sequence[GateVerdict], parts_due: bool, lines_changed: bool
) -> NextAct:
    if lines_changed:
        return NextAct(
            "The lines have changed since the customer agreed: send the quote again.",
            label="Send a new quote",
            url=reverse("quote_send", args=[order.pk]),
        )
    if parts_due:
        return _parts(order, verdicts)
    return _book(order, verdicts, reverse("booking_new", args=[order.pk]))


def _on_the_lift(order: WorkOrder, torques_open: bool) -> NextAct:
    if torques_open:
        return NextAct(
            "The car is on the lift: fit the parts, and sign for each torque.",
            Role.TECHNICIAN,
            "Sign torques",
            reverse("torque_sign", args=[order.pk]),
        )
    if order.kind == OrderKind.SURVEY_VISIT:
        return NextAct(
            "The car is on the lift: measure it, then give it back.",
            Role.TECHNICIAN,
            "Finish the survey visit",
            reverse("order_move", args=[order.pk]),
            State.HANDED_OVER,
        )
    return NextAct(
        "Every torque is signed for: the road test comes next.",
        Role.TECHNICIAN,
        "Go on the road test",
        reverse("order_move", args=[order.pk]),
        State.ROAD_TEST,
    )
