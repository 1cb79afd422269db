"""The order as work is recorded on it: locked, and in a state in which there is work."""

from __future__ import annotations

from django.utils.translation import gettext as _

from shop.models import State, User, WorkOrder
from shop.orders.services.locking import order_lock
from shop.site.refusals import NotYours, Refused

WORK_STATES = (State.ON_LIFT, State.ROAD_TEST)


def on_the_lift(order: WorkOrder, by: User, *states: str) -> WorkOrder:
    """The order, locked, while work can be recorded by this person. Raises Refused."""
    if not by.may_work_on_cars:
        raise NotYours(_("Only a technician can record work."))
    row = order_lock(order)
    if row.state not in (states or WORK_STATES):
        raise Refused(
            _("Work can be recorded only while the car is on the lift or on its road test.")
        )
    return row
