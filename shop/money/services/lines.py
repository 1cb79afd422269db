"""Saving the lines of an order."""

from __future__ import annotations

from collections.abc import Sequence

from django.db import transaction
from django.utils.functional import Promise
from django.utils.text import format_lazy
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, ngettext_lazy

from shop.models import Line, OrderKind, User, WorkOrder
from shop.orders.services.locking import order_lock
from shop.orders.services.log import log_write
from shop.site.refusals import Refused
from shop.values.amounts import Discount


@transaction.atomic
def lines_change(
    *,
    order: WorkOrder,
    by: User,
    lines: Sequence[Line],
    gone: Sequence[Line] = (),
    discount: Discount | None = None,
) -> None:
    """Save the lines in their order; a part that moves the wheel brings the need of a check.

    ``discount`` is the one in all; None leaves it as it is.
    """
    row = order_lock(order)
    if not row.is_open:
        raise Refused(_("This order is closed and its lines cannot be changed."))
    moves_wheel = any(line.part and line.part.moves_wheel for line in lines)
    if moves_wheel and row.kind == OrderKind.SURVEY_VISIT:
        raise Refused(
            _("A survey visit cannot include parts that move a wheel. Open an order for them.")
        )
    for line in gone:
        line.delete()
    for position, line in enumerate(lines):
        line.order = row
        line.position = position
        line.save()
    if moves_wheel and not row.moves_wheel_or_height:
        row.moves_wheel_or_height = True
        row.save(update_fields=["moves_wheel_or_height"])
    if discount is not None and discount != row.discount:
        row.discount = order.discount = discount
        row.save(update_fields=["discount_percent", "discount_money"])
        log_write(order=row, by=by, what=gettext_lazy("Discount"), detail=str(discount) or "–")
    log_write(order=row, by=by, what=gettext_lazy("Quote lines changed"), detail=_count_of(lines))


def _count_of(lines: Sequence[Line]) -> Promise:
    return format_lazy(ngettext_lazy("{count} line", "{count} lines", len(lines)), count=len(lines))
