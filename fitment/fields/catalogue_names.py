"""A wheel or a tyre in one field: a row of the catalogue by its name, or what people type.

The address holds a row by its number, and what was typed as it was; the page shows names.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Generic, TypeVar

from django import forms

from common.numerals import whole
from fitment.models import TyreModel, WheelModel

Row = TypeVar("Row", WheelModel, TyreModel)


class CatalogueField(forms.CharField):
    """Text with the names of a catalogue offered beside it."""

    def __init__(self, **kwargs: object) -> None:
        super().__init__(**{"max_length": 120, "required": False, **kwargs})  # type: ignore[arg-type]
        self.offered: list[str] = []


@dataclass(frozen=True)
class Catalogue(Generic[Row]):
    """Rows by the names under which they are offered; those of one name tell their number too."""

    by_name: dict[str, Row]

    @classmethod
    def of(cls, rows: Iterable[Row]) -> Catalogue[Row]:
        """The names of some rows."""
        found = list(rows)
        count = Counter(_key(str(row)) for row in found)
        return cls({_name(row, alone=count[_key(str(row))] == 1): row for row in found})

    @property
    def names(self) -> list[str]:
        return list(self.by_name)

    def shown(self, text: str) -> str:
        """A number of a row as its name; what was typed as it is."""
        number = whole(text)
        return next((name for name, row in self.by_name.items() if row.pk == number), text)

    def row(self, text: str) -> Row | None:
        """The row that a text names, in any case and spacing."""
        wanted = _key(text)
        return next((row for name, row in self.by_name.items() if _key(name) == wanted), None)

    def kept(self, text: str) -> str:
        """What an address holds for a text: the number of the row that it names, else itself."""
        row = self.row(text)
        return text.strip() if row is None else str(row.pk)


def _name(row: WheelModel | TyreModel, *, alone: bool) -> str:
    return str(row) if alone else f"{row} (no. {row.pk})"


def _key(text: str) -> str:
    return " ".join(text.casefold().split())
