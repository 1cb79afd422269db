"""What may be changed in search of a set-up that clears, and within which limits.

Settings, wheels, tyres and spacers to choose from; the first of each is what is planned now.
How much a change is, and what it costs, are sums of what its parts are. Prices are for one
axle where a name does not say otherwise; None is a price that nobody knows. Millimetres,
degrees, kilograms, km/h.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from decimal import Decimal
from itertools import product

from alignment.geometry.model import CAMBER_MEANS, CURVES, LINKS, Planned, Suspension
from fitment.engine.model import Tyre, Wheel
from fitment.engine.solid.designation import (
    LOAD_INDEX_KG,
    BadMarking,
    BadSize,
    Size,
    load_capacity_kg,
    size_of,
)
from fitment.engine.solid.mounted import BadSection, mounted
from fitment.engine.solid.pooled_tyres import SAME_RIM_IN

#: Kinds of change, in the order in which words tell them.
MEANS, CAMBER, HEIGHT, PACKER, LIPS, SPACER, TYRE, WHEEL = (
    "means",
    "camber",
    "height",
    "packer",
    "lips",
    "spacer",
    "tyre",
    "wheel",
)
KINDS = (MEANS, CAMBER, HEIGHT, PACKER, LIPS, SPACER, TYRE, WHEEL)

NOTHING = Decimal(0)


@dataclass(frozen=True)
class Weights:
    """How large a change is felt to be: invented, in units of one camber bolt moved.

    Having to buy something weighs more than turning something; a size of tyre more than a
    spacer, and bodywork, which nobody takes back, more than a tyre. Per millimetre or degree
    where a name says so.
    """

    camber_method: float = 1.0
    camber: float = 0.5
    camber_per_deg: float = 1.0
    height: float = 1.0
    height_per_mm: float = 0.1
    packer: float = 1.0
    packer_per_mm: float = 0.05
    lips: float = 3.0
    spacer: float = 0.5
    spacer_per_mm: float = 0.1
    tyre: float = 2.0
    tyre_per_mm: float = 0.1
    wheel: float = 4.0
    wheel_per_mm: float = 0.02


@dataclass(frozen=True)
class SettingChange:
    """What differs from the planned setting; None leaves a thing as it is.

    ``price`` is of the parts that it takes; camber needs means, its own or the planned ones.
    ``rolled_lips``: fender lips are folded flat.
    """

    camber_by: str | None = None
    camber_deg: float | None = None
    ride_height_mm: float | None = None
    bump_stop_mm: float | None = None
    price: Decimal | None = NOTHING
    rolled_lips: bool = False

    def made_to(self, planned: Planned) -> Planned:
        """A plan with this change."""
        adjusters = planned.adjusters
        if self.ride_height_mm is not None:
            adjusters = replace(adjusters, ride_height_mm=self.ride_height_mm)
        if self.bump_stop_mm is not None:
            adjusters = replace(adjusters, bump_stop_mm=self.bump_stop_mm)
        return replace(
            planned,
            adjusters=adjusters,
            camber_by=planned.camber_by if self.camber_by is None else self.camber_by,
            camber_deg=planned.camber_deg if self.camber_deg is None else self.camber_deg,
            rolled_lips=planned.rolled_lips or self.rolled_lips,
        )

    def kinds(self, planned: Planned) -> frozenset[str]:
        """What it really changes of a plan."""
        new = self.made_to(planned)
        pairs = (
            (MEANS, planned.camber_by, new.camber_by),
            (CAMBER, planned.camber_deg, new.camber_deg),
            (HEIGHT, planned.adjusters.ride_height_mm, new.adjusters.ride_height_mm),
            (PACKER, planned.adjusters.bump_stop_mm, new.adjusters.bump_stop_mm),
            (LIPS, planned.rolled_lips, new.rolled_lips),
        )
        return frozenset(kind for kind, before, after in pairs if before != after)

    def effort(self, planned: Planned, weights: Weights) -> float:
        """How large the change is."""
        new, kinds = self.made_to(planned), self.kinds(planned)
        height = new.adjusters.ride_height_mm - planned.adjusters.ride_height_mm
        packer = new.adjusters.bump_stop_mm - planned.adjusters.bump_stop_mm
        degrees = (new.camber_deg or 0.0) - (planned.camber_deg or 0.0)
        return (
            (MEANS in kinds) * weights.camber_method
            + (CAMBER in kinds) * (weights.camber + weights.camber_per_deg * abs(degrees))
            + (HEIGHT in kinds) * (weights.height + weights.height_per_mm * abs(height))
            + (PACKER in kinds) * (weights.packer + weights.packer_per_mm * abs(packer))
            + (LIPS in kinds) * weights.lips
        )


@dataclass(frozen=True)
class WheelChoice:
    """A wheel without its spacer, under the caller's ``key``: price of one, and what it carries."""

    key: str
    wheel: Wheel
    price: Decimal | None = None
    load_kg: float | None = None


