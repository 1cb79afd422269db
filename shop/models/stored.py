"""A column of kept documents: versioned on the way in, upgraded on the way out."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from django.db import models
from django.db.backends.base.base import BaseDatabaseWrapper

from common.stored_json import Schema, is_kept

if TYPE_CHECKING:
    JSONField = models.JSONField[Any, Any]
else:
    JSONField = models.JSONField


class StoredJSONField(JSONField):
    """JSON that outlives releases; instances hold the content in today's shape.

    The column holds what ``schema.write`` makes, so queries cannot look into it: what has to be
    found by needs a column of its own. Migrations know it as a plain JSONField, and a data
    migration sees the column as it is.
    """

    def __init__(self, *args: Any, schema: Schema, **kwargs: Any) -> None:
        self.schema = schema
        super().__init__(*args, **kwargs)

    def deconstruct(self) -> Any:
        name, _, args, kwargs = super().deconstruct()
        return name, "django.db.models.JSONField", args, kwargs

    def clone(self) -> StoredJSONField:
        _, _, args, kwargs = self.deconstruct()
        return StoredJSONField(*args, schema=self.schema, **kwargs)

    def get_transform(self, name: str) -> Any:
        """None for every key, so that a query into the document is an error, not a wrong answer."""
        return models.Field.get_transform(self, name)

    def from_db_value(self, value: Any, expression: Any, connection: BaseDatabaseWrapper) -> Any:
        found = super().from_db_value(value, expression, connection)
        return None if found is None else self.schema.read(found)

    def get_prep_value(self, value: Any) -> Any:
        value = super().get_prep_value(value)
        return None if value is None else self.schema.write(value)

    def to_python(self, value: Any) -> Any:
        """What a fixture holds, which is what the column holds."""
        value = super().to_python(value)
        return self.schema.read(value) if is_kept(value) else value

    def value_to_string(self, obj: models.Model) -> Any:
        value = self.value_from_object(obj)
        return None if value is None else self.schema.write(value)
