"""The shapes of documents that alignment keeps, and how older ones become today's."""

from __future__ import annotations

from typing import Any

from common.message import message, message_dump
from common.stored_json import Schema

Document = dict[str, Any]

# What the shop was told in words became messages, which are said in the language of whoever reads
# them. Older words are told as they were written.


def _verbatim(text: str) -> Document:
    return message_dump(message("verbatim", text=text))


def _adjustments_in_messages(rows: list[Document]) -> list[Document]:
    return [
        {
            **row,
            "what": _verbatim(row["what"]),
            "how": _verbatim(row["how"]),
            "exact": _verbatim(row["exact"]) if row["exact"] else None,
        }
        for row in rows
    ]


#: Adjustments at one corner: adjuster, start, end, and what is said of them.
ACCEPTED_ADJUSTMENTS = Schema("accepted adjustments", (_adjustments_in_messages,))
#: The name of an option, as a message; a text before.
ACCEPTED_OPTION = Schema("accepted option", (_verbatim,))


def _questions_in_messages(texts: list[str]) -> list[list[Document]]:
    return [[_verbatim(text)] for text in texts]


#: Questions about odd values that were confirmed: each one or two messages, said one by one.
CONFIRMED_QUESTIONS = Schema("confirmed questions", (_questions_in_messages,))