@dataclass(frozen=True)
class TyreChoice:
    """A tyre, the price of one, its marking and its approved rims; None is not known.

    ``nominal`` marks a size that follows from the designation alone: no such tyre was seen.
    ``traced`` is the tyre with its section as traced, and the rim width in inches that this holds
    for.
    """

    key: str
    tyre: Tyre
    price: Decimal | None = None
    load_index: int | None = None
    speed_symbol: str = ""
    rim_in: tuple[float, float] | None = None
    nominal: bool = False
    traced: tuple[float, Tyre] | None = None

    @property
    def rim_diameter_in(self) -> float | None:
        """Diameter of the rims that it is for; None where its size tells none."""
        try:
            return size_of(self.tyre.size).rim_in
        except BadSize:
            return None

    def on(self, wheel: Wheel) -> Tyre:
        """The tyre as it is on a wheel: with its trace where that was taken on such a rim."""
        if self.traced is not None and abs(wheel.width_in - self.traced[0]) < SAME_RIM_IN:
            return self.traced[1]
        return self.tyre


@dataclass(frozen=True)
class SpacerChoice:
    """A thickness of spacer, 0 for none, and the price of one."""

    mm: float
    price: Decimal | None = NOTHING


@dataclass(frozen=True)
class Space:
    """All that there is to choose from; the first of each is what is planned now."""

    settings: tuple[SettingChange, ...]
    wheels: tuple[WheelChoice, ...]
    tyres: tuple[TyreChoice, ...]
    spacers: tuple[SpacerChoice, ...] = (SpacerChoice(0.0),)


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
    ``budget`` for the axle. ``unknown`` are limits that cannot be held to, in words; ``broken``
    are rules that are kept by nothing that there is to choose from.
    """

    camber_deg: tuple[float, float] | None = None
    diameter_mm: tuple[float, float] | None = None
    tyre_width_mm: tuple[float, float] | None = None
    load_kg: float | None = None
    speed_kmh: float | None = None
    budget: Decimal | None = None
    rules: tuple[Rule, ...] = ()
    unknown: tuple[str, ...] = ()
    broken: tuple[str, ...] = ()

    def for_space(self, space: Space, planned: Planned) -> Within:
        """The limits without those rules that no choice could keep: such a rule says nothing
        about what to choose, and is told beside it instead."""
        kept = [rule for rule in self.rules if rule.can_be_kept(space, planned)]
        broken = tuple(rule.name for rule in self.rules if rule not in kept)
        return replace(self, rules=tuple(kept), broken=(*self.broken, *broken))


#: What rules out a wheel and tyre, as reasons that are counted.
NO_SECTION, RIM_DIAMETER, RIM_WIDTH, DIAMETER, WIDTH, LOAD, WHEEL_LOAD, SPEED, BUDGET, RULE = (
    "not a tyre for this wheel",
    "rim diameter",
    "rim width",
    "overall diameter",
    "section width",
    "load",
    "wheel load",
    "speed",
    "budget",
    "rule",
)


def pair_refused(wheel: WheelChoice, tyre: TyreChoice, within: Within) -> tuple[str, str] | None:
    """Why a tyre on a wheel is outside the limits, (reason, what); None if it is not.

    What is not known rules nothing out: see ``not_known``. Rules are asked by ``rule_broken``.
    """
    try:
        size = mounted(wheel.wheel, tyre.on(wheel.wheel))
        rim = size_of(tyre.tyre.size).rim_in
    except (BadSize, BadSection):
        return NO_SECTION, tyre.tyre.size
    if rim != wheel.wheel.diameter_in:
        return RIM_DIAMETER, f"{rim:g} in"
    if tyre.rim_in and not tyre.rim_in[0] <= wheel.wheel.width_in <= tyre.rim_in[1]:
        return RIM_WIDTH, f"{wheel.wheel.width_in:g} in"
    if _outside(size.overall_diameter_mm, within.diameter_mm):
        return DIAMETER, f"{size.overall_diameter_mm:.0f} mm"
    if _outside(size.section_width_mm, within.tyre_width_mm):
        return WIDTH, f"{size.section_width_mm:.0f} mm"
    if within.load_kg and wheel.load_kg is not None and wheel.load_kg < within.load_kg:
        return WHEEL_LOAD, f"{wheel.load_kg:g} kg"
    return _marking_refused(tyre, within)


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


def _marking_refused(tyre: TyreChoice, within: Within) -> tuple[str, str] | None:
    speed = within.speed_kmh or 0.0
    if tyre.speed_symbol and speed:
        try:
            load_capacity_kg(min(LOAD_INDEX_KG), tyre.speed_symbol, speed)
        except BadMarking:
            return SPEED, tyre.speed_symbol
    if tyre.load_index is not None and within.load_kg:
        try:
            carries = load_capacity_kg(tyre.load_index, tyre.speed_symbol or "Y", speed)
        except BadMarking:
            return LOAD, str(tyre.load_index)
        if carries < within.load_kg:
            return LOAD, str(tyre.load_index)
    return None


def not_known(wheel: WheelChoice, tyre: TyreChoice, within: Within) -> tuple[str, ...]:
    """Limits that nothing can be said about, in words."""
    missing = list(within.unknown)
    if tyre.rim_in is None:
        missing.append("which rims the tyre is approved for")
    if within.load_kg and tyre.load_index is None:
        missing.append("the tyre's load index")
    if within.speed_kmh and not tyre.speed_symbol:
        missing.append("the tyre's speed symbol")
    if within.load_kg and wheel.load_kg is None:
        missing.append("what the wheel may carry")
    return tuple(missing)


def fit_kinds(wheel: int, tyre: int, spacer: int) -> frozenset[str]:
    """What a wheel, tyre and spacer change of what is planned now."""
    picked = ((WHEEL, wheel), (TYRE, tyre), (SPACER, spacer))
    return frozenset(kind for kind, index in picked if index)


def fit_effort(space: Space, wheel: int, tyre: int, spacer: int, weights: Weights) -> float:
    """How large a change of wheel, tyre and spacer is."""
    now, new = space.wheels[0].wheel, space.wheels[wheel].wheel
    effort = 0.0
    if wheel:
        effort += weights.wheel + weights.wheel_per_mm * abs(new.offset_mm - now.offset_mm)
    if tyre:
        wider = _nominal_mm(space.tyres[tyre].tyre) - _nominal_mm(space.tyres[0].tyre)
        effort += weights.tyre + weights.tyre_per_mm * abs(wider)
    if spacer:
        thicker = space.spacers[spacer].mm - space.spacers[0].mm
        effort += weights.spacer + weights.spacer_per_mm * abs(thicker)
    return effort


def _nominal_mm(tyre: Tyre) -> float:
    try:
        return size_of(tyre.size).width_mm
    except BadSize:
        return tyre.section_width_mm or 0.0


def axle_price(
    wheels: int,
    setting: SettingChange,
    wheel: WheelChoice,
    tyre: TyreChoice,
    spacer: SpacerChoice,
) -> Decimal | None:
    """What a way costs on so many wheels; None where one of its prices is not known."""
    total = fit_price(wheels, wheel, tyre, spacer)
    return None if total is None or setting.price is None else total + setting.price


def fit_price(
    wheels: int, wheel: WheelChoice, tyre: TyreChoice, spacer: SpacerChoice
) -> Decimal | None:
    """The same without the setting's parts."""
    if wheel.price is None or tyre.price is None or spacer.price is None:
        return None
    return wheels * (wheel.price + tyre.price + spacer.price)


