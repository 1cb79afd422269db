"""All tables of fitment: what was measured, what can be mounted, and what was checked."""

from .checks import DutyModel, RoomCheck
from .surveys import CORNER_NAMES, OTHER_SIDE, CornerSurvey
from .wheels import OrderWheels, TyreModel, WheelModel

__all__ = [
    "CORNER_NAMES",
    "OTHER_SIDE",
    "CornerSurvey",
    "DutyModel",
    "OrderWheels",
    "RoomCheck",
    "TyreModel",
    "WheelModel",
]
