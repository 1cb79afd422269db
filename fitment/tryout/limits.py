"""Within which limits a search for options stays: the request, the car, its class, the law."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from decimal import Decimal
from typing import TYPE_CHECKING, Any

from alignment.geometry.kinds import METHOD_ADJUSTER
from alignment.geometry.model import Planned
from alignment.models import OrderTarget, Quantity, RackVisit, Stage, TargetSheet
from alignment.plans.services.class_rules import last_heights
from alignment.plans.services.order_targets import aims_of
from common.corners import AXLE_CORNERS
from common.message import Message, message
from common.verdicts import Outcome
from fitment.engine.mounting import tyre as tyres
from fitment.engine.mounting.facts import Fitted
from fitment.engine.mounting.law import with_usual
from fitment.engine.mounting.rule import Result
from fitment.engine.search.limits import ON_SPACER, ON_TYRE, ON_WHEEL, Rule, Within
from fitment.engine.search.space import TyreChoice, WheelChoice
from fitment.engine.solid.designation import BadSize, size_of
from fitment.job.car import Car
from fitment.models import OrderWheels, ShopLaw, TyreModel, WheelModel
from fitment.mounting.services.facts import fitted_of, needs_of
from fitment.tryout.data import SetUp
from shop.models import ClassRule, Part, PartKind, RuleKind
from shop.orders.services.class_rules import same_axle

if TYPE_CHECKING:
    from shop.models import CarModel, WorkOrder


SAME = 1e-6
#: Camber is searched this far to either side of what is planned where no sheet says how far it
#: may go, and tyres this near in diameter.
CAMBER_SPAN_DEG, DIAMETER_SHARE = 1.0, 0.025


def within_for(
    asked: Mapping[str, Any], car: Car, axle: str, mounting: MountingRules | None = None
) -> Within:
    """The limits of one axle; what is not known is said and rules nothing out."""

    def span(name: str) -> tuple[float, float] | None:
        low, high = asked.get(f"{name}_from"), asked.get(f"{name}_to")
        return None if low is None or high is None else (low, high)

    budget = asked.get("budget")
    load, speed = job_needs(car.car_model, axle)
    rules, unknown = class_limits(car, axle)
    return Within(
        camber_deg=span("camber"),
        diameter_mm=span("diameter"),
        load_kg=load,
        speed_kmh=speed,
        budget=Decimal(budget) if budget else None,
        rules=(*rules, *(mounting.rules() if mounting else ())),
        unknown=tuple(unknown),
    )


def limits_of(car: Car, set_up: SetUp) -> dict[str, float]:
    """Ranges to begin with: the target's camber, and the diameter around the original's."""
    limits: dict[str, float] = {}
    if (camber := camber_range(car, set_up)) is not None:
        limits["camber_from"], limits["camber_to"] = camber
    size = getattr(car.car_model, f"oe_tyre_{set_up.axle}", "") or ""
    try:
        diameter = size_of(size or set_up.size or (set_up.tyre.size if set_up.tyre else ""))
    except BadSize:
        return limits
    whole = diameter.overall_diameter_mm
    limits["diameter_from"] = round(whole * (1 - DIAMETER_SHARE))
    limits["diameter_to"] = round(whole * (1 + DIAMETER_SHARE))
    return limits


def camber_range(car: Car, set_up: SetUp) -> tuple[float, float] | None:
    """Camber that both sides may have: by the sheet that the order was planned from, else around
    what is planned."""
    planned = set_up.camber_deg
    sheet = sheet_of(car.order)
    aim = aims_of((), sheet).get((set_up.axle, str(Quantity.CAMBER.value))) if sheet else None
    if aim is not None:
        low = max(aim.left - aim.left_tolerance, aim.right - aim.right_tolerance)
        high = min(aim.left + aim.left_tolerance, aim.right + aim.right_tolerance)
        if low <= high and (planned is None or low - SAME <= planned <= high + SAME):
            return round(low, 2), round(high, 2)
    if planned is None:
        return None
    return round(planned - CAMBER_SPAN_DEG, 2), round(planned + CAMBER_SPAN_DEG, 2)


def sheet_of(order: WorkOrder | None) -> TargetSheet | None:
    """The target sheet that an order was planned from."""
    if order is None:
        return None
    taken = OrderTarget.objects.filter(order=order).select_related("sheet").first()
    return taken.sheet if taken else None


def job_needs(car_model: CarModel | None, axle: str) -> tuple[float | None, float | None]:
    """Load on one wheel (kg) and top speed (km/h) by the car model; None if not known."""
    if car_model is None:
        return None, None
    load = getattr(car_model, f"axle_load_{axle}_kg")
    return (load / 2 if load else None), car_model.top_speed_kmh


# Rules of the class


def class_limits(car: Car, axle: str) -> tuple[list[Rule], list[Message]]:
    """The rules of the order's class that an option has to keep, and what is not known of them."""
    order = car.order
    if order is None or order.class_record_id is None:
        return [], []
    rows = ClassRule.objects.filter(record=order.class_record_id)
    rules: list[Rule] = []
    unknown: list[Message] = []
    for row in rows:
        if not same_axle(row.axle, axle):
            continue
        if row.kind == RuleKind.HEIGHT_LEAST:
            height = height_over_survey(car, axle)
            if height is None:
                unknown.append(message("limit.class-height", rule=_named(row)))
            else:
                rules.append(_height_rule(row, height))
        elif row.kind == RuleKind.PART_BARRED and row.item != PartKind.SPACER:
            rules.append(_without_part(row, car, axle))
        elif (rule := _rule(row)) is not None:
            rules.append(rule)
    return rules, unknown


