"""A car as set-ups are tried on it: its surveys, and on an order what is on that car.

Everything that a corner of a check file says beside wheel, tyre and plan is put together here,
for checks and for the try-out alike.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from alignment.geometry.kinds import ADJUSTERS, camber_methods, kind_of
from alignment.models import PlannedSetting
from common.corners import AXLE_CORNERS, axle_of
from fitment.job.damper_stops import limits_with
from fitment.models import CornerSurvey, OrderWheels, PresentCorner
from shop.orders.services.adjuster_parts import Placed, adjusting_parts, dampers_at, parts_placed

if TYPE_CHECKING:
    from shop.models import CarModel, Part, WorkOrder


Document = dict[str, Any]


@dataclass(frozen=True)
class PartReach:
    part: str
    min: float
    max: float
    for_this_axle: bool


@dataclass(frozen=True)
class Car:
    """The rows behind a car, each kind fetched once; without an order its surveys alone."""

    car_model: CarModel | None
    order: WorkOrder | None
    surveys: Mapping[str, CornerSurvey]
    reaches: Mapping[str, Mapping[str, PartReach]] = field(default_factory=dict)
    dampers: Mapping[str, Part] = field(default_factory=dict)
    present: Mapping[str, PresentCorner] = field(default_factory=dict)
    wheels: Mapping[str, OrderWheels] = field(default_factory=dict)
    plans: Mapping[str, PlannedSetting] = field(default_factory=dict)

    def measured(self, axle: str) -> tuple[str, ...]:
        """Corners of an axle that were surveyed."""
        return tuple(corner for corner in AXLE_CORNERS[axle] if corner in self.surveys)

    def camber_method(self, axle: str) -> list[str]:
        """What camber can be set with at the surveyed corners of an axle."""
        offered = (
            camber_methods_in(self.surveys[c].document["suspension"]) for c in self.measured(axle)
        )
        return list(dict.fromkeys(name for names in offered for name in names))

    def corner_document(self, corner: str, ride_height_mm: float) -> Document:
        """A surveyed corner at a height as a check file has it, without plan, wheel and tyre."""
        survey = self.surveys[corner]
        limits = survey.document["limits"]
        document: Document = {
            "survey": survey.document["survey"],
            "suspension": suspension_with(survey, self.reaches.get(corner, {})),
            "limits": limits_with(limits, self.dampers.get(corner), ride_height_mm),
        }
        if give := compliance_of(survey, self.plans.get(axle_of(corner))):
            document["compliance"] = give
        stands = self.present.get(corner)
        gaps = [gap.as_document() for gap in stands.gaps.all()] if stands else []
        if stands and gaps:
            document["present"] = stands.as_document() | {"gaps": gaps}
        return document


def car_of_car_model(car_model: CarModel) -> Car:
    return Car(car_model, None, CornerSurvey.objects.current_by_corner(car_model))


def car_of_order(order: WorkOrder) -> Car:
    """An order's car with the parts on it and on the order, and what the order plans."""
    car_model = order.vehicle.car_model
    chosen = OrderWheels.objects.filter(order=order).select_related("wheel", "tyre")
    stands = PresentCorner.objects.filter(order=order).select_related("wheel", "tyre")
    placed = parts_placed(order)
    return Car(
        car_model=car_model,
        order=order,
        surveys=CornerSurvey.objects.current_by_corner(car_model) if car_model else {},
        reaches=part_reaches(order, placed),
        dampers=dampers_at(order, placed),
        present={row.corner: row for row in stands.prefetch_related("gaps")},
        wheels={row.axle: row for row in chosen},
        plans={row.axle: row for row in PlannedSetting.objects.filter(order=order)},
    )


def planned_document(
    *,
    toe_deg: float,
    camber_deg: float | None = None,
    camber_by: str = "",
    adjusters: Mapping[str, Any] | None = None,
    rolled_lips: bool = False,
) -> Document:
    """The ``planned`` of a check file's corner; what is not set stays out of it."""
    document: Document = {"toe_deg": toe_deg}
    if camber_deg is not None:
        document |= {"camber_deg": camber_deg, "camber_by": camber_by}
    if stated := {name: value for name, value in (adjusters or {}).items() if value is not None}:
        document["adjusters"] = stated
    if rolled_lips:
        document["rolled_lips"] = True
    return document


def part_reaches(
    order: WorkOrder, placed: Iterable[Placed] | None = None
) -> dict[str, dict[str, PartReach]]:
    """By corner and adjuster, the reach of the newest part whose reach is known."""
    return {
        corner: {
            adjuster: PartReach(
                row.part.name, row.part.reach_min, row.part.reach_max, row.for_this_axle
            )
            for adjuster, row in parts.items()
            if row.part.reach_min is not None and row.part.reach_max is not None
        }
        for corner, parts in adjusting_parts(order, placed).items()
    }


def compliance_of(survey: CornerSurvey, plan: PlannedSetting | None) -> Document | str | None:
    """Give under side load as a check file has it: that of the bushes which the plan names, or
    what the survey holds."""
    chosen: str = plan.bushes if plan else ""
    return chosen or survey.document.get("compliance") or None


def suspension_with(survey: CornerSurvey, reaches: Mapping[str, PartReach]) -> Document:
    """A survey's suspension with the reach of the parts that are on the car or come onto it."""
    suspension = dict(survey.document["suspension"])
    reach = dict(suspension.get("reach") or {})
    for adjuster, part in reaches.items():
        if has_adjuster(suspension, adjuster):
            reach[toe_link_or(suspension, adjuster)] = [part.min, part.max]
    if reach:
        suspension["reach"] = reach
    return suspension


def rod_names(suspension: Mapping[str, Any]) -> list[str]:
    return [str(rod.get("name", "")) for rod in suspension.get("links", [])]


def has_adjuster(suspension: Mapping[str, Any], adjuster: str) -> bool:
    """Whether a suspension of this kind can be moved by this adjuster (``rod:NAME`` for rods)."""
    kind = str(suspension.get("kind", ""))
    if adjuster.startswith("rod:"):
        return kind_of(kind).has_named_rods and adjuster[4:] in rod_names(suspension)
    if adjuster == "rods_mm":
        return kind_of(kind).has_named_rods
    return kind in ADJUSTERS.get(adjuster, ())


def toe_link_or(suspension: Mapping[str, Any], adjuster: str) -> str:
    """The adjuster's name in a check file: a part for the toe rod sets the toe link."""
    toe = {f"rod:{rod.get('name')}" for rod in suspension.get("links", []) if rod.get("toe")}
    return "toe_link_mm" if adjuster in toe else adjuster


def camber_methods_in(suspension: Mapping[str, Any]) -> tuple[str, ...]:
    """What camber can be set with on a document's suspension, as ``camber_by`` names it."""
    rods = (str(rod["name"]) for rod in suspension.get("links", []) if not rod.get("toe"))
    pivots = suspension.get("camber_pivots") or {}
    return camber_methods(str(suspension.get("kind", "")), rods, pivots)
