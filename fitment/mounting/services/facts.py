"""Mounting checks of an order: rows to plain facts, facts to results."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from common.corners import AXLE_CORNERS
from common.message import Message
from common.verdicts import OUTCOMES, Outcome, worst_outcome
from fitment.engine import checkfile
from fitment.engine.mounting.checks import axle_checks
from fitment.engine.mounting.clearance_checks import clearance_checks, not_checked
from fitment.engine.mounting.facts import Fitted, Hub, Needs
from fitment.engine.mounting.law import Figure, with_usual
from fitment.engine.mounting.rule import Result
from fitment.engine.mounting.tyre import diameter_ratio, original_diameter_mm
from fitment.engine.solid.designation import BadSize, size_of
from fitment.engine.whole_car import ALL, Drive
from fitment.job.fitted import fitted_on
from fitment.models import OrderMounting, OrderWheels, ShopLaw
from shop.languages import speech_of_shop
from shop.models.mounting import Driven

if TYPE_CHECKING:
    from fitment.engine.model import Answer, Check
    from fitment.engine.mounting.law import Law
    from fitment.job.data import CheckState
    from shop.models import CarModel, WorkOrder


@dataclass(frozen=True)
class MountingFacts:
    """All that the mounting checks of an order use, apart from its clearance check."""

    hub: Hub
    pairs: Mapping[str, tuple[Needs, Fitted]]
    law: Law
    law_revision: int
    drive: Drive


@dataclass(frozen=True)
class Mounting:
    """All mounting checks of an order, in the order of the work."""

    results: tuple[Result, ...]

    @property
    def failing(self) -> tuple[Result, ...]:
        return tuple(one for one in self.results if one.outcome == Outcome.FAILS)

    @property
    def open(self) -> tuple[Result, ...]:
        return tuple(one for one in self.results if one.outcome == Outcome.CANNOT_SAY)

    @property
    def outcome(self) -> Outcome:
        """The worst of them."""
        return worst_outcome(one.outcome for one in self.results)

    @property
    def missing(self) -> tuple[Message, ...]:
        """What would have to be recorded, each once."""
        return tuple(dict.fromkeys(what for one in self.open for what in one.missing))


def mounting_checks(
    order: WorkOrder, state: CheckState, fitted: Sequence[OrderWheels] | None = None
) -> Mounting | None:
    """Every mounting check of an order; None while it mounts nothing.

    ``fitted`` is what the order mounts, for a caller who has it already.
    """
    facts = mounting_facts(order, fitted)
    return None if facts is None else answered(facts, state)


def mounting_facts(
    order: WorkOrder, fitted: Sequence[OrderWheels] | None = None
) -> MountingFacts | None:
    """What an order mounts, on which hub, and by which law; None while it mounts nothing."""
    chosen = {row.axle: row for row in (fitted_on(order) if fitted is None else fitted)}
    if not chosen:
        return None
    others = {row.axle: row for row in OrderMounting.objects.filter(order=order)}
    shop_law = ShopLaw.load()
    law, car_model = with_usual(shop_law.law()), order.vehicle.car_model
    return MountingFacts(
        hub=hub_of(car_model),
        pairs={
            axle: (needs_of(car_model, axle), fitted_of(row, others.get(axle)))
            for axle, row in chosen.items()
        },
        law=law,
        law_revision=shop_law.revision,
        drive=drive_of(car_model, law),
    )


def answered(facts: MountingFacts, state: CheckState) -> Mounting:
    """All checks of these facts, with what the clearance check answers to them."""
    question, answer = _clearance(state)
    results: list[Result] = []
    for axle in AXLE_CORNERS:
        if axle in facts.pairs:
            results += axle_checks(facts.hub, *facts.pairs[axle], facts.law)
            results += _of_clearance(axle, question, answer, facts.law)
    axles = facts.pairs.get("front"), facts.pairs.get("rear")
    drive = facts.drive
    results.append(diameter_ratio(*axles, drive.driven == ALL, figure_of(drive)))
    return Mounting(tuple(results))


def drive_of(car_model: CarModel | None, law: Law) -> Drive:
    """What a car model's drive joins, and the figure for it: the maker's, or the shop's rule."""
    rule = law["ratio_percent"]
    if car_model is None:
        return Drive(most_apart=rule.value / 100, source=rule.source)
    driven = ALL if car_model.driven == Driven.BOTH else car_model.driven
    front, rear = (original_diameter_mm(needs_of(car_model, axle)) for axle in AXLE_CORNERS)
    original = front / rear if front and rear else None
    if driven and car_model.drive_apart_percent is not None:
        source = speech_of_shop().say(
            "the car’s maker: {source}", source=car_model.drive_apart_source
        )
        return Drive(driven, original, car_model.drive_apart_percent / 100, source)
    return Drive(driven, original, rule.value / 100, rule.source)


