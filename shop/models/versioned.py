"""Rows that several people edit: each write raises a version, and a save can ask for the one it
began with.

``save`` raises the version in the database, whoever saves and whichever columns. A save that must
not undo another one first asks for the row with :func:`claim`: a conditional UPDATE, which only
one of two at once can win.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING, Any

from django.db import models
from django.db.models import F

if TYPE_CHECKING:
    IntegerColumn = models.PositiveIntegerField[int, int]
else:
    IntegerColumn = models.PositiveIntegerField


class Overtaken(Exception):
    """Another save came between reading a row and writing it: read it again, and try again."""


class VersionField(IntegerColumn):
    """A count of writes. An UPDATE raises what stands in the database, not what was read."""

    def pre_save(self, model_instance: models.Model, add: bool) -> Any:
        value = getattr(model_instance, self.attname)
        return value if add else F(self.attname) + 1


class Versioned(models.Model):
    """A row with a version. ``save`` is the one place that raises it."""

    version = VersionField(default=1, editable=False)

    class Meta:
        abstract = True

    def save(self, *args: Any, update_fields: Iterable[str] | None = None, **kwargs: Any) -> None:
        adding = self._state.adding
        names = None if update_fields is None else {*update_fields, "version"}
        super().save(*args, update_fields=names, **kwargs)
        if not adding:
            self.version += 1


def claim(row: Versioned) -> None:
    """Lock a row for the rest of the transaction, if it is still the one that was read.

    Raises Overtaken where it was written meanwhile, or is gone.
    """
    rows = row._meta.model._base_manager.filter(pk=row.pk, version=row.version)
    if not rows.update(version=row.version):
        raise Overtaken(f"{row._meta.object_name} {row.pk}")
