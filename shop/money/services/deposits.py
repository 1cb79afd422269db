"""Deposits that were asked for and came in."""

from __future__ import annotations

from django.db import transaction
from django.utils.text import format_lazy
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from shop.models import Deposit, ShopSettings, User, WorkOrder
from shop.orders.services.locking import order_lock
from shop.orders.services.log import log_write
from shop.site.refusals import NotYours, Refused


@transaction.atomic
def deposit_keep(*, order: WorkOrder, deposit: Deposit, by: User) -> Deposit:
    """Save a deposit that was asked for or came in; who entered the receipt is kept with it."""
    if not by.may_write_orders:
        raise NotYours(_("Only a service writer can note deposits."))
    row = order_lock(order)
    is_new = deposit.pk is None
    if is_new and not row.is_open:
        raise Refused(_("This order is closed."))
    deposit.order = row
    if is_new:
        deposit.asked_by = by
    if deposit.received is None:
        deposit.received_by = None
    elif deposit.received_by is None:
        deposit.received_by = by
    deposit.save()
    currency = ShopSettings.load().currency
    came = deposit.received is not None
    amount = deposit.received if came else deposit.asked
    what = (
        gettext_lazy("Deposit received: {amount}")
        if came
        else gettext_lazy("Deposit asked: {amount}")
    )
    detail = f"{deposit.get_received_how_display()}. {deposit.note}" if came else deposit.note
    log_write(
        order=row, by=by, what=format_lazy(what, amount=f"{amount} {currency}"), detail=detail
    )
    return deposit
