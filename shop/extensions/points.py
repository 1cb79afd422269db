"""Points at which the apps above plug into the shop's pages, rules and papers.

``shop`` imports none of those apps: they register in their ``AppConfig.ready()``.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from typing import TYPE_CHECKING, Any, Protocol

from common.verdicts import Outcome
from shop.extensions.background import Chore, TaskKind
from shop.extensions.first_steps import FirstStep
from shop.extensions.found import SearchGroup
from shop.extensions.help import PageHelp
from shop.extensions.panels import NavigationLink
from shop.extensions.registry import Point, Slot

if TYPE_CHECKING:
    from django.db.models import QuerySet
    from django.http import HttpRequest

    from shop.extensions.answers import OrderAnswer
    from shop.extensions.gates import GateAnswer
    from shop.extensions.panels import LineHint, Panel
    from shop.extensions.quoted import QuotedItem
    from shop.languages import Speech
    from shop.models import CarModel, ClassRule, Quote, User, Vehicle, WorkOrder

#: By a rule's key, (result, reason).
ClassAnswers = Mapping[int, tuple[Outcome, str]]


class BookingGate(Protocol):
    """Whether an order's parts may be ordered and its time be booked."""

    def __call__(self, order: WorkOrder, /) -> GateAnswer: ...


class OrderAnswers(Protocol):
    """What an app says to the questions of an order's page; nothing where it has nothing to say."""

    def __call__(self, request: HttpRequest, order: WorkOrder, /) -> Sequence[OrderAnswer]: ...


class CustomerPanel(Protocol):
    """A part of the customer's page, made from the order alone."""

    def __call__(self, order: WorkOrder, /) -> Panel | None: ...


class RoadTestPanel(Protocol):
    """A part of the road test's form: drawings on which a spot is pointed at."""

    def __call__(self, order: WorkOrder, /) -> Panel | None: ...


class VehiclePanel(Protocol):
    """A part of a vehicle's page."""

    def __call__(self, request: HttpRequest, vehicle: Vehicle, /) -> Panel | None: ...


class CarModelPanel(Protocol):
    """A part of a car model's page."""

    def __call__(self, request: HttpRequest, car_model: CarModel, /) -> Panel | None: ...


class SheetSection(Protocol):
    """Flowables of the spec sheet, set in the styles of its paper; none to leave it out."""

    def __call__(self, order: WorkOrder, styles: Mapping[str, Any], /) -> list[Any]: ...


class QuoteNotes(Protocol):
    """What a quote says about its choices: plain data, frozen with the quote.

    A note has ``axle`` and ``rows``: ``choice`` (chosen, declined), ``words``, ``verdict``, and
    ``price`` as text, empty where it is not known.
    """

    def __call__(self, order: WorkOrder, /) -> list[dict[str, Any]]: ...


class LineHints(Protocol):
    """What the lines of an order may have to name; nothing of it is charged by itself."""

    def __call__(self, order: WorkOrder, /) -> list[LineHint]: ...


class ClassJudge(Protocol):
    """Answers for those rules of a class that it can judge."""

    def __call__(
        self, order: WorkOrder, rules: Sequence[ClassRule], speech: Speech, /
    ) -> ClassAnswers: ...


class DryFitsDue(Protocol):
    """Axles whose new wheels have to be offered up before the rest are mounted."""

    def __call__(self, order: WorkOrder, /) -> Collection[str]: ...


class QuotedJob(Protocol):
    """What of a job a quote stands for beside its lines."""

    def __call__(self, order: WorkOrder, speech: Speech, /) -> Iterable[QuotedItem]: ...


class OrderCopy(Protocol):
    """Takes what an app keeps of one order over to a new one; answers what it did not take, a
    sentence each. The services that are called refuse as for a person."""

    def __call__(self, source: WorkOrder, target: WorkOrder, by: User, /) -> list[str]: ...


class RoadTestCheck(Protocol):
    """What a road test says against what was predicted: a sentence each, none if they agree.

    ``tried`` gives the outcome by the name of a field of RoadTest, ``marks`` the fields of each
    ContactMark.
    """

    def __call__(
        self, order: WorkOrder, tried: Mapping[str, str], marks: Sequence[Mapping[str, Any]], /
    ) -> list[str]: ...


class TodayNotes(Protocol):
    """What rows of Today say beside the next act, by an order's key: sentences in the reader's
    language. Asked once for all rows of a list, so that no query per row follows."""

    def __call__(self, orders: Sequence[WorkOrder], /) -> Mapping[int, Sequence[str]]: ...


