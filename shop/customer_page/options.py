"""The options that stand on a quote, each with a letter, as a customer chooses among them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from string import ascii_uppercase
from typing import Any

from common.verdicts import Verdict
from shop.models import Quote

#: Options of these verdicts can be chosen; the others are told and no more.
CHOOSABLE = (Verdict.CLEAR, Verdict.TIGHT)
#: How a quote calls the option that its lines are for.
ON_THE_QUOTE = "chosen"


@dataclass(frozen=True)
class QuoteOption:
    """One option as the quote froze it; ``price`` of the axle's parts, net, None where unknown."""

    label: str
    axle: str
    words: str
    verdict: str
    price: str | None
    is_quoted: bool
    fails: tuple[str, ...] = ()

    @property
    def may_be_chosen(self) -> bool:
        """Whether the customer can ask for it instead."""
        return not self.is_quoted and self.verdict in CHOOSABLE and not self.fails


def options_on(quote: Quote) -> list[QuoteOption]:
    """All options of a quote with their letters, axle after axle."""
    return list(_options(quote.document))


def _options(document: dict[str, Any]) -> Iterator[QuoteOption]:
    letters = iter(_letters())
    for note in document["notes"]:
        for row in note["rows"]:
            yield QuoteOption(
                label=next(letters),
                axle=note["axle"],
                words=row["words"],
                verdict=row["verdict"],
                price=row["price"],
                is_quoted=row["choice"] == ON_THE_QUOTE,
                fails=tuple(row.get("fails", ())),
            )


def _letters() -> Iterator[str]:
    """A to Z, then AA to ZZ."""
    yield from ascii_uppercase
    yield from (one + two for one in ascii_uppercase for two in ascii_uppercase)
