"""Stored rows of options that clear, in words for one reader."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from alignment.text.render import SHOP, Reader, render
from common.message import message, message_load
from fitment.text.answer_rows import RULED_OUT_SHOWN
from fitment.text.render import sentences
from shop.languages.formatting import capital

#: A message as JSON.
Kept = Mapping[str, Any]


def option_text(row: Mapping[str, Any], reader: Reader = SHOP) -> str:
    """What an option changes, as one phrase."""
    return capital(render(message_load(row["changes_told"]), reader))


def clearance_text(row: Mapping[str, Any], reader: Reader = SHOP) -> str:
    """How much clearance an option leaves where it is tightest."""
    return sentences([message_load(row["tightest_told"])], reader)


def cautions_text(kept: Iterable[Kept], reader: Reader = SHOP) -> list[str]:
    """Cautions, a sentence each."""
    return [sentences([message_load(one)], reader) for one in kept]


def ruled_out_text(kept: Iterable[tuple[Kept, int]], reader: Reader = SHOP) -> list[str]:
    """How many candidates fell, and why, most first."""
    return [
        render(message("ruled-out.counted", count=count, why=message_load(why)), reader)
        for why, count in kept
    ]


def ruled_out_lines(kept: Sequence[tuple[Kept, int]], reader: Reader = SHOP) -> list[str]:
    """The same for a page: the reasons for which most fell, and how many fell for others."""
    shown, rest = kept[:RULED_OUT_SHOWN], kept[RULED_OUT_SHOWN:]
    if not rest:
        return ruled_out_text(shown, reader)
    others = message("ruled-out.others", count=len(rest), fell=sum(count for _, count in rest))
    return [*ruled_out_text(shown, reader), render(others, reader)]


def aims_text(aims: Iterable[str], reader: Reader = SHOP) -> list[str]:
    """What an option is the best for."""
    return [render(message(f"aim.{aim}"), reader) for aim in aims]