class DecisionsDue(Protocol):
    """Those of the orders that wait for a manager's decision."""

    def __call__(self, orders: QuerySet[WorkOrder], /) -> QuerySet[WorkOrder]: ...


class DemoBuilder(Protocol):
    """Adds an app's part of the invented shop; ``stage`` holds what was built before, by name."""

    def __call__(self, stage: dict[str, Any], /) -> None: ...


class TaskWorkerStart(Protocol):
    """Starts the worker of this process, unless it is at work."""

    def __call__(self) -> None: ...


class QuotePaper(Protocol):
    """The bytes of a quote's PDF, as it was frozen."""

    def __call__(self, quote: Quote, /) -> bytes: ...


class QuoteAnswered(Protocol):
    """Whether the customer answered a quote in any form; such a one is reminded of no more."""

    def __call__(self, quote: Quote, /) -> bool: ...


BOOKING_GATES: Point[BookingGate] = Point("booking gates", BookingGate)
ORDER_ANSWERS: Point[OrderAnswers] = Point("order answers", OrderAnswers)
CUSTOMER_PANELS: Point[CustomerPanel] = Point("customer panels", CustomerPanel)
ROAD_TEST_PANELS: Point[RoadTestPanel] = Point("road test panels", RoadTestPanel)
VEHICLE_PANELS: Point[VehiclePanel] = Point("vehicle panels", VehiclePanel)
CAR_MODEL_PANELS: Point[CarModelPanel] = Point("car model panels", CarModelPanel)
#: Sections that fill a page to its end, before the shop's own.
SHEET_SECTIONS: Point[SheetSection] = Point("sheet sections", SheetSection)
#: Sections that stand together on a page, after the shop's own.
SHEET_DRAWINGS: Point[SheetSection] = Point("sheet drawings", SheetSection)
QUOTE_NOTES: Point[QuoteNotes] = Point("quote notes", QuoteNotes)
LINE_HINTS: Point[LineHints] = Point("line hints", LineHints)
DRY_FITS_DUE: Point[DryFitsDue] = Point("dry fits due", DryFitsDue)
QUOTED_JOBS: Point[QuotedJob] = Point("quoted jobs", QuotedJob)
ORDER_COPIES: Point[OrderCopy] = Point("order copies", OrderCopy)
CLASS_JUDGES: Point[ClassJudge] = Point("class judges", ClassJudge)
ROAD_TEST_CHECKS: Point[RoadTestCheck] = Point("road test checks", RoadTestCheck)
DEMO_BUILDERS: Point[DemoBuilder] = Point("demo builders", DemoBuilder)
#: Pages that open with any record, a broken one too; the page of an unexpected error leads there.
WAYS_OUT: Point[NavigationLink] = Point("ways out", NavigationLink)
#: Starts a worker of background tasks in this process.
TASK_WORKER: Slot[TaskWorkerStart] = Slot("task worker", TaskWorkerStart)
#: What works background tasks off, by kind.
TASK_KINDS: Point[TaskKind] = Point("task kinds", TaskKind)
#: Groups of records that the search of every page finds.
SEARCH_GROUPS: Point[SearchGroup] = Point("search groups", SearchGroup)
#: When what is waited for was seen, or is expected: notes of rows on Today, by list.
PARTS_NOTES: Point[TodayNotes] = Point("notes on awaited parts", TodayNotes)
CUSTOMER_NOTES: Point[TodayNotes] = Point("notes on awaited customers", TodayNotes)
#: Orders that wait for a manager.
DECISIONS_DUE: Point[DecisionsDue] = Point("decisions due", DecisionsDue)
#: What an empty shop does first.
FIRST_STEPS: Point[FirstStep] = Point("first steps", FirstStep)
#: What the "?" of each page says.
PAGE_HELP: Point[PageHelp] = Point("page help", PageHelp)
#: What workers do by themselves between tasks.
CHORES: Point[Chore] = Point("chores", Chore)
#: The PDF that goes with a quote by email.
QUOTE_PAPER: Slot[QuotePaper] = Slot("quote paper", QuotePaper)
#: Answers to a quote: an approval, a question, a decline.
QUOTE_ANSWERED: Point[QuoteAnswered] = Point("quote answered", QuoteAnswered)
#: Links of the header; groups stand in the order of their first link.
NAVIGATION: Point[NavigationLink] = Point("navigation", NavigationLink)
