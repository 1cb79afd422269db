"""Adjusters that stay where they stand: seized, or left on purpose."""

from __future__ import annotations

from collections.abc import Collection, Mapping

from django.db import transaction
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from alignment.adjustments.axle_toe import read_at
from alignment.models import AcceptedAdjustments, HeldAdjuster, RackVisit
from alignment.text.labels import adjuster_here
from shop.languages import speech_of_shop
from shop.models import Corner, User, WorkOrder
from shop.orders.services.locking import order_lock
from shop.orders.services.log import log_write
from shop.site.refusals import Refused

#: Stands for all adjusters of a corner.
WHOLE = ""

Held = Mapping[str, frozenset[str]]


def held_on(order: WorkOrder) -> dict[str, frozenset[str]]:
    """By corner, the adjusters that stay; ``WHOLE`` among them for the whole corner."""
    found: dict[str, set[str]] = {}
    for row in HeldAdjuster.objects.filter(order=order):
        found.setdefault(row.corner, set()).add(row.adjuster)
    return {corner: frozenset(names) for corner, names in found.items()}


@transaction.atomic
def adjusters_hold(
    *, order: WorkOrder, by: User, wanted: Mapping[str, Collection[str]]
) -> tuple[str, ...]:
    """Keep which adjusters stay at the corners of ``wanted``; others keep what they had.

    Adjustments that were accepted and would move one that stays now are withdrawn. Answers the
    corners where that changed, each with an entry in the log. Raises Refused on a closed order.
    """
    row = order_lock(order)
    if not row.is_open:
        raise Refused(_("The order is closed. No adjustments can be accepted."))
    before = held_on(row)
    changed = tuple(
        corner for corner, names in wanted.items() if before.get(corner, set()) != set(names)
    )
    for corner in changed:
        names, had = set(wanted[corner]), before.get(corner, frozenset())
        gone = HeldAdjuster.objects.filter(order=row, corner=corner, adjuster__in=had - names)
        gone.delete()
        HeldAdjuster.objects.bulk_create(
            HeldAdjuster(order=row, corner=corner, adjuster=name, by=by)
            for name in sorted(names - had)
        )
        was_withdrawn = _withdraw(row, corner, names - had)
        with speech_of_shop().active():
            said = ", ".join(held_said(name) for name in sorted(names))
            detail = f"{Corner(corner).label}: {said or _('nothing')}"
            if was_withdrawn:
                detail = f"{detail}; {_('the accepted adjustments are withdrawn')}"
        log_write(order=row, by=by, what=gettext_lazy("Adjusters that stay"), detail=detail)
    return changed


def _withdraw(order: WorkOrder, corner: str, stay: Collection[str]) -> bool:
    """Mark as not made what was accepted from the corner's last readings, where it would move an
    adjuster of ``stay``; whether there was any."""
    visits = list(RackVisit.objects.filter(order=order).with_numbers())
    last = next((one for one in reversed(visits) if read_at(one, corner).values), None)
    rows = AcceptedAdjustments.objects.of_order(order).filter(corner=corner, visit=last)
    stands = rows.last()
    if stands is None or (WHOLE not in stay and stands.ends.keys().isdisjoint(stay)):
        return False
    rows.update(withdrawn=True)
    return True


def held_said(name: str) -> str:
    """An adjuster that stays, or all of them, in the language of the page."""
    return adjuster_here(name) if name != WHOLE else _("all adjusters")
