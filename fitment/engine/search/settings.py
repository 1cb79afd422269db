"""Settings worth trying: the planned one, and changes of it in the order of their size."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from decimal import Decimal
from itertools import product

from alignment.geometry.model import Planned, Suspension
from fitment.engine.search.effort import Weights, setting_effort
from fitment.engine.search.space import CAMBER_METHOD, HEIGHT, NOTHING, PACKER, SettingChange


@dataclass(frozen=True)
class Steps:
    """Values of each adjustment to try; what is planned now is always tried.

    ``camber_deg`` are targets. ``prices`` are of the parts that camber, height and packers take,
    by ``camber_method:NAME``, "height" and "packer": what is not named costs nothing, and None
    is a price not known. ``rolled_lips``: arch lips may be rolled, at a price not known.
    """

    camber_deg: tuple[float, ...] = ()
    camber_method: tuple[str, ...] | None = None
    ride_height_mm: tuple[float, ...] = ()
    bump_stop_mm: tuple[float, ...] = ()
    prices: Mapping[str, Decimal | None] = field(default_factory=dict)
    rolled_lips: bool = False


def settings_within(
    planned: Planned, suspension: Suspension, steps: Steps
) -> tuple[SettingChange, ...]:
    """The planned setting and all changes of it, the smallest first, those with rolled lips last.

    Camber set otherwise is tried only where camber is planned or targets are given.
    """
    camber_method = (
        suspension.camber_methods if steps.camber_method is None else steps.camber_method
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
    ordered = sorted(found.values(), key=lambda change: setting_effort(change, planned, weights))
    if not steps.rolled_lips or planned.rolled_lips:
        return tuple(ordered)
    return (*ordered, *(replace(change, rolled_lips=True, price=None) for change in ordered))


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
    names = [f"{CAMBER_METHOD}:{change.camber_by}"] if CAMBER_METHOD in kinds else []
    names += [kind for kind in (HEIGHT, PACKER) if kind in kinds]
    total = NOTHING
    for name in names:
        price = prices.get(name, NOTHING)
        if price is None:
            return None
        total += price
    return total
