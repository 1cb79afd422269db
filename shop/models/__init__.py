"""All tables of the shop, one module for each part of its work."""

from shop.models.axles import Axle, Corner, PartAxle
from shop.models.background import BackgroundTask, TaskState, TaskWorker
from shop.models.bookings import Bay, Booking, BookingEnd
from shop.models.classes import BARRED, ClassRecord, ClassRule, RuleKind
from shop.models.corrections import RecordCorrection
from shop.models.counters import Counter
from shop.models.deliveries import Arrival, PartOrder, Supplier
from shop.models.feeds import CalendarFeed
from shop.models.log import GateOverride, LogEntry
from shop.models.news import News, NewsKind, NewsSeen
from shop.models.opening import ClosedDay, OpeningDay
from shop.models.orders import (
    Line,
    LineKind,
    LineWork,
    OrderKind,
    State,
    Use,
    WaitingFor,
    WorkOrder,
)
from shop.models.people import (
    AngleForm,
    Customer,
    LengthUnit,
    Role,
    SheetSize,
    ShopSettings,
    User,
)
from shop.models.quotes import Authorisation, Quote
from shop.models.sent import SentForm
from shop.models.vehicles import DAMPERS, CarModel, HeightBy, Market, Part, PartKind, Vehicle
from shop.models.work import (
    Comeback,
    ContactMark,
    Happens,
    InstalledPart,
    NotFitted,
    RoadTest,
    TorqueSign,
)

__all__ = [
    "BARRED",
    "DAMPERS",
    "AngleForm",
    "Arrival",
    "Authorisation",
    "Axle",
    "BackgroundTask",
    "Bay",
    "Booking",
    "BookingEnd",
    "CalendarFeed",
    "CarModel",
    "ClassRecord",
    "ClassRule",
    "ClosedDay",
    "Comeback",
    "ContactMark",
    "Corner",
    "Counter",
    "Customer",
    "GateOverride",
    "Happens",
    "HeightBy",
    "InstalledPart",
    "LengthUnit",
    "Line",
    "LineKind",
    "LineWork",
    "LogEntry",
    "Market",
    "News",
    "NewsKind",
    "NewsSeen",
    "NotFitted",
    "OpeningDay",
    "OrderKind",
    "Part",
    "PartAxle",
    "PartKind",
    "PartOrder",
    "Quote",
    "RecordCorrection",
    "RoadTest",
    "Role",
    "RuleKind",
    "SentForm",
    "SheetSize",
    "ShopSettings",
    "State",
    "Supplier",
    "TaskState",
    "TaskWorker",
    "TorqueSign",
    "Use",
    "User",
    "Vehicle",
    "WaitingFor",
    "WorkOrder",
]
