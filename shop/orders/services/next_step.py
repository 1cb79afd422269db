"""What has to happen next on an order, and the one action that does it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from common.verdicts import GateResult
from shop.extensions.answers import Question
from shop.extensions.gates import MANAGER, NO_ROLE, WRITER
from shop.models import CustomerAnswer, OrderKind, Role, State, User, WaitingFor, WorkOrder
from shop.orders.services.gates import GateVerdict, closed_gate, lead_of
from shop.orders.services.standing import AFTER_BOOKING, Standing

WHO = {
    Role.WRITER: gettext_lazy("a service writer"),
    Role.TECHNICIAN: gettext_lazy("a technician"),
    Role.MANAGER: gettext_lazy("a manager"),
}


#: States in which what the customer said comes before all else.
BEFORE_BOOKING = (State.ENQUIRY, State.QUOTED, State.APPROVED)


@dataclass(frozen=True)
class NextAct:
    """``words`` for all; ``label`` and ``url`` for those whose ``role`` may act.

    With ``move_to`` the action is a move of the order and is posted; otherwise it is a link.
    ``more`` says below the words why, or what would help. ``question`` is the one of the order's
    page that it answers.
    """

    words: str
    role: str = Role.WRITER
    label: str = ""
    url: str = ""
    move_to: str = ""
    question: Question | None = None
    more: str = ""

    def is_for(self, user: User) -> bool:
        return bool(self.label) and user.has_role(self.role)

    @property
    def who(self) -> str:
        return str(WHO[Role(self.role)])


def next_act(
    order: WorkOrder,
    verdicts: Sequence[GateVerdict],
    *,
    has_lines: bool,
    parts_due: bool,
    torques_open: bool,
    has_road_test: bool,
    standing: Standing | None = None,
    parts_late: str = "",
) -> NextAct:
    """The one next act of an order page; ``parts_late`` names parts that arrive after the
    appointment."""
    standing = standing or Standing()
    state = State(order.state)
    if state in BEFORE_BOOKING and standing.answer is not None:
        return _to_the_customer(order, standing.answer)
    tested = state == State.ROAD_TEST and has_road_test
    if state in AFTER_BOOKING and not tested and (anew := _anew(order, verdicts, standing)):
        return anew
    match state:
        case State.ENQUIRY if not order.needs_quote:
            return _book(order, verdicts)
        case State.ENQUIRY:
            return _before_the_quote(order, verdicts, has_lines)
        case State.QUOTED:
            return _quoted(order, verdicts, standing)
        case State.APPROVED:
            return _agreed(order, verdicts, parts_due, standing)
        case State.BOOKED:
            return _booked(order, verdicts, parts_due, parts_late)
        case State.ON_LIFT:
            return _on_the_lift(order, torques_open)
        case State.ROAD_TEST:
            return _on_the_road(order, has_road_test)
        case State.CANCELLED:
            return NextAct(_("This order was cancelled."))
        case State.HANDED_OVER:
            return NextAct(
                _("The car was handed over."),
                label=_("Open the spec sheet"),
                url=_to("order_sheet", order),
                question=Question.HELD,
            )


def _to_the_customer(order: WorkOrder, answer: CustomerAnswer) -> NextAct:
    """What to do about what the customer said on their page."""
    url = _to("customer_answers", order)
    match CustomerAnswer.Kind(answer.kind):
        case CustomerAnswer.Kind.ASKED:
            words = _("The customer asks: {text}").format(text=answer.text)
            return NextAct(words, label=_("Answer the question"), url=url)
        case CustomerAnswer.Kind.CHOSE:
            words = _("The customer chose option {label}: {text}").format(
                label=answer.label, text=answer.text
            )
            return NextAct(words, label=_("See what was chosen"), url=url)
        case CustomerAnswer.Kind.DECLINED:
            words = _("The customer declined the quote.")
            if answer.text:
                words = _("The customer declined the quote: {text}").format(text=answer.text)
            return NextAct(words, label=_("See what was said"), url=url)


def _to(name: str, order: WorkOrder) -> str:
    return reverse(name, args=[order.pk])


def _sign(order: WorkOrder, words: str) -> NextAct:
    url = _to("quote_sign", order)
    return NextAct(words, label=_("Customer signs here"), url=url, question=Question.COST)


def _quoted(order: WorkOrder, verdicts: Sequence[GateVerdict], standing: Standing) -> NextAct:
    barred = next((v for v in verdicts if v.answer.result == GateResult.CANNOT_BE_MOUNTED), None)
    if barred is not None:
        return _past_the_gate(order, barred)
    if standing.changed:
        return _new_quote(order, standing)
    return _sign(
        order,
        _("Waiting for approval. The customer authorises the quote on their link or in person."),
    )


def _booked(
    order: WorkOrder, verdicts: Sequence[GateVerdict], parts_due: bool, parts_late: str
) -> NextAct:
    if parts_due:
        return _parts(order, verdicts)
    if order.waiting_for == WaitingFor.PARTS:
        return NextAct(
            parts_late or _("The parts are on order."),
            label=_("Parts have arrived"),
            url=_to("order_parts", order),
            question=Question.WHEN,
        )
    return NextAct(
        _("Booked. Put the car on the lift at its appointment."),
        Role.TECHNICIAN,
        _("Put the car on the lift"),
        _to("order_move", order),
        State.ON_LIFT,
        Question.WHEN,
    )


def _on_the_road(order: WorkOrder, has_road_test: bool) -> NextAct:
    if has_road_test:
        return NextAct(
            _("Road test recorded."),
            Role.TECHNICIAN,
            _("Hand over"),
            _to("hand_over", order),
            question=Question.HELD,
        )
    return NextAct(
        _("The car is on its road test."),
        Role.TECHNICIAN,
        _("Record road test"),
        _to("road_test", order),
        question=Question.HELD,
    )


def _anew(order: WorkOrder, verdicts: Sequence[GateVerdict], standing: Standing) -> NextAct | None:
    """After booking, the way back to a job that is checked, quoted and approved as it is; None
    where it is."""
    if standing.holds:
        return None
    shut = closed_gate(verdicts)
    if shut is not None and (_is_check(shut) or not standing.changed):
        return _past_the_gate(order, shut)
    if standing.changed:
        return _new_quote(order, standing)
    return _sign(
        order, _("The new quote waits for the customer's approval. The work waits with it.")
    )


def _is_check(shut: GateVerdict) -> bool:
    """Whether a closed gate asks for a check or other parts first: before that a quote says
    nothing new."""
    return shut.may_pass == NO_ROLE


def _new_quote(order: WorkOrder, standing: Standing) -> NextAct:
    return NextAct(
        standing.why_not if standing.shut is None else Standing(changed=standing.changed).why_not,
        label=_("Send new quote"),
        url=_to("quote_send", order),
        question=Question.COST,
    )


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
                question=Question.FITS,
            )
        if unmeasured := _first_with_action(verdicts, GateResult.UNMEASURED):
            return NextAct(
                unmeasured.answer.sentence,
                label=unmeasured.answer.action_label,
                url=unmeasured.answer.action_url,
                question=Question.FITS,
            )
        return NextAct(
            _("Add labour and parts."),
            label=_("Add quote lines"),
            url=_to("order_lines", order),
            question=Question.COST,
        )
    shut = lead_of(
        v for v in verdicts if v.answer.action_url and v.may_pass != WRITER and not v.override
    )
    if shut:
        return NextAct(
            shut.answer.headline,
            more=_("A quote can still be sent, with this as a warning."),
            label=shut.answer.action_label,
            url=shut.answer.action_url,
            question=Question.FITS,
        )
    return NextAct(
        _("The quote lines are complete. Send the quote."),
        label=_("Send quote"),
        url=_to("quote_send", order),
        question=Question.COST,
    )


def _past_the_gate(order: WorkOrder, verdict: GateVerdict) -> NextAct:
    """The way on from a closed gate."""
    if verdict.may_pass == MANAGER and verdict.wants_override:
        return NextAct(
            verdict.answer.headline,
            Role.MANAGER,
            _("Override and continue"),
            _to("gate_override", order),
            question=Question.FITS,
            more=verdict.why_closed,
        )
    if verdict.may_pass == MANAGER:
        return NextAct(
            verdict.answer.headline,
            more=_("The customer must sign for this, on a quote that states it."),
            label=_("Send new quote"),
            url=_to("quote_send", order),
            question=Question.COST,
        )
    return NextAct(
        verdict.answer.headline,
        more=verdict.why_closed,
        label=verdict.answer.action_label,
        url=verdict.answer.action_url,
        question=Question.FITS,
    )


def _book(order: WorkOrder, verdicts: Sequence[GateVerdict]) -> NextAct:
    shut = closed_gate(verdicts)
    if shut:
        return _past_the_gate(order, shut)
    words = _("Choose a bay, a technician and a time.")
    if order.waiting_for == WaitingFor.PARTS:
        words = _("The parts are on order. Book for when they arrive.")
    url = _to("booking_new", order)
    return NextAct(words, label=_("Book"), url=url, question=Question.WHEN)


def _parts(order: WorkOrder, verdicts: Sequence[GateVerdict]) -> NextAct:
    shut = closed_gate(verdicts)
    if shut:
        return _past_the_gate(order, shut)
    return NextAct(
        _("Approved by the customer. Order the parts."),
        label=_("Order parts"),
        url=_to("parts_order", order),
        question=Question.WHEN,
    )


def _agreed(
    order: WorkOrder, verdicts: Sequence[GateVerdict], parts_due: bool, standing: Standing
) -> NextAct:
    if standing.changed:
        shut = closed_gate(verdicts)
        if shut is not None and _is_check(shut):
            return _past_the_gate(order, shut)
        return _new_quote(order, standing)
    if parts_due:
        return _parts(order, verdicts)
    return _book(order, verdicts)


def _on_the_lift(order: WorkOrder, torques_open: bool) -> NextAct:
    if torques_open:
        return NextAct(
            _("The car is on the lift. Fit the parts and sign each torque."),
            Role.TECHNICIAN,
            _("Sign torques"),
            _to("torque_sign", order),
            question=Question.DONE,
        )
    if order.kind == OrderKind.SURVEY_VISIT:
        return NextAct(
            _("The car is on the lift. Measure it, then hand it over."),
            Role.TECHNICIAN,
            _("Finish the survey visit"),
            _to("order_move", order),
            State.HANDED_OVER,
            Question.DONE,
        )
    return NextAct(
        _("Every torque is signed. Next is the road test."),
        Role.TECHNICIAN,
        _("Start the road test"),
        _to("order_move", order),
        State.ROAD_TEST,
        Question.DONE,
    )
