"""Making work orders and moving them from state to state."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from django.db import transaction
from django.utils import timezone

from shop.models import (
    Authorisation,
    Comeback,
    OrderKind,
    RoadTest,
    ShopSettings,
    State,
    User,
    WaitingFor,
    WorkOrder,
)
from shop.models.work import Tried
from shop.orders.log import log_write
from shop.orders.refusals import NotYours, Refused
from shop.orders.torques import torques_due

CUSTOMER = "customer"
WRITER = "writer"
TECHNICIAN = "technician"
MANAGER = "manager"

#: A guard answers why the move may not be made, or an empty text.
Guard = Callable[[WorkOrder, User | None, str], str]


def _wants_reason(order: WorkOrder, by: User | None, reason: str) -> str:
    return "" if reason.strip() else "Say why: the reason stays in the log."


def _has_quote(order: WorkOrder, by: User | None, reason: str) -> str:
    return "" if order.quotes.exists() else "No quote has been sent."


def _is_authorised(order: WorkOrder, by: User | None, reason: str) -> str:
    latest = order.quotes.order_by("-sent_at", "-pk").first()
    if latest and Authorisation.objects.filter(quote=latest).exists():
        return ""
    return "The customer has not authorised the latest quote."


def _is_booked(order: WorkOrder, by: User | None, reason: str) -> str:
    return "" if order.bookings.exists() else "No bay and time are booked."


def _is_unbooked(order: WorkOrder, by: User | None, reason: str) -> str:
    return "Take back the booked times first." if order.bookings.exists() else ""


def _goes_without_quote(order: WorkOrder, by: User | None, reason: str) -> str:
    return "This job is quoted and agreed before it is booked." if order.needs_quote else ""


def _goes_with_quote(order: WorkOrder, by: User | None, reason: str) -> str:
    """An agreed order goes back to agreed; what was never quoted goes back to asked."""
    return "" if order.quotes.exists() else "Nothing was agreed: it goes back to asked."


def _goes_back_unquoted(order: WorkOrder, by: User | None, reason: str) -> str:
    return "It was agreed: it goes back to agreed." if order.quotes.exists() else ""


def _torques_signed(order: WorkOrder, by: User | None, reason: str) -> str:
    open_ones = [due.what for due in torques_due(order) if not due.signed]
    return f"Torque not signed: {', '.join(open_ones)}." if open_ones else ""


def _is_survey_visit(order: WorkOrder, by: User | None, reason: str) -> str:
    if order.kind == OrderKind.SURVEY_VISIT:
        return ""
    return "The road test comes before the hand-over."


def _rub_checked(order: WorkOrder, by: User | None, reason: str) -> str:
    """The latest road test turned the wheel both ways and found no contact.

    A manager may hand over with contact on record, giving the reason.
    """
    test = RoadTest.objects.filter(order=order).first()
    if test is None:
        return "No road test is recorded."
    if Tried.NOT_DONE in (test.lock_left, test.lock_right):
        return "The latest road test did not go to full lock both ways."
    touched = Tried.TOUCHED in test.outcomes or test.marks.filter(contact=True).exists()
    if not touched:
        return ""
    if by is not None and by.is_manager:
        return _wants_reason(order, by, reason)
    return (
        "The latest road test found contact. Put it right and test again, or let a manager "
        "hand over with a reason."
    )


@dataclass(frozen=True)
class Move:
    """One row of the table of moves."""

    start: str
    end: str
    roles: frozenset[str]
    guards: tuple[Guard, ...]
    label: str
    wants_reason: bool = False


def _move(start: str, end: str, roles: str, label: str, *guards: Guard) -> Move:
    return Move(
        start, end, frozenset(roles.split()), guards, label, wants_reason=_wants_reason in guards
    )


BEFORE_THE_LIFT = (State.ENQUIRY, State.QUOTED, State.APPROVED, State.BOOKED)

#: Every move there is. A manager may make any of them; the customer only the one to agreed.
MOVES: tuple[Move, ...] = (
    _move(State.ENQUIRY, State.QUOTED, "writer", "Quote sent", _has_quote),
    _move(State.ENQUIRY, State.BOOKED, "writer", "Booked", _goes_without_quote, _is_booked),
    _move(State.QUOTED, State.APPROVED, "writer customer", "Agreed", _is_authorised),
    _move(State.APPROVED, State.QUOTED, "writer", "Quoted anew", _has_quote),
    _move(State.APPROVED, State.BOOKED, "writer", "Booked", _is_authorised, _is_booked),
    _move(State.BOOKED, State.APPROVED, "writer", "Not booked", _is_unbooked, _goes_with_quote),
    _move(State.BOOKED, State.ENQUIRY, "writer", "Not booked", _is_unbooked, _goes_back_unquoted),
    _move(State.BOOKED, State.ON_LIFT, "technician", "Put the car on the lift", _is_booked),
    _move(State.ON_LIFT, State.BOOKED, "technician", "Take the car off the lift", _wants_reason),
    _move(State.ON_LIFT, State.ROAD_TEST, "technician", "Go on the road test", _torques_signed),
    _move(
        State.ON_LIFT,
        State.HANDED_OVER,
        "technician writer",
        "Finish the survey visit",
        _is_survey_visit,
        _torques_signed,
    ),
    _move(State.ROAD_TEST, State.ON_LIFT, "technician", "Back on the lift", _wants_reason),
    _move(State.ROAD_TEST, State.HANDED_OVER, "technician writer", "Hand over", _rub_checked),
    *(
        _move(state, State.CANCELLED, "writer", "Drop this order", _is_unbooked, _wants_reason)
        for state in BEFORE_THE_LIFT
    ),
    *(
        _move(state, State.CANCELLED, "writer", "Drop this order", _wants_reason)
        for state in (State.ON_LIFT, State.ROAD_TEST)
    ),
    _move(State.CANCELLED, State.ENQUIRY, "writer", "Take up again", _wants_reason),
)
_BY_ENDS = {(move.start, move.end): move for move in MOVES}


def move_between(start: str, end: str) -> Move | None:
    return _BY_ENDS.get((start, end))


def moves_from(order: WorkOrder, user: User) -> list[Move]:
    """Moves out of the order's state that this person's role may make; guards not asked."""
    return [m for m in MOVES if m.start == order.state and user.has_role(*m.roles - {CUSTOMER})]


def order_lock(order: WorkOrder) -> WorkOrder:
    """The row as it is now, locked until the transaction ends."""
    return (
        WorkOrder.objects.select_for_update(of=("self",))
        .select_related("customer", "vehicle")
        .get(pk=order.pk)
    )


def _check_role(move: Move, by: User | None) -> None:
    if by is None:
        if CUSTOMER not in move.roles:
            raise NotYours("The shop makes this step.")
    elif not by.has_role(*move.roles - {CUSTOMER}):
        raise NotYours("Your role does not make this step.")


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
            f"An order that is “{State(row.state).label.lower()}” cannot become "
            f"“{State(to).label.lower()}”."
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
        what=f"{State(before).label} → {State(to).label}",
        detail=reason.strip(),
    )
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


def order_number_next() -> str:
    """The next number; the settings row is locked so that no two orders get the same."""
    ShopSettings.load()
    shop = ShopSettings.objects.select_for_update().get(pk=1)
    shop.orders_numbered += 1
    shop.save(update_fields=["orders_numbered"])
    return f"W{shop.orders_numbered:04d}"


@transaction.atomic
def order_create(*, by: User, **values: Any) -> WorkOrder:
    """Open an order in the state *asked*; ``values`` are the fields of WorkOrder."""
    vehicle = values["vehicle"]
    if vehicle.customer_id != values["customer"].pk:
        raise Refused("This vehicle belongs to another customer.", field="vehicle")
    order = WorkOrder.objects.create(number=order_number_next(), **values)
    _carry_mileage(order)
    log_write(order=order, by=by, what="Opened", detail=order.request_text)
    return order


def _carry_mileage(order: WorkOrder) -> None:
    """The vehicle's mileage follows the newest order, and never runs backwards by itself."""
    vehicle = order.vehicle
    if order.mileage_km is not None and order.mileage_km > (vehicle.mileage_km or 0):
        vehicle.mileage_km = order.mileage_km
        vehicle.save(update_fields=["mileage_km"])


