"""Limits of a search: what rules out a wheel, a tyre or a changed plan.

Millimetres, degrees, kilograms, km/h.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from decimal import Decimal

from alignment.geometry.model import Planned
from common.message import Message, message
from common.numerals import half_up
from fitment.engine.search.space import Space, TyreChoice, WheelChoice
from fitment.engine.solid.designation import (
    LOAD_INDEX_KG,
    SPEED_SYMBOL_KMH,
    BadMarking,
    BadSize,
    load_capacity_kg,
    size_of,
)
from fitment.engine.solid.mounted import Mounted
from fitment.engine.solid.permitted_rims import permitted_rims

#: Figures that differ by less are one.
SAME = 1e-9


#: What a rule on wheel, tyre and spacer may hang on.
ON_WHEEL, ON_TYRE, ON_SPACER = "wheel", "tyre", "spacer"
ON_ALL = (ON_WHEEL, ON_TYRE, ON_SPACER)


@dataclass(frozen=True)
class Rule:
    """A rule that an option has to keep: a class of racing, a mounting check, a shop's own.

    ``name`` is the shop's own words, or a message. ``setting`` judges a changed plan, ``fit`` a
    wheel, tyre and spacer; None asks nothing. ``hangs_on`` names those of the three that ``fit``
    looks at: it is asked once for each.
    """

    name: str | Message
    setting: Callable[[Planned], bool] | None = None
    fit: Callable[[WheelChoice, TyreChoice, float], bool] | None = None
    hangs_on: tuple[str, ...] = ON_ALL

    def can_be_kept(self, space: Space, planned: Planned) -> bool:
        """Whether anything that there is to choose from keeps it."""
        settings = self.setting is None or any(
            self.setting(change.made_to(planned)) for change in space.settings
        )
        return settings and (self.fit is None or any(map(self.keeps, self._asked_of(space))))

    def keeps(self, picked: tuple[WheelChoice, TyreChoice, float]) -> bool:
        """Whether wheel, tyre and spacer keep it."""
        return self.fit is None or self.fit(*picked)

    def _asked_of(self, space: Space) -> Iterator[tuple[WheelChoice, TyreChoice, float]]:
        """Wheels, tyres and spacers that fit one another, one for each that it tells apart."""
        asked: set[tuple[int, ...]] = set()
        rims = [tyre.rim_diameter_in for tyre in space.tyres]
        for w, wheel in enumerate(space.wheels):
            for t, tyre in enumerate(space.tyres):
                if rims[t] != wheel.wheel.diameter_in:
                    continue
                for s, spacer in enumerate(space.spacers):
                    key = self.key(w, t, s)
                    if key not in asked:
                        asked.add(key)
                        yield wheel, tyre, spacer.mm

    def key(self, wheel: int, tyre: int, spacer: int) -> tuple[int, ...]:
        """What it tells apart, by places in the space."""
        places = {ON_WHEEL: wheel, ON_TYRE: tyre, ON_SPACER: spacer}
        return tuple(places[name] for name in self.hangs_on)


@dataclass(frozen=True)
class Within:
    """Limits of a search; None asks nothing.

    ``camber_deg`` and ``diameter_mm`` are (least, most); ``load_kg`` is on one wheel;
    ``load_index`` and ``speed_symbol`` are the least that a tyre has to be marked with, and a tyre
    without such a marking does not keep them; ``budget`` is for the axle, and what has no price
    does not keep it where ``prices_known``. ``unknown`` are limits that cannot be held to;
    ``broken`` are rules that are kept by nothing that there is to choose from.
    """

    camber_deg: tuple[float, float] | None = None
    diameter_mm: tuple[float, float] | None = None
    tyre_width_mm: tuple[float, float] | None = None
    load_kg: float | None = None
    speed_kmh: float | None = None
    load_index: int | None = None
    speed_symbol: str = ""
    budget: Decimal | None = None
    prices_known: bool = False
    rules: tuple[Rule, ...] = ()
    unknown: tuple[Message, ...] = ()
    broken: tuple[str | Message, ...] = ()

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
RIM_UNKNOWN = "ruled-out.rim-unknown"
MARKING_UNKNOWN = "ruled-out.marking-unknown"
LOAD_INDEX = "ruled-out.load-index"
DIAMETER = "ruled-out.diameter"
WIDTH = "ruled-out.width"
LOAD = "ruled-out.load"
WHEEL_LOAD = "ruled-out.wheel-load"
SPEED = "ruled-out.speed"
BUDGET = "ruled-out.budget"
PRICE_UNKNOWN = "ruled-out.price-unknown"
RULE = "ruled-out.rule"


def rims_for(tyre: TyreChoice) -> tuple[float, float] | None:
    """Rims that a tyre is for: as recorded, else those that the standard permits for its size."""
    if tyre.rim_in is not None:
        return tyre.rim_in
    try:
        return permitted_rims(size_of(tyre.tyre.size))
    except BadSize:
        return None


def rim_refused(wheel: WheelChoice, tyre: TyreChoice) -> Message | None:
    """Why a wheel's width is none for a tyre, or why that cannot be said."""
    rims = rims_for(tyre)
    if rims is None:
        return message(RIM_UNKNOWN, size=tyre.tyre.size)
    if not rims[0] - SAME <= wheel.wheel.width_in <= rims[1] + SAME:
        return message(RIM_WIDTH, width_in=wheel.wheel.width_in)
    return None


