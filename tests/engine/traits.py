"""What a random corner has that another may lack: a day's share of seeds shows all of it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from fitment.engine.model import Check, Corner, Feature
from tests.engine.random_corners import random_check, the_corner


def traits_of(seeds: Iterable[int]) -> frozenset[str]:
    """All that the random corners of these seeds have."""
    return frozenset(trait for seed in seeds for trait in _traits(random_check(seed)))


def _traits(check: Check) -> Iterator[str]:
    corner, duty = the_corner(check), check.duty
    plan, suspension = corner.planned, corner.suspension
    yield f"{suspension.kind}, {'steered' if corner.limits.steer_in_deg else 'not steered'}"
    yield f"{suspension.kind}, camber by {plan.camber_by}"
    yield f"duty {duty.name}"
    if corner.compliance and duty.lateral_g:
        yield f"{suspension.kind}, loaded"
        if duty.inner:
            yield "with an inside wheel"
        if corner.compliance.aft_mm_per_g and duty.longitudinal_g:
            yield f"braked, {'steered' if corner.limits.steer_in_deg else 'not steered'}"
    if suspension.measured:
        yield f"{suspension.kind} with a bump-steer sheet"
    if plan.adjusters.ride_height_mm:
        yield "lowered or raised"
    if plan.adjusters.bump_stop_mm:
        yield "another bump stop"
    yield from _wheel_and_tyre(corner)
    for feature in corner.survey.features:
        yield from _feature(feature)


def _wheel_and_tyre(corner: Corner) -> Iterator[str]:
    wheel, tyre = corner.wheel, corner.tyre
    yield f"tyre {tyre.size}"
    if tyre.profile:
        yield "traced tyre"
    if tyre.tread_width_mm:
        yield "square shoulder"
    if tyre.section_width_mm:
        yield "measured tyre"
    if wheel.spoke_back:
        yield "measured spokes"
    if wheel.spacer_mm:
        yield "spacer"


def _feature(feature: Feature) -> Iterator[str]:
    yield f"{feature.shape} on {feature.carried_by}"
    yield f"{feature.place}, {feature.surface}"
    yield f"{feature.shape}, {'thick' if feature.half_thickness_mm else 'thin'}"
    if feature.taken_at:
        at = feature.taken_at
        yield f"{feature.place} read {'at lock' if at.steer_deg else 'straight ahead'}"
