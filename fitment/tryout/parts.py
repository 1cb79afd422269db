"""What an option takes beside wheels, tyres and spacers, and what stands against it still."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal

from alignment.geometry.model import CAMBER_ADJUSTERS
from common.corners import axle_of
from common.message import Message, message
from common.verdicts import Outcome
from fitment.engine.model import Corner, CornerAnswer, Duty
from fitment.engine.mounting.clearance_checks import clearance_checks
from fitment.engine.mounting.law import Law, with_usual
from fitment.engine.mounting.rule import Result
from fitment.engine.search.model import Option, Passes
from fitment.engine.search.prices import pair_price
from fitment.engine.search.space import CAMBER_METHOD
from fitment.models import ShopLaw
from shop.models import Part, PartAxle


def adjuster_of(corner: Corner, camber_method: str) -> str:
    """The adjuster that sets camber, as reach and parts name it."""
    return CAMBER_ADJUSTERS.get(corner.suspension.kind, {}).get(camber_method, camber_method)


def is_at_hand(corner: Corner, camber_method: str) -> bool:
    """Whether car or order have what sets camber already, as far as is known."""
    curves = corner.suspension.is_read_as_curves  # measured curves name no part
    return curves or adjuster_of(corner, camber_method) in corner.suspension.reach


def known_price(part: Part | None) -> Decimal | None:
    """Price of a part; one that stands at nothing was not priced yet."""
    return part.price or None if part is not None else None


def parts_giving(name: str, corner: Corner) -> dict[str, list[Part]]:
    """Parts that could set camber, by what they would set it with; cheapest first, and last those
    without a price.

    Only for what the corner does not have yet.
    """
    wanted = {
        camber_method: adjuster_of(corner, camber_method)
        for camber_method in corner.suspension.camber_methods
        if not is_at_hand(corner, camber_method)
    }
    rows = Part.objects.filter(
        adjuster__in=wanted.values(),
        axle__in=(axle_of(name), PartAxle.ANY),
        reach_min__isnull=False,
        reach_max__isnull=False,
    )
    parts = sorted(rows, key=lambda part: (not part.price, part.price, part.pk))
    return {
        camber_method: [part for part in parts if part.adjuster == adjuster]
        for camber_method, adjuster in wanted.items()
    }


def camber_method_prices(corners: Mapping[str, Corner]) -> dict[str, Decimal | None]:
    """What setting camber otherwise costs on these corners, by ``camber_method:NAME``."""
    name, corner = next(iter(corners.items()))
    return {
        f"{CAMBER_METHOD}:{camber_method}": pair_price(known_price(next(iter(parts), None)))
        for camber_method, parts in parts_giving(name, corner).items()
    }


def parts_told(option: Option, planned: Mapping[str, Corner]) -> list[Message]:
    """Which part an option needs to set camber, where neither car nor order has it."""
    by = option.setting.camber_by
    name, corner = next(iter(planned.items()))
    if by is None or CAMBER_METHOD not in option.changes or is_at_hand(corner, by):
        return []
    parts = parts_giving(name, corner).get(by, [])
    if not parts:
        return [message("option.no-part-known")]
    needed = [_moved(option, side, adjuster_of(corner, by)) for side in planned]
    for part in parts:
        low, high = part.reach_min or 0.0, part.reach_max or 0.0
        if all(low - 1e-9 <= one <= high + 1e-9 for one in needed):
            return [message("option.takes-part", name=part.name, number=part.number)]
    far = max(needed, key=abs)
    unit = "deg" if adjuster_of(corner, by).endswith("_deg") else "mm"
    return [message(f"option.no-part-reaches-{unit}", **{f"needed_{unit}": far})]


def passes_mounting(duty: Duty, axle: str) -> Passes:
    """Whether what clears passes the mounting checks that its clearance answers."""
    law = with_usual(ShopLaw.load().law())

    def passes(corners: Mapping[str, Corner], answers: Mapping[str, CornerAnswer]) -> bool:
        return not _failing(corners, answers, duty, law, axle)

    return passes


def failing_told(option: Option, duty: Duty, axle: str) -> list[Message]:
    """Mounting checks that an option fails by its clearance, such as a gap that the shop's law
    asks for."""
    law = with_usual(ShopLaw.load().law())
    found = _failing(option.corners, option.answers, duty, law, axle)
    return [
        message("option.fails-mounting", title=one.title, found=one.found) for one in found.values()
    ]


def _failing(
    corners: Mapping[str, Corner],
    answers: Mapping[str, CornerAnswer],
    duty: Duty,
    law: Law,
    axle: str,
) -> dict[str, Result]:
    """The first failure of every check, by rule."""
    found: dict[str, Result] = {}
    for name, corner in corners.items():
        for result in clearance_checks(corner, duty, answers[name], law, axle):
            if result.outcome == Outcome.FAILS:
                found.setdefault(result.rule, result)
    return found


def _moved(option: Option, side: str, adjuster: str) -> float:
    """Where an adjuster stands at one side of an option."""
    moved = option.answers[side].adjusters
    value = moved.get(adjuster, 0.0)
    if adjuster.startswith("rod:"):
        rods = moved.get("rods_mm", {})
        value = rods.get(adjuster[4:], 0.0) if isinstance(rods, dict) else 0.0
    return value if isinstance(value, float) else 0.0
