"""Columns of kept documents, filled as older and later releases fill them."""

from __future__ import annotations

from typing import Any

from django.db import models
from django.db.models import JSONField, Value


def put_in_column(row: models.Model, field: str, kept: Any) -> None:
    """Put JSON into a row's column as it stands, past the schema of the field."""
    rows = type(row)._default_manager.filter(pk=row.pk)
    assert rows.update(**{field: Value(kept, JSONField())}) == 1


def column_of(row: models.Model, field: str) -> Any:
    """The JSON in a row's column as it stands."""
    column = models.expressions.RawSQL(f'"{field}"', (), output_field=JSONField())
    return type(row)._default_manager.filter(pk=row.pk).values_list(column, flat=True).get()
