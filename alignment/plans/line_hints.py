"""What the lines of an order have to name of its plan: packers, rolled lips, the setting itself."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from django.utils.translation import gettext as _

from alignment.models import PlannedSetting
from alignment.text.labels import camber_method_text
from shop.extensions.panels import LineHint
from shop.languages import speech_of_page
from shop.models import Axle, Part, Planned, WorkOrder

SIDES = 2
#: Hours by what is done on one axle; common practice, no source.
ALIGNMENT_HOURS = Decimal("0.75")
PACKER_HOURS = Decimal("0.8")
LIPS_HOURS = Decimal(1)


def plan_hints(order: WorkOrder) -> list[LineHint]:
    """Axle by axle."""
    plans = PlannedSetting.objects.filter(order=order)
    return [hint for plan in plans for hint in _of_axle(plan)]


def _of_axle(plan: PlannedSetting) -> Iterator[LineHint]:
    axle = plan.axle
    packer = plan.adjusters.get("bump_stop_mm")
    if packer:
        size = f"{float(packer):g}"
        part = _only_part("bump_stop_mm", axle)
        yield LineHint(
            _("Packer, {size} mm").format(size=size),
            SIDES,
            part.price if part else None,
            f"packer:{axle}:{size}",
            Planned.PACKER,
            axle=axle,
            part=part,
        )
        yield _labour(plan, _("Fit packers, both sides"), PACKER_HOURS, Planned.PACKER, "springs")
    if plan.rolled_lips:
        yield _labour(plan, _("Roll the arch lips, both sides"), LIPS_HOURS, Planned.LIPS, "lips")
    if plan.camber_deg is None:
        words = _("Set toe")
    else:
        words = _("Set camber {by} and toe").format(
            by=camber_method_text(plan.camber_by, speech_of_page())
        )
    yield _labour(plan, words, ALIGNMENT_HOURS, Planned.ALIGNMENT)


def _only_part(adjuster: str, axle: str) -> Part | None:
    """The part on record for an adjuster of an axle, where there is no other to choose from."""
    found = list(Part.objects.filter(adjuster=adjuster, axle__in=(axle, "any"))[:2])
    return found[0] if len(found) == 1 else None


def _labour(
    plan: PlannedSetting, words: str, hours: Decimal, planned: str, work: str = ""
) -> LineHint:
    axle = Axle(plan.axle).value
    by = plan.camber_by if planned == Planned.ALIGNMENT else ""
    key = f"{planned}-hours:{axle}:{by}"
    return LineHint(words, hours, None, key, planned, "labour", axle, work)
