"""The law that the shop follows: figures taken over from documents, or written by hand."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django.db import transaction
from django.utils import timezone

from fitment.engine.mounting.law import PRESETS, Figure
from fitment.models import ShopLaw


@transaction.atomic
def law_save(*, figures: Mapping[str, Figure]) -> ShopLaw:
    """Replace the shop's figures by these; a change makes a new revision."""
    document: dict[str, Any] = {
        key: {"value": one.value, "source": one.source} for key, one in figures.items()
    }
    row = ShopLaw.load_to_change()
    if row.figures != document:
        row.figures, row.changed_at = document, timezone.now()
        row.revision += 1
        row.save()
    return row


def law_take_over(*, preset: str) -> ShopLaw:
    """Put the figures of one document in the place of the shop's own; the others stay."""
    return law_save(figures={**ShopLaw.load().law(), **PRESETS[preset].law()})
