"""All tables of alignment: plans, target sheets, visits to the rack and what came of them."""

from alignment.models.accepted import AcceptedAdjustments, HeldAdjuster
from alignment.models.import_layouts import ImportLayout
from alignment.models.plans import (
    CAMBER_TOLERANCE_DEG,
    CASTER_TOLERANCE_DEG,
    LARGEST_ANGLE,
    TOE_TOLERANCE_DEG,
    Bushes,
    PlannedSetting,
    ToeUnit,
)
from alignment.models.targets import OrderTarget, TargetFigure, TargetSheet
from alignment.models.visits import (
    LENGTHS,
    OF_AXLE,
    POSITIVE,
    RACK_ACCURACY_DEG,
    SWEEP,
    AdjusterPosition,
    Quantity,
    RackVisit,
    Reading,
    Stage,
    ToePlace,
    ToeReference,
)

__all__ = [
    "CAMBER_TOLERANCE_DEG",
    "CASTER_TOLERANCE_DEG",
    "LARGEST_ANGLE",
    "LENGTHS",
    "OF_AXLE",
    "POSITIVE",
    "RACK_ACCURACY_DEG",
    "SWEEP",
    "TOE_TOLERANCE_DEG",
    "AcceptedAdjustments",
    "AdjusterPosition",
    "Bushes",
    "HeldAdjuster",
    "ImportLayout",
    "OrderTarget",
    "PlannedSetting",
    "Quantity",
    "RackVisit",
    "Reading",
    "Stage",
    "TargetFigure",
    "TargetSheet",
    "ToePlace",
    "ToeReference",
    "ToeUnit",
]
