"""A line of the entry table, as the templates take it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any


@dataclass(frozen=True)
class EntryRow:
    """Bound fields, left and right; a quantity of the whole axle has no right one."""

    label: str
    hint: str
    left: Any
    right: Any = None
    name: Any = None
    name_is_typed: bool = False

    @property
    def sides(self) -> tuple[Any, ...]:
        return (self.left,) if self.right is None else (self.left, self.right)
