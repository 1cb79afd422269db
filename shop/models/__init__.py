"""All tables of the shop, one module for each part of its work."""

from shop.models.axles import Axle, Corner, PartAxle
from shop.models.background import BackgroundTask, TaskState, TaskWorker
from shop.models.bookings import Bay, Booking, BookingEnd
from shop.models.classes import BARRED, ClassRecord, ClassRule, RuleKind
from shop.models.corrections import RecordCorrection
from shop.models.counters import Counter
from shop.models.customer_answers import CustomerAnswer
from shop.models.deliveries import Arrival, PartOrder, Supplier
from shop.models.feeds import CalendarFeed
from shop.models.files import StoredFile
from shop.models.log import GateOverride, LogEntry
from shop.models.mail import Mail, MailKind, MailState, MailText
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
from shop.models.packages import Package, PackageLine, Planned
from shop.models.people import (
    AngleForm,
    Customer,
    LengthUnit,
    Role,
    SheetSize,
    ShopSettings,
    User,
)
from shop.models.quotes import Authorisation, Deposit, Quote
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
    "CustomerAnswer",
    "Deposit",
    "GateOverride",
    "Happens",
    "HeightBy",
    "InstalledPart",
    "LengthUnit",
    "Line",
    "LineKind",
    "LineWork",
    "LogEntry",
    "Mail",
    "MailKind",
    "MailState",
    "MailText",
    "Market",
    "News",
    "NewsKind",
    "NewsSeen",
    "NotFitted",
    "OpeningDay",
    "OrderKind",
    "Package",
    "PackageLine",
    "Part",
    "PartAxle",
    "PartKind",
    "PartOrder",
    "Planned",
    "Quote",
    "RecordCorrection",
    "RoadTest",
    "Role",
    "RuleKind",
    "SentForm",
    "SheetSize",
    "ShopSettings",
    "State",
    "StoredFile",
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
