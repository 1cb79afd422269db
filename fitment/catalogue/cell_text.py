"""Figures as people write them into the cells of a table."""

from __future__ import annotations

UNITS = {"mm": ("mm",), "in": ("in", '"', "″", "inch", "zoll"), "kg": ("kg",)}


def without_unit(text: str, label: str) -> str:
    """A figure without the unit of its column, where the cell has it too."""
    unit = label.rsplit(", ", 1)[-1]
    for ending in UNITS.get(unit, ()):
        if text.lower().endswith(ending):
            return text[: -len(ending)].rstrip()
    return text
