"""Messages in documents that were kept: sentences of before, and codes that got other names.

Sentences of the engine became messages, written for each reader. What was kept before stays as it
was written, in English.
"""

from __future__ import annotations

from typing import Any

from common.message import message, message_dump

Document = dict[str, Any]
Row = dict[str, Any]

#: Codes that are no longer used, and those that took their place. A spot that was not measured has
#: no gap, in older drawings either.
RECODED = {
    "pose.loaded": "pose.load-outside",
    "legend.loaded": "legend.load-outside",
    "when.corner": "when.load-outside",
    "drawing.gap-unmeasured": "verdict.unmeasured",
}


def verbatim(text: str) -> Document:
    return message_dump(message("verbatim", text=text))


def recoded(kept: Any) -> Any:
    """A document with today's codes in all messages that it holds."""
    if isinstance(kept, list):
        return [recoded(item) for item in kept]
    if not isinstance(kept, dict):
        return kept
    code = kept.get("code")
    if isinstance(code, str) and code in RECODED:
        kept = {**kept, "code": RECODED[code]}
    return {key: recoded(value) for key, value in kept.items()}