@transaction.atomic
def order_change(*, order: WorkOrder, by: User, values: dict[str, Any]) -> WorkOrder:
    """Change fields of an order. Taking away the need of a room check is a manager's act."""
    row = order_lock(order)
    if not row.is_open:
        raise Refused("The order is closed: it stays as it was.")
    _check_lowering(row, by, values)
    names = []
    for name, value in values.items():
        if getattr(row, name) != value:
            setattr(row, name, value)
            names.append(name)
    if names:
        row.save(update_fields=names)
        _carry_mileage(row)
        words = [str(getattr(WorkOrder._meta.get_field(n), "verbose_name", n)) for n in names]
        log_write(order=row, by=by, what="Changed", detail=", ".join(words))
    return row


def _check_lowering(row: WorkOrder, by: User, values: dict[str, Any]) -> None:
    """Refuse changes that would let a job slip past the gate."""
    moves = values.get("moves_wheel_or_height", row.moves_wheel_or_height)
    kind = values.get("kind", row.kind)
    to_visit = kind == OrderKind.SURVEY_VISIT and row.kind != kind
    if not to_visit and (moves or not row.moves_wheel_or_height):
        return
    field = "kind" if to_visit else "moves_wheel_or_height"
    if row.lines.filter(part__moves_wheel=True).exists():
        raise Refused("A part on this order moves the wheel: this stays as it is.", field=field)
    if row.needs_check and not by.is_manager:
        raise NotYours(
            "Only a manager may say that this job moves no wheel after all.", field=field
        )