def size_refused(size: Mounted, within: Within) -> Message | None:
    """Why a tyre as it is mounted is outside the limits."""
    if _outside(size.overall_diameter_mm, within.diameter_mm):
        return message(DIAMETER, across_mm=_whole(size.overall_diameter_mm))
    if _outside(size.section_width_mm, within.tyre_width_mm):
        return message(WIDTH, width_mm=_whole(size.section_width_mm))
    return None


def wheel_refused(wheel: WheelChoice, within: Within) -> Message | None:
    """Why a wheel does not carry the car; what is not known rules nothing out."""
    if within.load_kg and wheel.load_kg is not None and wheel.load_kg < within.load_kg:
        return message(WHEEL_LOAD, load_kg=wheel.load_kg)
    return None


def _whole(value: float) -> float:
    """Rounded, so that what fell for the same figure is counted together."""
    return float(half_up(value, 0))


def _outside(value: float, span: tuple[float, float] | None) -> bool:
    return span is not None and not span[0] - SAME <= value <= span[1] + SAME


def marking_refused(tyre: TyreChoice, within: Within) -> Message | None:
    """Why a tyre's marking is not enough for the car, or for what was asked of it."""
    return _too_little_marked(tyre, within) or _cannot_carry(tyre, within)


def _too_little_marked(tyre: TyreChoice, within: Within) -> Message | None:
    """The least marking that was asked for: a tyre that bears none does not keep it."""
    if within.load_index is not None:
        if tyre.load_index is None:
            return message(MARKING_UNKNOWN, what=message("missing.tyre-load-index"))
        if tyre.load_index < within.load_index:
            return message(LOAD_INDEX, index=tyre.load_index)
    if within.speed_symbol:
        if not tyre.speed_symbol:
            return message(MARKING_UNKNOWN, what=message("missing.tyre-speed-symbol"))
        asked = SPEED_SYMBOL_KMH[within.speed_symbol]
        if SPEED_SYMBOL_KMH.get(tyre.speed_symbol, 0) < asked:
            return message(SPEED, symbol=tyre.speed_symbol)
    return None


def _cannot_carry(tyre: TyreChoice, within: Within) -> Message | None:
    """What is not known rules nothing out: see ``not_known``."""
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
    if rims_for(tyre) is None:
        missing.append(message("limit.approved-rims"))
    if within.load_kg and tyre.load_index is None:
        missing.append(message("missing.tyre-load-index"))
    if within.speed_kmh and not tyre.speed_symbol:
        missing.append(message("missing.tyre-speed-symbol"))
    if within.load_kg and wheel.load_kg is None:
        missing.append(message("missing.wheel-load"))
    return tuple(missing)
