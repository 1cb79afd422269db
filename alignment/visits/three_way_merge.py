"""Three-way merge of two people's edits of one form, field by field.

The form carries the texts that it started with (the base). A field that I did not change takes
what is on record now; one that no other person changed keeps mine; one that both changed, and
not alike, is a conflict.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass

LARGEST_BASE = 40_000
Texts = Mapping[str, str]


@dataclass(frozen=True)
class Merged:
    """``taken`` maps fields to what another person put there; ``conflicts`` are (field, theirs,
    mine); ``standing`` is what is on record now."""

    taken: dict[str, str]
    conflicts: tuple[tuple[str, str, str], ...]
    standing: dict[str, str]


def base_of(sent: str) -> dict[str, str] | None:
    """The texts that a form started with; None where what was sent is no such texts."""
    if not sent or len(sent) > LARGEST_BASE:
        return None
    try:
        base = json.loads(sent)
    except (ValueError, RecursionError):
        return None
    if not isinstance(base, dict):
        return None
    return {str(key): str(value) for key, value in base.items()}


def merge(base: Texts, mine: Texts, standing: Texts) -> Merged:
    """Three texts of each field; a field that one of them lacks is empty there."""
    taken: dict[str, str] = {}
    conflicts = []
    for key in dict.fromkeys([*standing, *mine, *base]):
        was, now, typed = base.get(key, ""), standing.get(key, ""), mine.get(key, "")
        if now in (was, typed):
            continue
        if typed == was:
            taken[key] = now
        else:
            conflicts.append((key, now, typed))
    return Merged(taken, tuple(conflicts), dict(standing))
