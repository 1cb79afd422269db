"""Which orders stand in which list of Today, mine first, each in a fixed number of queries."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from typing import Any, Protocol

from django.db.models import Exists, F, OuterRef, Q, QuerySet, Subquery
from django.db.models.functions import Coalesce
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop

from shop.extensions.points import CUSTOMER_NOTES, DECISIONS_DUE, PARTS_NOTES
from shop.languages import dates
from shop.models import (
    Booking,
    Line,
    LineKind,
    LogEntry,
    Quote,
    Role,
    State,
    User,
    WaitingFor,
    WorkOrder,
)
from shop.orders.services.lists import for_list
from shop.orders.services.next_words import next_words
from shop.today.data import FIRST, Row, TodayList, age_words, day_of

#: Orders out of ``for_list`` have columns that no model declares, so their type is Any.
Notes = dict[int, list[str]]
AT_WORK = (State.ON_LIFT, State.ROAD_TEST)


class Chosen(Protocol):
    """The orders of a list, each with ``since``: when it began to wait."""

    def __call__(self, user: User, /) -> Any: ...


@dataclass(frozen=True)
class ListKind:
    """One list: its title, its orders and the notes of its rows."""

    name: str
    title: str
    chosen: Chosen
    notes: Any
    words: Callable[[WorkOrder], str] = next_words


def _open() -> Any:
    return for_list(WorkOrder.objects.open())


def _bookings_today() -> QuerySet[Booking]:
    start, end = day_of(timezone.localdate())
    return Booking.objects.overlapping(start, end).filter(order=OuterRef("pk"))


def _in_bays(user: User) -> Any:
    today = _bookings_today()
    first = today.order_by("starts_at").values("starts_at")[:1]
    orders = _open().filter(Q(state__in=AT_WORK) | Q(Exists(today), state=State.BOOKED))
    return orders.annotate(since=Coalesce(Subquery(first), F("state_since")))


def _for_us(user: User) -> Any:
    """Enquiries and approved orders that wait for no one else, and appointments gone by."""
    start, _end = day_of(timezone.localdate())
    gone = Q(state=State.BOOKED, next_start__lt=start)
    unordered = Q(state=State.BOOKED, has_parts=True, parts_ordered_at=None)
    ours = Q(state__in=(State.ENQUIRY, State.APPROVED), waiting_for=WaitingFor.NOTHING)
    return _open().filter(ours | gone | unordered).annotate(since=F("state_since"))


def _for_parts(user: User) -> Any:
    orders = _open().filter(waiting_for=WaitingFor.PARTS)
    return orders.annotate(since=Coalesce(F("parts_ordered_at"), F("state_since")))


def _for_customer(user: User) -> Any:
    waits = Q(waiting_for=WaitingFor.CUSTOMER) | Q(
        state=State.QUOTED, waiting_for=WaitingFor.NOTHING
    )
    sent = Quote.objects.filter(order=OuterRef("pk")).order_by("-sent_at").values("sent_at")[:1]
    orders = _open().filter(waits).annotate(sent_at=Subquery(sent))
    return orders.annotate(since=Coalesce(F("sent_at"), F("state_since")))


def _to_decide(user: User) -> Any:
    keys = [due(WorkOrder.objects.open()).order_by().values("pk") for due in DECISIONS_DUE]
    wanted = Q(pk__in=[])
    for several in keys:
        wanted |= Q(pk__in=several)
    # Before its lines are written, and while the customer has the quote, others act first.
    first = Q(state=State.ENQUIRY, has_lines=False) | Q(state=State.QUOTED)
    return _open().filter(wanted).exclude(first).annotate(since=F("state_since"))


def _decide_words(order: WorkOrder) -> str:
    return _("Override and continue")


# Notes


def _when_and_where(orders: Sequence[Any]) -> Notes:
    start, end = day_of(timezone.localdate())
    notes: Notes = {}
    booked = Booking.objects.overlapping(start, end).filter(order__in=orders)
    for one in booked.select_related("bay", "technician"):
        times = f"{dates.clock(one.starts_at)}–{dates.clock(one.ends_at)}"
        notes.setdefault(one.order_id, []).append(f"{times}, {one.bay}, {one.technician}")
    return notes


def _which_parts(orders: Sequence[Any]) -> Notes:
    notes: Notes = {}
    lines = Line.objects.filter(order__in=orders, kind=LineKind.PART).select_related("part")
    for line in lines:
        lead = f" ({line.part.lead})" if line.part and line.part.lead else ""
        notes.setdefault(line.order_id, []).append(f"{line.description}{lead}")
    joined = {
        key: [_("Parts: {names}").format(names="; ".join(names))] for key, names in notes.items()
    }
    for order in orders:
        if order.parts_ordered_at:
            said = _("ordered {day}").format(day=dates.short_day(order.parts_ordered_at))
            joined.setdefault(order.pk, []).append(said)
    return _with(joined, (plug(orders) for plug in PARTS_NOTES))


def _sent_and_seen(orders: Sequence[Any]) -> Notes:
    notes: Notes = {}
    for order in orders:
        if order.sent_at:
            said = _("quote sent {day}").format(day=dates.short_day(order.sent_at))
            notes[order.pk] = [said]
    return _with(notes, (plug(orders) for plug in CUSTOMER_NOTES))


def _with(notes: Notes, more: Iterable[Any]) -> Notes:
    for one in more:
        for key, said in one.items():
            notes.setdefault(key, []).extend(said)
    return notes


def _none(orders: Sequence[Any]) -> Notes:
    return {}


BAYS = ListKind("bays", gettext_noop("In the bays now and today"), _in_bays, _when_and_where)
US = ListKind("us", gettext_noop("Waiting for us"), _for_us, _none)
PARTS = ListKind("parts", gettext_noop("Waiting for parts"), _for_parts, _which_parts)
CUSTOMER = ListKind(
    "customer", gettext_noop("Waiting for the customer"), _for_customer, _sent_and_seen
)
DECIDE = ListKind("decide", gettext_noop("To decide"), _to_decide, _none, _decide_words)
#: The lists of each role in the order of their page.
BY_ROLE: dict[str, tuple[ListKind, ...]] = {
    Role.WRITER: (US, BAYS, PARTS, CUSTOMER),
    Role.TECHNICIAN: (BAYS, US, PARTS),
    Role.MANAGER: (DECIDE, BAYS, US, PARTS, CUSTOMER),
}


def lists_of(user: User) -> tuple[ListKind, ...]:
    return BY_ROLE[user.effective_role]


def orders_of(kind: ListKind, user: User) -> Any:
    """The orders of a list: mine first (I work on it, or wrote in its log), then the oldest."""
    mine = Exists(Booking.objects.filter(order=OuterRef("pk"), technician=user)) | Exists(
        LogEntry.objects.filter(order=OuterRef("pk"), by=user)
    )
    return kind.chosen(user).annotate(mine=mine).order_by("-mine", "since", "pk")


def rows_of(kind: ListKind, orders: Iterable[Any]) -> list[Row]:
    page = list(orders)
    notes = kind.notes(page) if page else {}
    return [
        Row(order, age_words(order.since), kind.words(order), notes.get(order.pk, ()), order.mine)
        for order in page
    ]


def today_of(user: User) -> list[TodayList]:
    """All lists of a person with their first rows; those that hold nothing are left out."""
    found = []
    for kind in lists_of(user):
        orders = orders_of(kind, user)
        rows = rows_of(kind, orders[:FIRST])
        count = len(rows) if len(rows) < FIRST else orders.count()
        if rows:
            found.append(TodayList(kind.name, kind.title, count, rows))
    return found
