"""Making work orders and moving them from state to state."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from django.db import transaction
from django.utils import timezone
from django.utils.functional import Promise
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from shop.languages import speech_of_shop
from shop.models import OrderKind, RoadTest, State, User, WorkOrder
from shop.models.work import Tried
from shop.orders.services.latest_quote import authorisation_of, quote_latest
from shop.orders.services.locking import order_lock
from shop.orders.services.log import log_write
from shop.orders.services.quoted import job_differs
from shop.orders.services.standing import Standing, standing_of
from shop.orders.services.torque_reopening import reopen_logged
from shop.orders.services.torques import lines_unaccounted, torques_open
from shop.site.refusals import NotYours, Refused

CUSTOMER = "customer"
WRITER = "writer"
TECHNICIAN = "technician"
MANAGER = "manager"

#: A guard answers why the move may not be made, or an empty text.
Guard = Callable[[WorkOrder, User | None, str], str]


def _wants_reason(order: WorkOrder, by: User | None, reason: str) -> str:
    return "" if reason.strip() else _("Enter a reason. It is kept in the log.")


def _has_quote(order: WorkOrder, by: User | None, reason: str) -> str:
    return "" if order.quotes.exists() else _("No quote has been sent.")


def _is_authorised(order: WorkOrder, by: User | None, reason: str) -> str:
    if authorisation_of(quote_latest(order)) is not None:
        return ""
    return _("The customer has not authorised the latest quote.")


def _is_booked(order: WorkOrder, by: User | None, reason: str) -> str:
    return "" if order.bookings.exists() else _("No bay and time are booked.")


def _is_unbooked(order: WorkOrder, by: User | None, reason: str) -> str:
    return _("Cancel the appointments first.") if order.bookings.exists() else ""


def _goes_without_quote(order: WorkOrder, by: User | None, reason: str) -> str:
    return (
        _("This job must be quoted and approved before it is booked.") if order.needs_quote else ""
    )


def _goes_with_quote(order: WorkOrder, by: User | None, reason: str) -> str:
    """An agreed order goes back to agreed; what was never quoted goes back to asked."""
    return "" if order.quotes.exists() else _("This order was never quoted. It returns to enquiry.")


def _goes_back_unquoted(order: WorkOrder, by: User | None, reason: str) -> str:
    return _("This order was quoted. It returns to approved.") if order.quotes.exists() else ""


def _torques_signed(order: WorkOrder, by: User | None, reason: str) -> str:
    unsaid = [line.description for line in lines_unaccounted(order)]
    if unsaid:
        return _("Not recorded as fitted, nor why not: {names}.").format(names=", ".join(unsaid))
    open_ones = [due.title for due in torques_open(order)]
    return _("Torque not signed: {names}.").format(names="; ".join(open_ones)) if open_ones else ""


def _stands_as_approved(order: WorkOrder, by: User | None, reason: str) -> str:
    """The gates are open, and the job is what the latest quote says and the customer approved."""
    return standing_of(order).why_not


def _as_quoted(order: WorkOrder, by: User | None, reason: str) -> str:
    """Wheels, settings and lines are those that the customer approved; what a check says by now
    does not keep a car here that was tested."""
    quote = quote_latest(order)
    if quote is None:
        return ""
    changed = tuple(job_differs(order, quote))
    return Standing(changed=changed, unsigned=authorisation_of(quote) is None).why_not


def _is_survey_visit(order: WorkOrder, by: User | None, reason: str) -> str:
    if order.kind == OrderKind.SURVEY_VISIT:
        return ""
    return _("Record the road test before the hand-over.")


def _rub_checked(order: WorkOrder, by: User | None, reason: str) -> str:
    """The latest road test turned the wheel both ways and found no contact.

    A manager may hand over with contact on record, giving the reason.
    """
    test = RoadTest.objects.filter(order=order).first()
    if test is None:
        return _("No road test recorded.")
    if Tried.NOT_DONE in (test.lock_left, test.lock_right):
        return _("The latest road test did not reach full lock both ways.")
    touched = Tried.TOUCHED in test.outcomes or test.marks.filter(contact=True).exists()
    if not touched:
        return ""
    if by is not None and by.is_manager:
        return _wants_reason(order, by, reason)
    return _(
        "The latest road test found contact. Correct it and test again, or ask a "
        "manager to hand over with a reason."
    )


@dataclass(frozen=True)
class Move:
    """One row of the table of moves."""

    start: str
    end: str
    roles: frozenset[str]
    guards: tuple[Guard, ...]
    label: Promise
    wants_reason: bool = False


def _move(start: str, end: str, roles: str, label: Promise, *guards: Guard) -> Move:
    return Move(
        start, end, frozenset(roles.split()), guards, label, wants_reason=_wants_reason in guards
    )


BEFORE_THE_LIFT = (State.ENQUIRY, State.QUOTED, State.APPROVED, State.BOOKED)

#: Every move there is. A manager may make any of them; the customer only the one to agreed.
MOVES: tuple[Move, ...] = (
    _move(State.ENQUIRY, State.QUOTED, "writer", gettext_lazy("Quote sent"), _has_quote),
    _move(
        State.ENQUIRY,
        State.BOOKED,
        "writer",
        gettext_lazy("Booked"),
        _goes_without_quote,
        _is_booked,
    ),
    _move(State.QUOTED, State.APPROVED, "writer customer", gettext_lazy("Approve"), _is_authorised),
    _move(State.APPROVED, State.QUOTED, "writer", gettext_lazy("Quote again"), _has_quote),
    _move(
        State.APPROVED, State.BOOKED, "writer", gettext_lazy("Booked"), _is_authorised, _is_booked
    ),
    _move(
        State.BOOKED,
        State.APPROVED,
        "writer",
        gettext_lazy("Remove booking"),
        _is_unbooked,
        _goes_with_quote,
    ),
    _move(
        State.BOOKED,
        State.ENQUIRY,
        "writer",
        gettext_lazy("Remove booking"),
        _is_unbooked,
        _goes_back_unquoted,
    ),
    _move(
        State.BOOKED,
        State.ON_LIFT,
        "technician",
        gettext_lazy("Put the car on the lift"),
        _is_booked,
        _stands_as_approved,
    ),
    _move(
        State.ON_LIFT,
        State.BOOKED,
        "technician",
        gettext_lazy("Take the car off the lift"),
        _wants_reason,
    ),
    _move(
        State.ON_LIFT,
        State.ROAD_TEST,
        "technician",
        gettext_lazy("Start the road test"),
        _stands_as_approved,
        _torques_signed,
    ),
    _move(
        State.ON_LIFT,
        State.HANDED_OVER,
        "technician writer",
        gettext_lazy("Finish the survey visit"),
        _is_survey_visit,
        _torques_signed,
    ),
    _move(
        State.ROAD_TEST,
        State.ON_LIFT,
        "technician",
        gettext_lazy("Back on the lift"),
        _wants_reason,
    ),
    _move(
        State.ROAD_TEST,
        State.HANDED_OVER,
        "technician writer",
        gettext_lazy("Hand over"),
        _rub_checked,
        _as_quoted,
        _torques_signed,
    ),
    *(
        _move(
            state,
            State.CANCELLED,
            "writer",
            gettext_lazy("Cancel order"),
            _is_unbooked,
            _wants_reason,
        )
        for state in BEFORE_THE_LIFT
    ),
    *(
        _move(state, State.CANCELLED, "writer", gettext_lazy("Cancel order"), _wants_reason)
        for state in (State.ON_LIFT, State.ROAD_TEST)
    ),
    _move(State.CANCELLED, State.ENQUIRY, "writer", gettext_lazy("Reopen order"), _wants_reason),
)
_BY_ENDS = {(move.start, move.end): move for move in MOVES}


def move_between(start: str, end: str) -> Move | None:
    return _BY_ENDS.get((start, end))


def moves_from(order: WorkOrder, user: User) -> list[Move]:
    """Moves out of the order's state that this person's role may make; guards not asked."""
    return [m for m in MOVES if m.start == order.state and user.has_role(*m.roles - {CUSTOMER})]


def _check_role(move: Move, by: User | None) -> None:
    if by is None:
        if CUSTOMER not in move.roles:
            raise NotYours(_("Only the shop can take this step."))
    elif not by.has_role(*move.roles - {CUSTOMER}):
        raise NotYours(_("Your role cannot take this step."))


@transaction.atomic
def order_move(
    *, order: WorkOrder, to: str, by: User | None, reason: str = "", who: str = ""
) -> WorkOrder:
    """Move ``order`` to the state ``to``, if the table, the role and the guards allow it.

    ``by`` None is the customer on the link. The given instance is brought up to date.
    Raises Refused (NotYours for a wrong role) with the reason.
    """
    row = order_lock(order)
    move = move_between(row.state, to)
    if move is None:
        raise Refused(
            _("The order cannot go from “{before}” to “{after}”.").format(
                before=State(row.state).label, after=State(to).label
            )
        )
    _check_role(move, by)
    for guard in move.guards:
        if why_not := guard(row, by, reason):
            raise Refused(why_not, field="reason" if guard is _wants_reason else "")
    before = row.state
    row.state = to
    row.state_since = timezone.now()
    row.save(update_fields=["state", "state_since"])
    log_write(
        order=row,
        by=by,
        who=who,
        what=" → ".join(speech_of_shop().say(State(state).label) for state in (before, to)),
        detail=reason.strip(),
    )
    if to == State.ON_LIFT and by is not None:
        reopen_logged(row, by, reason.strip() or str(move.label))
    order.state, order.state_since = row.state, row.state_since
    return order


@transaction.atomic
def order_hand_over(*, order: WorkOrder, by: User, reason: str, curves: bool) -> WorkOrder:
    """Hand the car over, and note whether its spec sheet shows the curves."""
    order_move(order=order, to=State.HANDED_OVER, by=by, reason=reason)
    if order.curves_on_sheet != curves:
        order.curves_on_sheet = curves
        order.save(update_fields=["curves_on_sheet"])
    return order
