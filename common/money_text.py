"""Amounts of money as people write them into the cells of a table."""

from __future__ import annotations

import re

MONEY = re.compile(r"(?:€|£|\$|EUR|GBP|USD|CHF)", re.I)


def plain_money(text: str) -> str:
    """An amount without its currency and separators of thousands, where they are plain to see."""
    amount = "".join(MONEY.sub("", text).replace("'", "").replace("’", "").split())
    point, comma = amount.rfind("."), amount.rfind(",")
    if point >= 0 and comma >= 0:
        thousands = "," if point > comma else "."
        amount = amount.replace(thousands, "")
    return amount
