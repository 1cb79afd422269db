"""Signing for torques, loosening again, and saying why something was not fitted."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from decimal import Decimal

from django.db import transaction
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from common.corners import axle_of
from shop.extensions.points import DRY_FITS_DUE
from shop.languages import speech_of_shop
from shop.languages.formatting import plain
from shop.models import Line, NotFitted, TorqueSign, User, WorkOrder
from shop.orders.services.log import log_write
from shop.orders.services.torque_reopening import reopen_logged
from shop.orders.services.torques import TorqueDue, torques_due
from shop.site.refusals import Refused
from shop.work.locking import on_the_lift

#: Characters that are kept of why something was loosened or not fitted.
LONGEST_REASON = 200


def torque_due(order: WorkOrder, key: str) -> TorqueDue:
    """The due with this key. Raises Refused where nothing of that kind is due."""
    return _due_in({due.key: due for due in torques_due(order)}, key)


def _due_in(dues: Mapping[str, TorqueDue], key: str) -> TorqueDue:
    if key not in dues:
        raise Refused(_("This torque is not due on this order."))
    return dues[key]


def _check_open(due: TorqueDue) -> None:
    if not due.is_open:
        raise Refused(
            _("{fastener} is signed already, or nothing is due there.").format(fastener=due.title)
        )


def dry_fits_missing(order: WorkOrder) -> list[str]:
    """Axles whose new wheels have not been offered up yet."""
    return sorted({axle for tell in DRY_FITS_DUE for axle in tell(order)})


@transaction.atomic
def torques_sign(
    *, order: WorkOrder, by: User, figures: Mapping[str, Decimal], tool: str
) -> list[TorqueSign]:
    """Take the signature for some dues, each key with its figure in N·m: all of them or none.

    Raises Refused with the field at fault: for what is not due, a figure outside the range,
    a wrench without a name, and the nuts of a wheel that was never offered up.
    """
    row = on_the_lift(order, by)
    if not tool.strip():
        raise Refused(_("Enter the torque wrench."), field="tool")
    dues = {due.key: due for due in torques_due(row)}
    signed = [(_due_in(dues, key), figure) for key, figure in figures.items()]
    to_offer = dry_fits_missing(row) if any(due.is_wheel for due, _figure in signed) else []
    return [_sign(row, by, due, figure, tool.strip(), to_offer) for due, figure in signed]


def torque_sign(
    *, order: WorkOrder, by: User, key: str, torque_nm: Decimal, tool: str
) -> TorqueSign:
    """Take the signature for one due, as ``torques_sign`` does for several."""
    return torques_sign(order=order, by=by, figures={key: torque_nm}, tool=tool)[0]


def _sign(
    row: WorkOrder, by: User, due: TorqueDue, torque_nm: Decimal, tool: str, to_offer: Sequence[str]
) -> TorqueSign:
    _check_open(due)
    if not due.accepts(torque_nm):
        raise Refused(outside_said(due, torque_nm), field="torque")
    if due.is_wheel and axle_of(due.position) in to_offer:
        raise Refused(
            _("{fastener}: offer up one wheel of this axle and record the dry fit first.").format(
                fastener=due.title
            )
        )
    sign = TorqueSign.objects.create(
        order=row,
        by=by,
        what=due.what,
        due=due.key,
        position=due.position,
        due_nm=due.torque_nm,
        torque_nm=torque_nm,
        tool=tool,
    )
    with speech_of_shop().active():
        detail = f"{due.title}, {plain(torque_nm)} N·m, {tool}"
    log_write(order=row, by=by, what=gettext_lazy("Torque signed"), detail=detail)
    return sign


def outside_said(due: TorqueDue, torque_nm: Decimal) -> str:
    """Why a figure cannot be signed for."""
    limits = due.accepted_nm or (torque_nm, torque_nm)
    low, high = (plain(limit.quantize(Decimal("0.1"))) for limit in limits)
    return _(
        "{fastener}: {figure} N·m is outside {low} to {high} N·m. Tighten it again, or correct the"
        " figure on record."
    ).format(fastener=due.title, figure=plain(torque_nm), low=low, high=high)


@transaction.atomic
def torque_note(
    *, order: WorkOrder, by: User, what: str, torque_nm: Decimal, tool: str
) -> TorqueSign:
    """Record the torque of a fastener that is not on the list; it settles nothing that is due."""
    row = on_the_lift(order, by)
    named = what.strip().casefold()
    for due in torques_due(row):
        if named in (due.what.casefold(), _(due.what).casefold(), due.title.casefold()):
            raise Refused(
                _("{fastener} is on the list. Sign for it there.").format(fastener=due.title),
                field="other_what",
            )
    if not tool.strip():
        raise Refused(_("Enter the torque wrench."), field="tool")
    sign = TorqueSign.objects.create(
        order=row, by=by, what=what.strip(), torque_nm=torque_nm, tool=tool.strip()
    )
    log_write(order=row, by=by, what=gettext_lazy("Torque noted"), detail=f"{sign}, {sign.tool}")
    return sign


@transaction.atomic
def torque_loosen(*, order: WorkOrder, by: User, key: str, reason: str) -> set[str]:
    """Say that a fastener was loosened again: its signature counts no longer, nor, for a part, that
    of the wheel in front of it."""
    row = on_the_lift(order, by)
    due = torque_due(row, key)
    if not due.signed:
        raise Refused(_("{fastener} is not signed.").format(fastener=due.title))
    if not reason.strip():
        raise Refused(_("Enter a reason. It is kept in the log."), field="reason")
    keys = {key, f"wheel-{due.position}"}
    return reopen_logged(row, by, reason.strip(), keys)


@transaction.atomic
def not_fitted(
    *, order: WorkOrder, by: User, because: str, line: Line | None = None, key: str = ""
) -> NotFitted:
    """Say why a part is not fitted, or why a wheel stayed on; nothing more is due for it."""
    row = on_the_lift(order, by)
    if not because.strip():
        raise Refused(_("Enter why. It is kept on record."), field="reason")
    said = gettext_lazy("Not fitted")
    if line is not None:
        if line.order_id != row.pk:
            raise Refused(_("This line belongs to another order."))
        if line.installed.exists():
            raise Refused(_("{part} is recorded as fitted.").format(part=line.description))
        if line.not_fitted.exists():
            raise Refused(_("{part} is recorded as not fitted.").format(part=line.description))
        what = line.description
    else:
        due = torque_due(row, key)
        _check_open(due)
        with speech_of_shop().active():
            what = due.title
        said = gettext_lazy("Not taken off") if due.is_wheel else said
    kept = NotFitted.objects.create(
        order=row,
        line=line,
        due="" if line else key,
        what=what,
        because=because.strip(),
        by=by,
    )
    log_write(order=row, by=by, what=said, detail=str(kept))
    return kept