def _without_part(row: ClassRule, car: Car, axle: str) -> Rule:
    """No means for which a part of a barred kind would have to come onto the car."""
    moved = set(Part.objects.filter(kind=row.item).values_list("adjuster", flat=True)) - {""}
    for corner in car.measured(axle):
        moved -= set(car.surveys[corner].document["suspension"].get("reach") or {})
    return Rule(
        _named(row), setting=lambda plan: not any(_uses(plan, adjuster) for adjuster in moved)
    )


def _height_rule(row: ClassRule, at_survey_mm: float) -> Rule:
    least = (row.limit or 0.0) - at_survey_mm - SAME
    return Rule(_named(row), setting=lambda plan: plan.adjusters.ride_height_mm >= least)


def height_over_survey(car: Car, axle: str) -> float | None:
    """Height hub to lip that this car's lower side would have at the height of the survey, mm.

    By the heights that were read last on this order: before the work the car stands as its
    present corners say, afterwards as it is planned. None while that is not known.
    """
    if car.order is None:
        return None
    last = last_heights(list(RackVisit.objects.filter(order=car.order).with_numbers()), axle)
    if last is None:
        return None
    stage, heights = last
    if stage != Stage.BEFORE:
        plan = car.plans.get(axle)
        stands = float((plan.adjusters if plan else {}).get("ride_height_mm") or 0.0)
        return min(heights) - stands
    here = [car.present[corner] for corner in AXLE_CORNERS[axle] if corner in car.present]
    return min(heights) - max(one.ride_height_mm for one in here) if here else None


def _named(row: ClassRule) -> str:
    """A rule to stand inside a sentence."""
    return str(row).rstrip(".")


