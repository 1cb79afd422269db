"""Wheels, tyres, rings and nuts of one order for another."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.utils.translation import gettext as _

from fitment.job.fitted import fitted_on
from fitment.models import OrderMounting
from fitment.mounting.services.wheels import order_wheels_choose
from shop.site.refusals import Refused

if TYPE_CHECKING:
    from shop.models import User, WorkOrder


def copy_wheels(source: WorkOrder, target: WorkOrder, by: User) -> list[str]:
    """Take the chosen wheels and what holds them; checks are asked anew."""
    rows = fitted_on(source)
    if not rows:
        return []
    for one in OrderMounting.objects.filter(order=source):
        one.pk, one.order = None, target
        one._state.adding = True
        one.save()
    try:
        order_wheels_choose(order=target, choices={row.axle: row for row in rows}, by=by)
    except Refused as refused:
        return [_("Wheels were not taken: {reason}").format(reason=refused.reason)]
    return [_("Clearance and mounting have to be checked for this order.")]
