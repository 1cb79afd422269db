"""A line of the entry table, as the templates take it."""

from __future__ import annotations

from dataclasses import dataclass

from django.forms import BoundField


@dataclass(frozen=True)
class EntryRow:
    """Bound fields, left and right; a quantity of the whole axle has one alone."""

    label: str
    hint: str
    sides: tuple[BoundField, ...]
    name: BoundField | None = None
    name_is_typed: bool = False
