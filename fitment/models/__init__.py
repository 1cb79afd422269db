"""All tables of fitment: what was measured, what can be mounted, and what was checked."""

from .checks import ClearanceCheck, UseProfile
from .dry_fits import DryFit
from .guides import Guide, GuideReliance, GuideRow
from .measurements import TyreMeasurement, WheelMeasurement
from .measuring import SurveyReading, SurveySession
from .mounting import MountingCheck, OrderMounting, ShopLaw
from .present import GapRead, PresentCorner
from .searches import OptionSearch
from .surveys import CornerSurvey
from .wheels import OrderWheels, TyreModel, WheelModel

__all__ = [
    "ClearanceCheck",
    "CornerSurvey",
    "DryFit",
    "GapRead",
    "Guide",
    "GuideReliance",
    "GuideRow",
    "MountingCheck",
    "OptionSearch",
    "OrderMounting",
    "OrderWheels",
    "PresentCorner",
    "ShopLaw",
    "SurveyReading",
    "SurveySession",
    "TyreMeasurement",
    "TyreModel",
    "UseProfile",
    "WheelMeasurement",
    "WheelModel",
]
