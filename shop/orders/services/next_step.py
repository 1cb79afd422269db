"""What has to happen next on an order, in words, and the one action that does it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from common.verdicts import GateResult
from shop.extensions.gates import MANAGER, NO_ROLE, WRITER
from shop.models import OrderKind, Role, State, User, WaitingFor, WorkOrder
from shop.orders.services.standing import AFTER_BOOKING, Standing

if TYPE_CHECKING:
    from shop.orders.services.gates import GateVerdict


WHO = {
    Role.WRITER: gettext_lazy("a service writer"),
    Role.TECHNICIAN: gettext_lazy("a technician"),
    Role.MANAGER: gettext_lazy("a manager"),
}


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
        return str(WHO[Role(self.role)])


def next_words(order: WorkOrder) -> str:
    """The next act in words for a list; ``order`` comes out of ``for_list``."""
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


def next_act(
    order: WorkOrder,
    verdicts: Sequence[GateVerdict],
    *,
    has_lines: bool,
    parts_due: bool,
    torques_open: bool,
    has_road_test: bool,
    standing: Standing | None = None,
) -> NextAct:
    """The one next act of an order page."""

    def to(name: str) -> str:
        return reverse(name, args=[order.pk])

    state = State(order.state)
    standing = standing or Standing()
    tested = state == State.ROAD_TEST and has_road_test
    if state in AFTER_BOOKING and not tested and (anew := _anew(order, verdicts, standing)):
        return anew
    if state == State.ENQUIRY and not order.needs_quote:
        return _book(order, verdicts, to("booking_new"))
    if state == State.ENQUIRY:
        return _before_the_quote(order, verdicts, has_lines)
    if state == State.QUOTED:
        if standing.changed:
            return _new_quote(order, standing)
        return NextAct(
            _(
                "Waiting for approval. The customer authorises the quote on their link or "
                "in person."
            ),
            label=_("Customer signs here"),
            url=to("quote_sign"),
        )
    if state == State.APPROVED:
        return _agreed(order, verdicts, parts_due, standing)
    if state == State.BOOKED:
        if parts_due:
            return _parts(order, verdicts)
        if order.waiting_for == WaitingFor.PARTS:
            return _arrived(order)
        return NextAct(
            _("Booked. Put the car on the lift at its appointment."),
            Role.TECHNICIAN,
            _("Put the car on the lift"),
            to("order_move"),
            State.ON_LIFT,
        )
    if state == State.ON_LIFT:
        return _on_the_lift(order, torques_open)
    if state == State.ROAD_TEST:
        if has_road_test:
            return NextAct(
                _("Road test recorded."), Role.TECHNICIAN, _("Hand over"), to("hand_over")
            )
        return NextAct(
            _("The car is on its road test."),
            Role.TECHNICIAN,
            _("Record road test"),
            to("road_test"),
        )
    if state == State.CANCELLED:
        return NextAct(_("This order was cancelled."))
    return NextAct(
        _("The car was handed over."), label=_("Open the spec sheet"), url=to("order_sheet")
    )


def _anew(order: WorkOrder, verdicts: Sequence[GateVerdict], standing: Standing) -> NextAct | None:
    """After booking, the way back to a job that is checked, quoted and approved as it is; None
    where it is."""
    if standing.holds:
        return None
    shut = _closed(verdicts)
    if shut is not None and (_is_check(shut) or not standing.changed):
        return _past_the_gate(order, shut)
    if standing.changed:
        return _new_quote(order, standing)
    return NextAct(
        _("The new quote waits for the customer's approval. The work waits with it."),
        label=_("Customer signs here"),
        url=reverse("quote_sign", args=[order.pk]),
    )


def _is_check(shut: GateVerdict) -> bool:
    """Whether a closed gate asks for a check or other parts first: before that a quote says
    nothing new."""
    return shut.may_pass == NO_ROLE


def _new_quote(order: WorkOrder, standing: Standing) -> NextAct:
    return NextAct(
        standing.why_not if standing.shut is None else Standing(changed=standing.changed).why_not,
        label=_("Send new quote"),
        url=reverse("quote_send", args=[order.pk]),
    )


def _closed(verdicts: Sequence[GateVerdict]) -> GateVerdict | None:
    return next((verdict for verdict in verdicts if not verdict.is_open), None)


def _first_with_action(verdicts: Sequence[GateVerdict], result: GateResult) -> GateVerdict | None:
    return next((v for v in verdicts if v.answer.result == result and v.answer.action_url), None)


def _before_the_quote(
    order: WorkOrder, verdicts: Sequence[GateVerdict], has_lines: bool
) -> NextAct:
    if not has_lines:
        if unknown := _first_with_action(verdicts, GateResult.NOT_CHECKED):
            return NextAct(
                _(
                    "Choose wheels, tyres and settings and check their clearance. Then add "
                    "labour and parts."
                ),
                label=unknown.answer.action_label,
                url=unknown.answer.action_url,
            )
        if unmeasured := _first_with_action(verdicts, GateResult.UNMEASURED):
            return NextAct(
                unmeasured.answer.sentence,
                label=unmeasured.answer.action_label,
                url=unmeasured.answer.action_url,
            )
        return NextAct(
            _("Add labour and parts."),
            label=_("Add quote lines"),
            url=reverse("order_lines", args=[order.pk]),
        )
    shut = next(
        (v for v in verdicts if v.answer.action_url and v.may_pass != WRITER and not v.override),
        None,
    )
    if shut:
        return NextAct(
            f"{shut.answer.sentence} " + _("A quote can still be sent, with this as a warning."),
            label=shut.answer.action_label,
            url=shut.answer.action_url,
        )
    return NextAct(
        _("The quote lines are complete. Send the quote."),
        label=_("Send quote"),
        url=reverse("quote_send", args=[order.pk]),
    )


def _past_the_gate(order: WorkOrder, verdict: GateVerdict) -> NextAct:
    """The way on from a closed gate."""
    if verdict.may_pass == MANAGER and verdict.wants_override:
        return NextAct(
            f"{verdict.answer.sentence} {verdict.why_closed}",
            Role.MANAGER,
            _("Override and continue"),
            reverse("gate_override", args=[order.pk]),
        )
    if verdict.may_pass == MANAGER:
        return NextAct(
            f"{verdict.answer.sentence} "
            + _("The customer must sign for this, on a quote that states it."),
            label=_("Send new quote"),
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
    words = _("Choose a bay, a technician and a time.")
    if order.waiting_for == WaitingFor.PARTS:
        words = _("The parts are on order. Book for when they arrive.")
    return NextAct(words, label=_("Book"), url=url)


def _parts(order: WorkOrder, verdicts: Sequence[GateVerdict]) -> NextAct:
    shut = _closed(verdicts)
    if shut:
        return _past_the_gate(order, shut)
    return NextAct(
        _("Approved by the customer. Order the parts."),
        label=_("Order parts"),
        url=reverse("parts_order", args=[order.pk]),
    )


def _arrived(order: WorkOrder) -> NextAct:
    return NextAct(
        _("The parts are on order."),
        label=_("Parts have arrived"),
        url=reverse("order_wait", args=[order.pk]),
    )


def _agreed(
    order: WorkOrder, verdicts: Sequence[GateVerdict], parts_due: bool, standing: Standing
) -> NextAct:
    if standing.changed:
        shut = _closed(verdicts)
        if shut is not None and _is_check(shut):
            return _past_the_gate(order, shut)
        return _new_quote(order, standing)
    if parts_due:
        return _parts(order, verdicts)
    return _book(order, verdicts, reverse("booking_new", args=[order.pk]))


def _on_the_lift(order: WorkOrder, torques_open: bool) -> NextAct:
    if torques_open:
        return NextAct(
            _("The car is on the lift. Fit the parts and sign each torque."),
            Role.TECHNICIAN,
            _("Sign torques"),
            reverse("torque_sign", args=[order.pk]),
        )
    if order.kind == OrderKind.SURVEY_VISIT:
        return NextAct(
            _("The car is on the lift. Measure it, then hand it over."),
            Role.TECHNICIAN,
            _("Finish the survey visit"),
            reverse("order_move", args=[order.pk]),
            State.HANDED_OVER,
        )
    return NextAct(
        _("Every torque is signed. Next is the road test."),
        Role.TECHNICIAN,
        _("Start the road test"),
        reverse("order_move", args=[order.pk]),
        State.ROAD_TEST,
    )