# --- What there could be ----------------------------------------------------------------


@dataclass(frozen=True)
class Steps:
    """Values of each adjustment to try; what is planned now is always tried.

    ``camber_deg`` are targets, ``prices`` of the parts that means, height and packers take:
    by ``means:NAME``, "height" and "packer"; what is not named costs nothing, and None is a price
    that nobody knows. ``rolled_lips``: fender lips may be rolled, at a price that nobody knows.
    """

    camber_deg: tuple[float, ...] = ()
    camber_method: tuple[str, ...] | None = None
    ride_height_mm: tuple[float, ...] = ()
    bump_stop_mm: tuple[float, ...] = ()
    prices: Mapping[str, Decimal | None] = field(default_factory=dict)
    rolled_lips: bool = False


#: Of the settings to try, the share that is tried with rolled lips as well.
ROLLED_SHARE = 5


def camber_methods_of(suspension: Suspension) -> tuple[str, ...]:
    """Means of camber that a corner has."""
    if suspension.kind == LINKS:
        return tuple(f"rod:{rod.name}" for rod in suspension.links if not rod.toe)
    if suspension.kind == CURVES:
        return tuple(sorted(suspension.camber_pivots))
    return tuple(CAMBER_MEANS[suspension.kind])


def settings_within(
    planned: Planned, suspension: Suspension, steps: Steps, most: int = 30
) -> tuple[SettingChange, ...]:
    """The planned setting and changes of it, the smallest first, ``most`` in all.

    Other means of camber are tried only where camber is planned or targets are given.
    """
    camber_method = (
        camber_methods_of(suspension) if steps.camber_method is None else steps.camber_method
    )
    cambers: list[float | None] = [None, *steps.camber_deg]
    heights, packers = [None, *steps.ride_height_mm], [None, *steps.bump_stop_mm]
    found: dict[tuple[object, ...], SettingChange] = {}
    for by, camber, height, packer in product([None, *camber_method], cambers, heights, packers):
        change = SettingChange(by, camber, height, packer)
        new = change.made_to(planned)
        if (new.camber_deg is None) != (new.camber_by is None):
            continue
        change = replace(change, price=_price(change, planned, steps.prices))
        found.setdefault(_key(new), change)
    weights = Weights()
    ordered = sorted(found.values(), key=lambda change: change.effort(planned, weights))
    if not steps.rolled_lips or planned.rolled_lips:
        return tuple(ordered[:most])
    rolled = ordered[: max(1, most // ROLLED_SHARE)]
    return (
        *ordered[: most - len(rolled)],
        *(replace(change, rolled_lips=True, price=None) for change in rolled),
    )


def _key(planned: Planned) -> tuple[object, ...]:
    adjusters = planned.adjusters
    return (
        planned.camber_by,
        planned.camber_deg,
        adjusters.ride_height_mm,
        adjusters.bump_stop_mm,
    )


def _price(
    change: SettingChange, planned: Planned, prices: Mapping[str, Decimal | None]
) -> Decimal | None:
    kinds = change.kinds(planned)
    names = [f"means:{change.camber_by}"] if MEANS in kinds else []
    names += [kind for kind in (HEIGHT, PACKER) if kind in kinds]
    total = NOTHING
    for name in names:
        price = prices.get(name, NOTHING)
        if price is None:
            return None
        total += price
    return total


#: Aspect ratios and nominal widths in which road tyres are made.
ASPECTS = (25, 30, 35, 40, 45, 50, 55, 60, 65, 70)
WIDTHS_MM = tuple(range(155, 345, 10))
#: A generated size is offered for rims this near to its measuring rim, in.
RIM_BELOW_IN, RIM_ABOVE_IN = 0.5, 1.0


def standard_sizes(
    rim_in: float,
    rim_width_in: float,
    *,
    diameter_mm: tuple[float, float],
    width_mm: tuple[float, float] = (WIDTHS_MM[0], WIDTHS_MM[-1]),
    load_index: int | None = None,
) -> tuple[TyreChoice, ...]:
    """Sizes for a rim that the designation rules give, marked nominal; no price is known.

    Only those whose measuring rim is near ``rim_width_in`` and whose overall diameter and
    nominal width lie within the spans. Whether anybody makes them is another question.
    """
    found = []
    for width, aspect in product(WIDTHS_MM, ASPECTS):
        size = Size(float(width), float(aspect), rim_in)
        near = -RIM_ABOVE_IN <= size.measuring_rim_in - rim_width_in <= RIM_BELOW_IN
        tall = diameter_mm[0] <= size.overall_diameter_mm <= diameter_mm[1]
        if near and tall and width_mm[0] <= width <= width_mm[1]:
            name = f"{width}/{aspect}R{rim_in:g}"
            found.append(TyreChoice(name, Tyre(name), load_index=load_index, nominal=True))
    return tuple(found)


def on_the_plan(
    wheel: Wheel, tyre: Tyre, wheels: Sequence[WheelChoice], tyres: Sequence[TyreChoice]
) -> tuple[tuple[WheelChoice, ...], tuple[TyreChoice, ...]]:
    """Wheels and tyres to choose from with the planned ones first, as they stand in the lists.

    What is planned and in no list comes without a price, under the key "planned".
    """
    bare = replace(wheel, spacer_mm=0.0)
    now = next((one for one in wheels if one.wheel == bare), WheelChoice("planned", bare))
    worn = next((one for one in tyres if one.on(wheel) == tyre), TyreChoice("planned", tyre))
    return (
        (now, *(one for one in wheels if one is not now)),
        (worn, *(one for one in tyres if one is not worn)),
    )
