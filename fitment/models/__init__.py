"""All tables of fitment: what was measured, what can be mounted, and what was checked."""

from .checks import DutyModel, RoomCheck
from .guides import Guide, GuideReliance, GuideRow
from .measurements import TyreMeasurement, WheelMeasurement
from .measuring import SurveyReading, SurveySession
from .mounting import MountingCheck, OrderMounting, ShopLaw
from .present import GapRead, PresentCorner
from .searches import WaysSearch
from .surveys import CornerSurvey
from .wheels import OrderWheels, TyreModel, WheelModel

__all__ = [
    "CornerSurvey",
    "DutyModel",
    "GapRead",
    "Guide",
    "GuideReliance",
    "GuideRow",
    "MountingCheck",
    "OrderMounting",
    "OrderWheels",
    "PresentCorner",
    "RoomCheck",
    "ShopLaw",
    "SurveyReading",
    "SurveySession",
    "TyreMeasurement",
    "TyreModel",
    "WaysSearch",
    "WheelMeasurement",
    "WheelModel",
]
