"""Limits of a search: what rules out a wheel, a tyre or a changed plan.

Millimetres, degrees, kilograms, km/h.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from decimal import Decimal
from itertools import product

from alignment.geometry.model import Planned
from common.message import Message, message
from common.numerals import half_up
from fitment.engine.search.space import Space, TyreChoice, WheelChoice
from fitment.engine.solid.designation import (
    LOAD_INDEX_KG,
    BadMarking,
    BadSize,
    load_capacity_kg,
    size_of,
)
from fitment.engine.solid.mounted import BadSection, mounted


@dataclass(frozen=True)
class Rule:
    """A rule that a way has to keep: a class of racing, a mounting check, a shop's own.

    ``setting`` judges a changed plan, ``fit`` a wheel, tyre and spacer; None asks nothing.
    """

    name: str
    setting: Callable[[Planned], bool] | None = None
    fit: Callable[[WheelChoice, TyreChoice, float], bool] | None = None

    def can_be_kept(self, space: Space, planned: Planned) -> bool:
        """Whether anything that there is to choose from keeps it."""
        settings = self.setting is None or any(
            self.setting(change.made_to(planned)) for change in space.settings
        )
        return settings and (
            self.fit is None
            or any(
                self.fit(wheel, tyre, spacer.mm)
                for wheel, tyre, spacer in product(space.wheels, space.tyres, space.spacers)
                if tyre.rim_diameter_in == wheel.wheel.diameter_in
            )
        )


@dataclass(frozen=True)
class Within:
    """Limits of a search; None asks nothing.

    ``camber_deg`` and ``diameter_mm`` are (least, most); ``load_kg`` is on one wheel;
    ``budget`` for the axle. ``unknown`` are limits that cannot be held to; ``broken``
    are rules that are kept by nothing that there is to choose from.
    """

    camber_deg: tuple[float, float] | None = None
    diameter_mm: tuple[float, float] | None = None
    tyre_width_mm: tuple[float, float] | None = None
    load_kg: float | None = None
    speed_kmh: float | None = None
    budget: Decimal | None = None
    rules: tuple[Rule, ...] = ()
    unknown: tuple[Message, ...] = ()
    broken: tuple[str, ...] = ()

    def for_space(self, space: Space, planned: Planned) -> Within:
        """The limits without those rules that no choice could keep: such a rule says nothing
        about what to choose, and is told beside it instead."""
        kept = [rule for rule in self.rules if rule.can_be_kept(space, planned)]
        broken = tuple(rule.name for rule in self.rules if rule not in kept)
        return replace(self, rules=tuple(kept), broken=(*self.broken, *broken))


#: Codes of what rules out a wheel and tyre.
NO_SECTION = "ruled-out.no-section"
RIM_DIAMETER = "ruled-out.rim-diameter"
RIM_WIDTH = "ruled-out.rim-width"
DIAMETER = "ruled-out.diameter"
WIDTH = "ruled-out.width"
LOAD = "ruled-out.load"
WHEEL_LOAD = "ruled-out.wheel-load"
SPEED = "ruled-out.speed"
BUDGET = "ruled-out.budget"
RULE = "ruled-out.rule"


def pair_refused(wheel: WheelChoice, tyre: TyreChoice, within: Within) -> Message | None:
    """Why a tyre on a wheel is outside the limits; None if it is not.

    What is not known rules nothing out: see ``not_known``. Rules are asked by ``rule_broken``.
    """
    try:
        size = mounted(wheel.wheel, tyre.on(wheel.wheel))
        rim = size_of(tyre.tyre.size).rim_in
    except (BadSize, BadSection):
        return message(NO_SECTION, size=tyre.tyre.size)
    if rim != wheel.wheel.diameter_in:
        return message(RIM_DIAMETER, rim_in=rim)
    if tyre.rim_in and not tyre.rim_in[0] <= wheel.wheel.width_in <= tyre.rim_in[1]:
        return message(RIM_WIDTH, width_in=wheel.wheel.width_in)
    if _outside(size.overall_diameter_mm, within.diameter_mm):
        return message(DIAMETER, across_mm=_whole(size.overall_diameter_mm))
    if _outside(size.section_width_mm, within.tyre_width_mm):
        return message(WIDTH, width_mm=_whole(size.section_width_mm))
    if within.load_kg and wheel.load_kg is not None and wheel.load_kg < within.load_kg:
        return message(WHEEL_LOAD, load_kg=wheel.load_kg)
    return _marking_refused(tyre, within)


def _whole(value: float) -> float:
    """Rounded, so that what fell for the same figure is counted together."""
    return float(half_up(value, 0))


def rule_broken(
    wheel: WheelChoice, tyre: TyreChoice, spacer_mm: float, within: Within
) -> str | None:
    """The first rule on wheel, tyre and spacer that is not kept."""
    for rule in within.rules:
        if rule.fit is not None and not rule.fit(wheel, tyre, spacer_mm):
            return rule.name
    return None


def _outside(value: float, span: tuple[float, float] | None) -> bool:
    return span is not None and not span[0] - 1e-9 <= value <= span[1] + 1e-9


def _marking_refused(tyre: TyreChoice, within: Within) -> Message | None:
    speed = within.speed_kmh or 0.0
    if tyre.speed_symbol and speed:
        try:
            load_capacity_kg(min(LOAD_INDEX_KG), tyre.speed_symbol, speed)
        except BadMarking:
            return message(SPEED, symbol=tyre.speed_symbol)
    if tyre.load_index is not None and within.load_kg:
        try:
            carries = load_capacity_kg(tyre.load_index, tyre.speed_symbol or "Y", speed)
        except BadMarking:
            return message(LOAD, index=tyre.load_index)
        if carries < within.load_kg:
            return message(LOAD, index=tyre.load_index)
    return None


def not_known(wheel: WheelChoice, tyre: TyreChoice, within: Within) -> tuple[Message, ...]:
    """Limits that nothing can be said about."""
    missing = list(within.unknown)
    if tyre.rim_in is None:
        missing.append(message("limit.approved-rims"))
    if within.load_kg and tyre.load_index is None:
        missing.append(message("missing.tyre-load-index"))
    if within.speed_kmh and not tyre.speed_symbol:
        missing.append(message("missing.tyre-speed-symbol"))
    if within.load_kg and wheel.load_kg is None:
        missing.append(message("missing.wheel-load"))
    return tuple(missing)
