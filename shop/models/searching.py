"""One way to search records by words: each keeps a key of its own texts, made in one place.

The key of a row is written with it, whoever writes: by ``save`` and ``bulk_create`` in the
field, by ``update`` and ``bulk_update`` in the query set. Who writes by SQL alone calls
``keys_renew``.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING, Any, ClassVar, Self, TypeVar

from django.db import models, transaction

from shop.values.search_keys import KeyKind, Term, key_of, terms_of

Row = TypeVar("Row", bound=models.Model)
#: Rows whose keys are made anew at a time.
BATCH = 500

if TYPE_CHECKING:
    TextColumn = models.TextField[str, str]
else:
    TextColumn = models.TextField


class SearchKeyField(TextColumn):
    """The key of a row, made by the model's ``made_key``. For migrations it is plain text."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        kwargs.update(default="", editable=False, blank=True)
        super().__init__(*args, **kwargs)

    def deconstruct(self) -> Any:
        name, _path, args, kwargs = super().deconstruct()
        return name, "django.db.models.TextField", args, kwargs

    def pre_save(self, model_instance: models.Model, add: bool) -> str:
        key = model_instance.made_key()  # type: ignore[attr-defined]
        setattr(model_instance, self.attname, key)
        return str(key)


class Searched(models.Model):
    """A row with a key. ``searched_texts`` says how each of its texts is looked for;
    ``searched_also`` names further fields that those texts are made of."""

    searched_texts: ClassVar[dict[str, KeyKind]]
    searched_also: ClassVar[tuple[str, ...]] = ()
    search_key = SearchKeyField()

    class Meta:
        abstract = True

    def save(self, *args: Any, update_fields: Iterable[str] | None = None, **kwargs: Any) -> None:
        names = None if update_fields is None else with_key(type(self), update_fields)
        super().save(*args, update_fields=names, **kwargs)

    def made_key(self) -> str:
        texts = self.searched_texts.items()
        return key_of((kind, str(getattr(self, name) or "")) for name, kind in texts)


def with_key(model: type[Any], names: Iterable[str]) -> set[str]:
    """Names of fields to write, with the key's if one of them enters it."""
    written, searched = set(names), {*model.searched_texts, *model.searched_also}
    return written | {"search_key"} if written & searched else written


class SearchedQuerySet(models.QuerySet[Row]):
    """Rows that are found by words in their own key and in those of rows beside them.

    ``searched_beside`` names the relations to those rows.
    """

    searched_beside: ClassVar[tuple[str, ...]] = ()

    @classmethod
    def search_beside(cls, *relations: str) -> None:
        """Find the rows by rows of apps above as well; called in ``AppConfig.ready()``."""
        cls.searched_beside = (*cls.searched_beside, *relations)

    def search(self, typed: str) -> Self:
        """Rows, each once, that hold every term of what was typed; all where nothing was."""
        terms = terms_of(typed)
        if terms is None:
            return self.none()
        found = self
        for term in terms:
            found = found.filter(pk__in=self._holding(term))
        return found

    def _holding(self, term: Term) -> models.QuerySet[Row, Any]:
        """Keys of rows that hold a term: each way to find it by itself, so that an index of
        each table serves."""
        found = [self._holders(piece) for piece in term.any_of]
        if term.each:
            all_of_them = self.model._base_manager.order_by()
            for piece in term.each:
                all_of_them = all_of_them.filter(pk__in=_joined(self._holders(piece)))
            found.append([all_of_them.values("pk")])
        return _joined([one for several in found for one in several])

    def _holders(self, piece: str) -> list[models.QuerySet[Row, Any]]:
        rows = self.model._base_manager.order_by()
        names = ["search_key", *(f"{beside}__search_key" for beside in self.searched_beside)]
        return [rows.filter((f"{name}__contains", piece)).values("pk") for name in names]

    # Bulk writes keep the keys

    def update(self, **values: Any) -> int:
        if "search_key" in values or "search_key" not in with_key(self.model, values):
            return super().update(**values)
        with transaction.atomic(using=self.db):
            rows = list(self.values_list("pk", flat=True))
            changed = super().update(**values)
            keys_renew(self.model, rows)
        return changed

    update.alters_data = True  # type: ignore[attr-defined]

    def bulk_update(
        self, objs: Iterable[Row], fields: Iterable[str], batch_size: int | None = None
    ) -> int:
        rows, names = list(objs), with_key(self.model, fields)
        if "search_key" in names:
            for row in rows:
                row.search_key = row.made_key()  # type: ignore[attr-defined]
        return super().bulk_update(rows, names, batch_size)

    bulk_update.alters_data = True  # type: ignore[attr-defined]


def _joined(queries: Sequence[models.QuerySet[Row, Any]]) -> models.QuerySet[Row, Any]:
    first, *others = queries
    return first.union(*others) if others else first


def keys_renew(model: type[models.Model], keys: Iterable[Any] | None = None) -> int:
    """Make the keys of rows anew, those of all without ``keys``; how many were others."""
    rows: Any = model._base_manager
    wanted = list(rows.values_list("pk", flat=True) if keys is None else keys)
    changed = 0
    for start in range(0, len(wanted), BATCH):
        for row in rows.filter(pk__in=wanted[start : start + BATCH]):
            key = row.made_key()
            if key != row.search_key:
                changed += rows.filter(pk=row.pk).update(search_key=key)
    return changed
