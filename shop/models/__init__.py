"""All tables of the shop, one module for each part of its work."""

from .bookings import Bay, Booking
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
from .people import Customer, Role, ShopSettings, User
from .vehicles import Axle, Market, Part, PartKind, Pattern, Vehicle
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
    "Authorisation",
    "Axle",
    "Bay",
    "Booking",
    "Comeback",
    "ContactMark",
    "Corner",
    "Customer",
    "GateOverride",
    "Happens",
    "InstalledPart",
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
    "ShopSettings",
    "State",
    "TorqueSign",
    "Use",
    "User",
    "Vehicle",
    "WaitingFor",
    "WorkOrder",
]
