"""The first rows of a list, with how many more there are: what a page leaves out, it says."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Generic, TypeVar

from django.db.models import QuerySet

Row = TypeVar("Row")


@dataclass(frozen=True)
class Shown(Generic[Row]):
    """Rows that are shown, and how many ``more`` there are."""

    rows: Sequence[Row]
    more: int = 0

    @property
    def total(self) -> int:
        return len(self.rows) + self.more

    def __iter__(self) -> Iterator[Row]:
        return iter(self.rows)

    def __len__(self) -> int:
        return len(self.rows)


def first_rows(rows: QuerySet[Row] | Sequence[Row], most: int) -> Shown[Row]:  # type: ignore[type-var]
    """The first ``most`` rows; what there is beyond is counted, which asks only where there is."""
    some = list(rows[: most + 1])
    if len(some) <= most:
        return Shown(some)
    whole = rows.count() if isinstance(rows, QuerySet) else len(rows)
    return Shown(some[:most], whole - most)
