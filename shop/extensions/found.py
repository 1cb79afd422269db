"""What the search of every page finds: groups of records, each with its way to find them."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Any

from django.db.models import QuerySet


@dataclass(frozen=True)
class FoundRow:
    """One record found: its name with its address, what else tells it apart, a telephone."""

    words: str
    url: str
    detail: str = ""
    phone: str = ""


@dataclass(frozen=True)
class SearchGroup:
    """Records of one kind. ``title`` is marked for translation, ``find`` answers what was typed,
    ``rows`` turns the records of a page into rows."""

    name: str
    title: str
    find: Callable[[str], QuerySet[Any]]
    rows: Callable[[Iterable[Any]], list[FoundRow]]