@transaction.atomic
def order_moves_wheel(*, order: WorkOrder, by: User, because: str) -> None:
    """Note that the job moves a wheel after all: from now on the room has to be checked."""
    row = order_lock(order)
    if not row.moves_wheel_or_height:
        row.moves_wheel_or_height = True
        row.save(update_fields=["moves_wheel_or_height"])
        log_write(order=row, by=by, what="Now moves the wheel", detail=because)
    order.moves_wheel_or_height = True


@transaction.atomic
def order_wait(*, order: WorkOrder, waiting_for: str, by: User) -> None:
    """Say what an open order waits for; an empty text when it waits no longer."""
    row = order_lock(order)
    if not row.is_open:
        raise Refused("A closed order waits for nothing.")
    if row.waiting_for == waiting_for:
        return
    row.waiting_for = waiting_for
    row.save(update_fields=["waiting_for"])
    label = WaitingFor(waiting_for).label.lower()
    log_write(order=row, by=by, what=f"Waiting for {label}" if waiting_for else "Waits no longer")
    order.waiting_for = waiting_for


@transaction.atomic
def notes_change(*, order: WorkOrder, by: User, notes: str) -> None:
    row = order_lock(order)
    if row.technician_notes != notes:
        row.technician_notes = notes
        row.save(update_fields=["technician_notes"])
        log_write(order=row, by=by, what="Notes changed")


@transaction.atomic
def comeback_open(*, first_order: WorkOrder, by: User, values: dict[str, Any]) -> WorkOrder:
    """Open the work order of a comeback, tied to the order that it comes back from.

    Looking at a car moves nothing, so the order starts without need of a room check; parts,
    wheels or settings planned later bring the need.
    """
    if first_order.state != State.HANDED_OVER:
        raise Refused("A car can only come back after it was handed over.")
    order = order_create(
        by=by,
        kind=OrderKind.COMEBACK,
        customer=first_order.customer,
        vehicle=first_order.vehicle,
        first_order=first_order,
        mileage_km=values.pop("mileage_km", None),
        request_text=values.get("description", ""),
        use=first_order.use,
        class_rules=first_order.class_rules,
        class_record=first_order.class_record,
        moves_wheel_or_height=False,
    )
    Comeback.objects.create(order=order, first_order=first_order, **values)
    log_write(order=first_order, by=by, what="Came back", detail=f"See {order.number}")
    return order
