"""What there is to choose from in search of a set-up that clears.

Settings, wheels, tyres and spacers; the first wheel, tyre and spacer are what is planned now, and
may be there to compare with only (``offered`` is False). Prices are of one
where a name does not say otherwise; None is a price that is not known. Millimetres, degrees.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from math import prod

from alignment.geometry.model import Planned
from fitment.engine.model import Tyre, Wheel
from fitment.engine.solid.designation import (
    BadSize,
    size_of,
)
from fitment.engine.solid.pooled_tyres import SAME_RIM_IN

#: Kinds of change, in the order in which words tell them.
CAMBER_METHOD, CAMBER, HEIGHT, PACKER, LIPS, SPACER, TYRE, WHEEL = (
    "camber_method",
    "camber",
    "height",
    "packer",
    "lips",
    "spacer",
    "tyre",
    "wheel",
)
KINDS = (CAMBER_METHOD, CAMBER, HEIGHT, PACKER, LIPS, SPACER, TYRE, WHEEL)

NOTHING = Decimal(0)


@dataclass(frozen=True)
class SettingChange:
    """What differs from the planned setting; None leaves a thing as it is.

    ``price`` is of the parts that it takes; camber needs what sets it, its own or the planned one.
    ``rolled_lips``: arch lips are folded flat.
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
            (CAMBER_METHOD, planned.camber_by, new.camber_by),
            (CAMBER, planned.camber_deg, new.camber_deg),
            (HEIGHT, planned.adjusters.ride_height_mm, new.adjusters.ride_height_mm),
            (PACKER, planned.adjusters.bump_stop_mm, new.adjusters.bump_stop_mm),
            (LIPS, planned.rolled_lips, new.rolled_lips),
        )
        return frozenset(kind for kind, before, after in pairs if before != after)


@dataclass(frozen=True)
class WheelChoice:
    """A wheel without its spacer, under the caller's ``key``: price of one, and what it carries."""

    key: str
    wheel: Wheel
    price: Decimal | None = None
    load_kg: float | None = None
    offered: bool = True


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
    offered: bool = True

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
    offered: bool = True


@dataclass(frozen=True)
class Space:
    """All that there is to choose from; the first of each is what is planned now."""

    settings: tuple[SettingChange, ...]
    wheels: tuple[WheelChoice, ...]
    tyres: tuple[TyreChoice, ...]
    spacers: tuple[SpacerChoice, ...] = (SpacerChoice(0.0),)

    @property
    def fits(self) -> int:
        """How many wheels, tyres and spacers there are to choose from, as combinations."""
        lists: tuple[Sequence[WheelChoice | TyreChoice | SpacerChoice], ...] = (
            self.wheels,
            self.tyres,
            self.spacers,
        )
        return prod(sum(one.offered for one in choices) for choices in lists)

    @property
    def candidates(self) -> int:
        """How many combinations of everything there are."""
        return len(self.settings) * self.fits


def things(kinds: frozenset[str]) -> int:
    """How many things are changed: camber and what sets it are one."""
    return len({CAMBER if kind == CAMBER_METHOD else kind for kind in kinds})


def fit_kinds(wheel: int, tyre: int, spacer: int) -> frozenset[str]:
    """What a wheel, tyre and spacer change of what is planned now."""
    picked = ((WHEEL, wheel), (TYRE, tyre), (SPACER, spacer))
    return frozenset(kind for kind, index in picked if index)


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
