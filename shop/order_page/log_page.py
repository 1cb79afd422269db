"""The log of one order: what to look for in it, and what that finds."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from django.db.models import Q, QuerySet

if TYPE_CHECKING:
    from collections.abc import Mapping

    from shop.models import LogEntry, WorkOrder

#: What follows it in an act differs from entry to entry: "Gate overridden: contact".
SEPARATOR = ": "


@dataclass(frozen=True)
class LogFilter:
    """What is looked for: an act, a person, words; empty for any."""

    act: str = ""
    who: str = ""
    words: str = ""

    @classmethod
    def asked(cls, query: Mapping[str, str]) -> LogFilter:
        """The filter that an address names."""
        return cls(*(query.get(name, "").strip() for name in ("act", "who", "q")))

    def of(self, order: WorkOrder) -> QuerySet[LogEntry]:
        """The entries of an order that have all of it, newest first."""
        found = order.log.all()
        if self.act:
            found = found.filter(Q(what=self.act) | Q(what__startswith=self.act + SEPARATOR))
        if self.who:
            found = found.filter(who=self.who)
        for word in self.words.split():
            found = found.filter(Q(what__icontains=word) | Q(detail__icontains=word))
        return found


def acts_and_people(order: WorkOrder) -> tuple[list[str], list[str]]:
    """The acts and the people that an order's log names, each once, by name."""
    rows = list(order.log.order_by().values_list("what", "who").distinct())
    acts = sorted({what.partition(SEPARATOR)[0] for what, _who in rows}, key=str.casefold)
    return acts, sorted({who for _what, who in rows}, key=str.casefold)