def _rule(row: ClassRule) -> Rule | None:
    limit, name = row.limit or 0.0, _named(row)
    kind = RuleKind(row.kind)
    if kind == RuleKind.CAMBER_MOST:
        most = -abs(limit) - SAME
        return Rule(name, setting=lambda plan: plan.camber_deg is None or plan.camber_deg >= most)
    if kind == RuleKind.LOWERED_MOST:
        return Rule(name, setting=lambda plan: plan.adjusters.ride_height_mm >= -abs(limit) - SAME)
    if kind == RuleKind.WHEEL_WIDTH_MOST:
        return Rule(
            name, fit=lambda w, _t, _s: w.wheel.width_in <= limit + SAME, hangs_on=(ON_WHEEL,)
        )
    if kind == RuleKind.WHEEL_DIAMETER_MOST:
        return Rule(
            name, fit=lambda w, _t, _s: w.wheel.diameter_in <= limit + SAME, hangs_on=(ON_WHEEL,)
        )
    if kind == RuleKind.TYRE_WIDTH_MOST:
        return Rule(name, fit=lambda _w, t, _s: _nominal(t) <= limit + SAME, hangs_on=(ON_TYRE,))
    if kind == RuleKind.ADJUSTER_BARRED:
        return Rule(name, setting=lambda plan: not _uses(plan, row.item))
    if kind == RuleKind.PART_BARRED and row.item == PartKind.SPACER:
        return Rule(name, fit=lambda _w, _t, spacer_mm: not spacer_mm, hangs_on=(ON_SPACER,))
    return None


def _uses(plan: Planned, adjuster: str) -> bool:
    """Whether a plan moves an adjuster, for its camber or by a position that is stated."""
    by = plan.camber_by or ""
    return METHOD_ADJUSTER.get(by, by) == adjuster or bool(getattr(plan.adjusters, adjuster, 0.0))


def _nominal(tyre: TyreChoice) -> float:
    try:
        return size_of(tyre.tyre.size).width_mm
    except BadSize:
        return 0.0


# Mounting checks


class MountingRules:
    """Mounting checks as rules of a search: what would stop the booking is not offered.

    Those are left to the order's own checks that other nuts, bolts or rings would settle. What
    the car carries, and at which speed, are limits of the search itself.
    """

    def __init__(
        self,
        car: Car,
        set_up: SetUp,
        wheels: Mapping[str, WheelModel],
        tyre_rows: Mapping[str, TyreModel],
    ) -> None:
        self._wheels, self._tyres, self._set_up = wheels, tyre_rows, set_up
        self._needs = needs_of(car.car_model, set_up.axle)
        self._law = with_usual(ShopLaw.load().law())

    def rules(self) -> list[Rule]:
        """A rule for each check."""
        needs, law = self._needs, self._law
        return [
            self._rule(
                "limit.mounting-load-index", lambda one: [tyres.load_index(needs, one)], ON_TYRE
            ),
            self._rule(
                "limit.mounting-speed-symbol", lambda one: [tyres.speed_symbol(needs, one)], ON_TYRE
            ),
            self._rule(
                "limit.mounting-diameter",
                lambda one: tyres.diameter(needs, one, law),
                ON_WHEEL,
                ON_TYRE,
            ),
            self._rule(
                "limit.mounting-offset",
                lambda one: tyres.offset(needs, one, law),
                ON_WHEEL,
                ON_SPACER,
            ),
        ]

    def _rule(self, code: str, check: Callable[[Fitted], list[Result]], *hangs_on: str) -> Rule:
        def fit(wheel: WheelChoice, tyre: TyreChoice, spacer_mm: float) -> bool:
            fitted = self._fitted(wheel.key, tyre, spacer_mm)
            return all(result.outcome != Outcome.FAILS for result in check(fitted))

        return Rule(message(code), fit=fit, hangs_on=hangs_on)

    def _fitted(self, wheel: str, tyre: TyreChoice, spacer_mm: float) -> Fitted:
        """What would be mounted, as the mounting checks see it."""
        mounts = self._wheels.get(wheel, self._set_up.wheel)
        worn = self._tyres.get(tyre.key) or TyreModel(size=tyre.tyre.size)
        row = OrderWheels(axle=self._set_up.axle, wheel=mounts, tyre=worn, spacer_mm=spacer_mm)
        return fitted_of(row, None)
