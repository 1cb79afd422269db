"""Merging customers or vehicles that are on record twice.

Everything that points to the row that goes is moved to the one that stays; what only the one that
goes knew is taken over or noted. The row itself stays on record with who merged it and when, and
its page leads to the one that is kept. Every order whose customer or vehicle changes says so in
its log.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any, TypeVar, cast

from django.db import models, transaction
from django.db.models import F
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from shop.languages import speech_of_shop
from shop.models import Customer, User, Vehicle, WorkOrder
from shop.models.versioned import Versioned
from shop.orders.services.log import log_write
from shop.site.refusals import Refused
from shop.values.contact_keys import telephone_key
from shop.values.vin import vin_clean

#: What can be merged.
Row = TypeVar("Row", bound=Customer | Vehicle)


def kept_row(row: Row) -> Row:
    """The row that is kept instead of a merged one, through every merge; the row itself if none."""
    kept: Any = row
    while kept.merged_into is not None:
        kept = kept.merged_into
    return cast(Row, kept)


@transaction.atomic
def customers_merge(*, gone: Customer, kept: Customer, by: User) -> None:
    """Move everything of ``gone`` to ``kept``. Raises Refused for a row that was merged already."""
    gone, kept = _locked(Customer, gone.pk, kept.pk)
    more = []
    for name, label in (
        ("phone", _("Telephone")),
        ("email", _("Email")),
        ("address", _("Address")),
    ):
        other, own = getattr(gone, name), getattr(kept, name)
        if other and not own:
            setattr(kept, name, other)
        elif other and not _alike(name, own, other):
            more.append(f"{label}: {other}")
    if gone.name != kept.name:
        more.insert(0, gone.name)
    if gone.notes and gone.notes != kept.notes:
        more.append(gone.notes)
    kept.notes = "\n".join(filter(None, [kept.notes, *more]))
    said = speech_of_shop().say("{gone} merged into {kept}", gone=gone.name, kept=kept.name)
    orders = list(WorkOrder.objects.filter(customer=gone))
    _move(gone, kept)
    _settle(gone, kept, by)
    _log(orders, by, said)


@transaction.atomic
def vehicles_merge(*, gone: Vehicle, kept: Vehicle, by: User) -> None:
    """Move orders and rack visits of ``gone`` to ``kept``, which keeps its owner.

    Raises Refused where both state different VINs or car models, since one car has one of each,
    and where they belong to different customers, who are merged first.
    """
    gone, kept = _locked(Vehicle, gone.pk, kept.pk)
    if gone.customer_id != kept.customer_id:
        raise Refused(_("These vehicles belong to two customers. Merge the customers first."))
    if gone.vin and kept.vin and vin_clean(gone.vin) != vin_clean(kept.vin):
        raise Refused(
            _("These vehicles have different VINs: {vins}.").format(vins=f"{gone.vin}, {kept.vin}")
        )
    if gone.car_model_id and kept.car_model_id and gone.car_model_id != kept.car_model_id:
        raise Refused(
            _(
                "These vehicles have different car models: {models}. Correct one of them first."
            ).format(models=f"{gone.car_model}, {kept.car_model}")
        )
    kept.vin, kept.market = (kept.vin, kept.market) if kept.vin else (gone.vin, gone.market)
    kept.plate = kept.plate or gone.plate
    kept.car_model = kept.car_model or gone.car_model
    miles = [row.mileage_km for row in (gone, kept) if row.mileage_km is not None]
    kept.mileage_km = max(miles, default=None)
    said = speech_of_shop().say("{gone} merged into {kept}", gone=str(gone), kept=str(kept))
    orders = list(WorkOrder.objects.filter(vehicle=gone))
    _move(gone, kept)
    _settle(gone, kept, by)
    _log(orders, by, said)


def _alike(name: str, own: str, other: str) -> bool:
    if name == "phone":
        return telephone_key(own) == telephone_key(other)
    return own.casefold() == other.casefold()


def _locked(kind: type[Row], gone: int, kept: int) -> tuple[Row, Row]:
    """Both rows under a lock, in one order whoever merges."""
    found = kind._default_manager.select_for_update().filter(pk__in={gone, kept}).order_by("pk")
    rows: dict[int, Any] = {row.pk: row for row in found}
    if gone == kept:
        raise Refused(_("Choose another one: a record cannot be merged into itself."))
    if any(pk not in rows or rows[pk].merged_into_id is not None for pk in (gone, kept)):
        raise Refused(_("One of these records was merged already."))
    return rows[gone], rows[kept]


def _move(gone: models.Model, kept: models.Model) -> None:
    """Let every row that points to ``gone`` point to ``kept``, earlier merges too."""
    for relation in gone._meta.related_objects:
        rows = relation.related_model._base_manager.filter(**{relation.field.name: gone})
        changes: dict[str, object] = {relation.field.name: kept}
        if issubclass(relation.related_model, Versioned):
            changes["version"] = F("version") + 1
        rows.update(**changes)


def _settle(gone: Customer | Vehicle, kept: Customer | Vehicle, by: User) -> None:
    kept.save()
    gone.merged_into, gone.merged_by, gone.merged_at = kept, by, timezone.now()
    gone.save()


def _log(orders: Iterable[WorkOrder], by: User, said: str) -> None:
    for order in orders:
        log_write(order=order, by=by, what=gettext_lazy("Records merged"), detail=said)
