"""Prices and figures as people write them into the cells of a table."""

from __future__ import annotations

import re

MONEY = re.compile(r"(?:€|£|\$|EUR|GBP|USD|CHF)", re.I)
UNITS = {"mm": ("mm",), "in": ("in", '"', "″", "inch", "zoll"), "kg": ("kg",)}


def plain_money(text: str) -> str:
    """An amount without its currency and separators of thousands, where they are plain to see."""
    amount = "".join(MONEY.sub("", text).replace("'", "").replace("’", "").split())
    point, comma = amount.rfind("."), amount.rfind(",")
    if point >= 0 and comma >= 0:
        thousands = "," if point > comma else "."
        amount = amount.replace(thousands, "")
    return amount


def without_unit(text: str, label: str) -> str:
    """A figure without the unit of its column, where the cell has it too."""
    unit = label.rsplit(", ", 1)[-1]
    for ending in UNITS.get(unit, ()):
        if text.lower().endswith(ending):
            return text[: -len(ending)].rstrip()
    return text
