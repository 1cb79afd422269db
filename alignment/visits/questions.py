"""Questions about a visit against others: duplicates, old readings, sides swapped."""

from __future__ import annotations

import datetime as dt
import uuid
from collections.abc import Iterator, Mapping

from django.utils import timezone

from alignment.fields.plausibility import MIRROR_CAMBER_FROM_DEG, Question
from alignment.models import AcceptedAdjustments, Quantity, RackVisit, Stage
from common.corners import AXLE_CORNERS, CORNERS
from common.message import message
from shop.models import InstalledPart, WorkOrder

Values = Mapping[tuple[str, str], float]

#: Two visits of one stage this close are more likely one visit entered twice.
SAME_VISIT = dt.timedelta(hours=2)
#: Readings may be older than their order by this much without a question.
BEFORE_ORDER = dt.timedelta(days=2)
#: Sides count as swapped when crossing them explains at least this share of the difference, and
#: the difference is at least so large (degrees, all quantities together).
SWAPPED_SHARE = 0.6
SWAPPED_FROM_DEG = 0.8
#: Two cambers of opposite sign this close in size look like one with a lost sign (degrees).
TURNED_DEG = 0.3
#: Quantities that tell corners apart over the years.
TELLING = (Quantity.CAMBER, Quantity.CASTER, Quantity.SAI)
#: More than this between two visits is a mistyped mileage (km).
MOST_KM_BETWEEN = 200_000


def questions_about_visit(
    *,
    order: WorkOrder,
    visit: RackVisit | None,
    stage: str,
    at: dt.datetime | None,
    mileage_km: int | None,
    read: Values,
    entry_key: uuid.UUID | None = None,
) -> list[Question]:
    """``visit`` is the one being corrected, None for a new one; ``entry_key`` names a new one that
    may have been sent before. Four queries for any number of visits."""
    at = at or (visit.at if visit is not None else timezone.now())
    others = [
        other
        for other in RackVisit.objects.filter(vehicle=order.vehicle_id).with_numbers()
        if (visit is None or other.pk != visit.pk) and other.entry_key != entry_key
    ]
    found = list(_duplicates(order, stage, at, read, others))
    found += _beside_parts(order, stage, at)
    found += _mileage(at, mileage_km, others)
    earlier = [other for other in others if other.at <= at]
    if earlier:
        last = max(earlier, key=lambda other: other.at)
        found += _swapped(read, last)
        found += _turned(read, last)
    return found


def _duplicates(
    order: WorkOrder, stage: str, at: dt.datetime, read: Values, others: list[RackVisit]
) -> Iterator[Question]:
    for other in others:
        when = other.at.isoformat()
        if read and dict(read) == other.values():
            told = message("question.same-readings", time=when)
            yield Question("same readings", (("", "stage"),), (told,), (float(other.pk),))
            return
        near = abs(other.at - at) <= SAME_VISIT
        if near and other.order_id == order.pk and other.stage == stage:
            told = message(
                "question.same-visit",
                name=str(other.technician),
                time=when,
                stage=message(f"stage.{stage}"),
            )
            yield Question("same visit", (("", "stage"),), (told,), (float(other.pk),))
            return


def question_of_date(order: WorkOrder, at: dt.datetime | None) -> Iterator[Question]:
    """Of a visit that is typed in: a table may hold readings older than its order."""
    if at is not None and at < order.created_at - BEFORE_ORDER:
        told = message(
            "question.older-than-order", read=at.isoformat(), opened=order.created_at.isoformat()
        )
        yield Question("older than order", (("", "at"),), (told,), (at.timestamp(),))


def _beside_parts(order: WorkOrder, stage: str, at: dt.datetime) -> Iterator[Question]:
    fitted = InstalledPart.objects.filter(order=order)
    if stage == Stage.AFTER:
        last = fitted.filter(at__gt=at).order_by("at").last()
        if last is not None:
            told = message(
                "question.older-than-part",
                read=at.isoformat(),
                part=last.description,
                fitted=last.at.isoformat(),
            )
            yield Question("older than parts", (("", "at"),), (told,), (float(last.pk),))
    elif stage == Stage.BEFORE:
        first = fitted.filter(at__lt=at).order_by("at").first()
        if first is not None:
            told = message(
                "question.younger-than-part",
                part=first.description,
                fitted=first.at.isoformat(),
            )
            yield Question("younger than parts", (("", "at"),), (told,), (float(first.pk),))


def _mileage(
    at: dt.datetime, mileage_km: int | None, others: list[RackVisit]
) -> Iterator[Question]:
    if mileage_km is None:
        return
    for other in others:
        if other.km is None or other.at == at:
            continue
        ahead = (mileage_km - other.km) * (1 if at > other.at else -1)
        if not 0 <= ahead <= MOST_KM_BETWEEN:
            told = message(
                "question.mileage", km=other.km, time=other.at.isoformat(), typed=mileage_km
            )
            values = (float(mileage_km), float(other.pk))
            yield Question("mileage", (("", "mileage"),), (told,), values)
            return


def _swapped(read: Values, earlier: RackVisit) -> Iterator[Question]:
    """Whether left minus right, swapped, would lie much closer to the readings before.

    What the work changed on both sides alike does not count.
    """
    before = earlier.values()
    for axle, (left, right) in AXLE_CORNERS.items():
        straight = crossed = 0.0
        used: list[tuple[str, str]] = []
        for quantity in TELLING:
            keys = ((left, str(quantity.value)), (right, str(quantity.value)))
            if any(key not in read or key not in before for key in keys):
                continue
            used += keys
            now, was = (values[keys[0]] - values[keys[1]] for values in (read, before))
            straight += abs(now - was)
            crossed += abs(now + was)
        if straight >= SWAPPED_FROM_DEG and crossed <= (1 - SWAPPED_SHARE) * straight:
            told = message(
                "question.swapped",
                axle=message(f"axle.{axle}"),
                time=earlier.at.isoformat(),
            )
            yield Question("swapped", tuple(used), (told,), tuple(read[key] for key in used))


def _turned(read: Values, earlier: RackVisit) -> Iterator[Question]:
    """Camber of the same size as before with the other sign, unless that was predicted."""
    before = earlier.values()
    accepted = {
        row.corner: row for row in AcceptedAdjustments.objects.standing().filter(visit=earlier)
    }
    for corner in CORNERS:
        key = (corner, str(Quantity.CAMBER.value))
        if key not in read or key not in before:
            continue
        now, was = read[key], before[key]
        told = accepted[corner].predicted.get(key[1]) if corner in accepted else None
        if told is not None and abs(now - told) < abs(now + told):
            continue
        if abs(now) >= MIRROR_CAMBER_FROM_DEG and now * was < 0 and abs(now + was) <= TURNED_DEG:
            told = message(
                "question.turned",
                corner=message(f"corner.{corner}"),
                read=now,
                before=was,
                time=earlier.at.isoformat(),
            )
            yield Question("turned", (key,), (told,), (now,))
