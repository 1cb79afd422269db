"""All tables of the shop, one module for each part of its work."""

from .bookings import Bay, Booking
from .classes import BARRED, ClassRecord, ClassRule, RuleKind
from .log import GateOverride, LogEntry
from .orders import (
    Authorisation,
    Line,
    LineKind,
    OrderKind,
    Quote,
    State,
    Use,
    WaitingFor,
    WorkOrder,
)
from .people import (
    AngleForm,
    Customer,
    LengthUnit,
    Role,
    SheetSize,
    ShopSettings,
    Tongue,
    User,
)
from .vehicles import DAMPERS, Axle, HeightBy, Market, Part, PartKind, Pattern, Vehicle
from .work import (
    Comeback,
    ContactMark,
    Corner,
    Happens,
    InstalledPart,
    RoadTest,
    TorqueSign,
)

__all__ = [
    "BARRED",
    "DAMPERS",
    "AngleForm",
    "Authorisation",
    "Axle",
    "Bay",
    "Booking",
    "ClassRecord",
    "ClassRule",
    "Comeback",
    "ContactMark",
    "Corner",
    "Customer",
    "GateOverride",
    "Happens",
    "HeightBy",
    "InstalledPart",
    "LengthUnit",
    "Line",
    "LineKind",
    "LogEntry",
    "Market",
    "OrderKind",
    "Part",
    "PartKind",
    "Pattern",
    "Quote",
    "RoadTest",
    "Role",
    "RuleKind",
    "SheetSize",
    "ShopSettings",
    "State",
    "Tongue",
    "TorqueSign",
    "Use",
    "User",
    "Vehicle",
    "WaitingFor",
    "WorkOrder",
]
