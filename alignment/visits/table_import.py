"""Saving visits from a table, all of them or none, and keeping import layouts."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from django.db import transaction
from django.utils import timezone

from alignment.models import RackVisit
from alignment.models.import_layouts import ImportLayout
from alignment.text.question_messages import Kept
from alignment.visits.services.visits import visit_save
from alignment.visits.tables.columns import Column
from alignment.visits.tables.reading import FoundVisit
from shop.models import User, WorkOrder


@transaction.atomic
def visits_import(
    *,
    order: WorkOrder,
    by: User,
    visits: Sequence[FoundVisit],
    conditions: Mapping[str, Any],
    accepted: Kept = (),
) -> list[RackVisit]:
    """Save every visit, or none if one is refused; ``conditions`` hold for all of them."""
    saved = []
    for visit in visits:
        own: dict[str, Any] = {
            "stage": visit.stage,
            "mileage_km": visit.mileage_km,
            "notes": visit.notes,
        }
        if visit.at is not None:
            own["at"] = visit.at
        saved.append(
            visit_save(
                order=order,
                by=by,
                conditions={**conditions, **own, "accepted": list(accepted)},
                readings=visit.readings,
            )
        )
    return saved


def import_layout_save(
    *, import_layout: ImportLayout, columns: Sequence[Column], by: User
) -> ImportLayout:
    """Save a layout under its name, with the columns in the order of the table."""
    import_layout.columns = [column.as_dict() for column in columns]
    import_layout.saved_by, import_layout.saved_at = by, timezone.now()
    import_layout.save()
    return import_layout
