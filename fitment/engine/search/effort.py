"""How much work a change is: the sum of what its parts are."""

from __future__ import annotations

from dataclasses import dataclass

from alignment.geometry.model import Planned
from fitment.engine.model import Tyre
from fitment.engine.search.space import (
    CAMBER,
    CAMBER_METHOD,
    HEIGHT,
    LIPS,
    PACKER,
    SettingChange,
    Space,
)
from fitment.engine.solid.designation import BadSize, size_of


@dataclass(frozen=True)
class Weights:
    """How large a change is felt to be: invented, in units of one camber bolt moved.

    Having to buy something weighs more than turning something; a size of tyre more than a
    spacer, and bodywork, which cannot be undone, more than a tyre. Per millimetre or degree
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


def setting_effort(change: SettingChange, planned: Planned, weights: Weights) -> float:
    """How large a change of a plan is."""
    new, kinds = change.made_to(planned), change.kinds(planned)
    height = new.adjusters.ride_height_mm - planned.adjusters.ride_height_mm
    packer = new.adjusters.bump_stop_mm - planned.adjusters.bump_stop_mm
    degrees = (new.camber_deg or 0.0) - (planned.camber_deg or 0.0)
    return (
        (CAMBER_METHOD in kinds) * weights.camber_method
        + (CAMBER in kinds) * (weights.camber + weights.camber_per_deg * abs(degrees))
        + (HEIGHT in kinds) * (weights.height + weights.height_per_mm * abs(height))
        + (PACKER in kinds) * (weights.packer + weights.packer_per_mm * abs(packer))
        + (LIPS in kinds) * weights.lips
    )


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
