"""Fitment tables on record: their revisions, and orders that rely on their rows."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from django.db import transaction
from django.db.models import Prefetch, QuerySet
from django.utils import timezone
from django.utils.translation import gettext, gettext_lazy

from fitment.engine.mounting.guide import NOT_PROMISED, OTHER, conditions, said
from fitment.job.fitted import fitted_on
from fitment.job.state import check_state
from fitment.models import Guide, GuideReliance, GuideRow
from fitment.mounting.guides import jobs_of
from shop.languages import speech_of_shop
from shop.models.orders import CLOSED_STATES
from shop.orders.services.log import log_write
from shop.site.refusals import Refused

if TYPE_CHECKING:
    from shop.models import User, WorkOrder


@transaction.atomic
def guide_rely(*, order: WorkOrder, row: GuideRow, by: User) -> GuideReliance:
    """Put on record that an order relies on a row. Raises Refused where it makes no sense."""
    if not order.is_open:
        raise Refused(gettext("The order is closed."))
    if row.guide.newer is not None:
        raise Refused(gettext("A newer revision of this table is on record: rely on that one."))
    if row.guide.car_model_id != order.vehicle.car_model_id:
        raise Refused(gettext("This table is about another car model."))
    verdict = _said_of(order, row)
    if verdict == NOT_PROMISED:
        raise Refused(gettext("This job does not meet the row: there is nothing in it to rely on."))
    if verdict == OTHER:
        raise Refused(gettext("This row is about other wheels or tyres than the order mounts."))
    reliance, made = GuideReliance.objects.get_or_create(
        order=order, row=row, defaults={"by": by, "at": timezone.now()}
    )
    if made:
        log_write(
            order=order, by=by, what=gettext_lazy("Relied on a fitment table"), detail=_named(row)
        )
    return reliance


@transaction.atomic
def guide_forget(*, order: WorkOrder, row: GuideRow, by: User) -> None:
    """The order no longer relies on this row."""
    gone, _ = GuideReliance.objects.filter(order=order, row=row).delete()
    if gone:
        log_write(
            order=order,
            by=by,
            what=gettext_lazy("No longer relies on a fitment table"),
            detail=_named(row),
        )


def _said_of(order: WorkOrder, row: GuideRow) -> str:
    """What a row says of an order as it is now."""
    job = jobs_of(order, check_state(order), fitted_on(order)).get(row.axle)
    if job is None:
        return OTHER
    asked = row.as_row()
    return said(asked, job, conditions(asked, job))


def row_stays(row: GuideRow) -> str:
    """Why a row may not be changed any more; empty where it may."""
    if row.guide.newer is not None:
        return "This revision was replaced: its rows stay as they were."
    if row.pk and row.reliances.exists():
        return (
            "An order relies on this row: it stays with its revision. "
            "Write down a newer revision, and correct the row there."
        )
    return ""


def _named(row: GuideRow) -> str:
    return f"{row.guide}: {row.words}"


@transaction.atomic
def guide_revise(*, guide: Guide, values: Mapping[str, object]) -> Guide:
    """A newer revision with the older one's rows, to be corrected; open orders are flagged.

    Raises Refused where the table was replaced already.
    """
    older = Guide.objects.select_for_update().get(pk=guide.pk)
    if Guide.objects.filter(replaces=older).exists():
        raise Refused(gettext("A newer revision of this table is on record already."))
    rows = list(older.rows.all())
    newer = Guide.objects.create(
        car_model_id=older.car_model_id,
        title=older.title,
        maker=older.maker,
        replaces=older,
        **values,
    )
    for row in rows:
        row.pk = None
        row._state.adding = True
        row.guide = newer
    GuideRow.objects.bulk_create(rows)
    for reliance in reliances_on_older().filter(row__guide=older):
        log_write(
            order=reliance.order,
            by=None,
            who=gettext("Fitment tables"),
            what=gettext_lazy("A newer revision of a table is on record"),
            detail=speech_of_shop().say(
                "{row}; now revision {revision}",
                row=_named(reliance.row),
                revision=newer.revision,
            ),
        )
    return newer


def reliances_on_older() -> QuerySet[GuideReliance]:
    """Reliances of open orders on tables that have a newer revision."""
    return (
        GuideReliance.objects.filter(row__guide__replaced_by__isnull=False)
        .exclude(order__state__in=CLOSED_STATES)
        .select_related("order__customer", "order__vehicle", "row__guide__replaced_by", "by")
        .prefetch_related("order__quotes")
    )


def guides_listed(guides: QuerySet[Guide]) -> QuerySet[Guide]:
    """With car model, rows and the orders that rely on them: a fixed number of queries."""
    reliances = GuideReliance.objects.select_related("order")
    return guides.select_related("car_model", "replaced_by", "replaces").prefetch_related(
        Prefetch("rows__reliances", queryset=reliances), "rows"
    )