def figure_of(drive: Drive) -> Figure:
    """How far apart a drive's tyres may be, in per cent, and whose figure that is."""
    return Figure(round(100 * drive.most_apart, 6), drive.source)


def hub_of(car_model: CarModel | None) -> Hub:
    """The hub of a car model; blank where there is none."""
    if car_model is None:
        return Hub()
    return Hub(
        bolt_count=car_model.bolt_count,
        bolt_circle_mm=_float(car_model.bolt_circle_mm),
        bore_mm=_float(car_model.centre_bore_mm),
        thread=car_model.thread,
        seat=car_model.wheel_seat,
        fastener=car_model.fastener,
        length_mm=car_model.fastener_length_mm,
        thread_depth_mm=car_model.thread_depth_mm,
        nut=car_model.nut_form,
        nut_depth_mm=car_model.nut_depth_mm,
    )


def needs_of(car_model: CarModel | None, axle: str) -> Needs:
    """What a car model asks of one axle."""
    if car_model is None:
        return Needs(axle)
    return Needs(
        axle=axle,
        load_index=getattr(car_model, f"load_index_{axle}"),
        speed_symbol=car_model.speed_symbol,
        axle_load_kg=getattr(car_model, f"axle_load_{axle}_kg"),
        top_speed_kmh=car_model.top_speed_kmh,
        tyre_size=getattr(car_model, f"oe_tyre_{axle}"),
        offset_mm=getattr(car_model, f"oe_offset_{axle}_mm"),
    )


def fitted_of(row: OrderWheels, other: OrderMounting | None) -> Fitted:
    """What an order mounts on one axle, with rings and nuts of its own where it has some."""
    wheel, tyre = row.wheel, row.tyre
    fitted = Fitted(
        wheel=str(wheel),
        tyre=str(tyre),
        bolt_count=wheel.bolt_count,
        bolt_circle_mm=wheel.bolt_circle_mm,
        bore_mm=wheel.centre_bore_mm,
        wheel_seat=wheel.seat,
        pad_mm=wheel.known_pad_mm,
        load_rating_kg=wheel.load_rating_kg,
        offset_mm=wheel.offset_mm,
        width_in=wheel.width_in,
        spacer_mm=row.spacer_mm,
        load_index=tyre.load_index,
        speed_symbol=tyre.speed_symbol,
        rim_min_in=tyre.rim_min_in,
        rim_max_in=tyre.rim_max_in,
        diameter_mm=diameter_of(row),
    )
    if other is None:
        return fitted
    return replace(
        fitted,
        ring_inner_mm=other.ring_inner_mm,
        ring_outer_mm=other.ring_outer_mm,
        seat=other.seat,
        thread=other.thread,
        length_mm=other.length_mm,
        nut=other.nut_form,
        nut_depth_mm=other.nut_depth_mm,
    )


def diameter_of(row: OrderWheels) -> float | None:
    """Diameter of the tyre as known, else by its size; None where neither says."""
    known = row.tyre.as_document(row.wheel.width_in).get("overall_diameter_mm")
    if known is not None:
        return float(known)
    try:
        return size_of(row.tyre.size).overall_diameter_mm
    except BadSize:
        return None


def _clearance(state: CheckState) -> tuple[Check | None, Answer | None]:
    """Question and answer of the clearance check that holds for the order as it is."""
    check, document = state.current, state.inputs.document
    if check is None or not check.answer or document is None:
        return None, None
    return checkfile.parse(document), checkfile.answer_load(check.answer)


def _of_clearance(
    axle: str, question: Check | None, answer: Answer | None, law: Law
) -> list[Result]:
    """The results of an axle's corners that its clearance answers; of two corners, the worse."""
    if question is None or answer is None:
        return not_checked(law, axle)
    found: dict[str, list[Result]] = {}
    seen: list[object] = []
    for name in AXLE_CORNERS[axle]:
        corner, one = question.corners.get(name), answer.corners.get(name)
        if corner is None or one is None or corner in seen:
            continue
        for result in clearance_checks(corner, question.duty, one, law, axle):
            found.setdefault(result.rule, []).append(replace(result, corner=name))
        seen.append(corner)
    return [_worst(results) for results in found.values()] or not_checked(law, axle)


def _worst(results: Sequence[Result]) -> Result:
    """The worst of an axle's corners, named where the other one answers otherwise."""
    worst = min(results, key=lambda one: OUTCOMES.index(one.outcome))
    alike = len({one.outcome for one in results}) == 1
    return replace(worst, corner="") if alike else worst


def _float(value: object) -> float | None:
    return None if value is None else float(str(value))
