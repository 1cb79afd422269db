"""What pure code has to tell people: a code and its parameters, never a sentence.

Sentences are made elsewhere, in the language and the units of each reader. Names of
parameters end in their unit (``gap_mm``, ``angle_deg``, ``load_kg``, ``part_share``); a bare
number is a count or a ratio, a text is a name that people typed, and words of the program's own
are messages again. A message is plain data, so it can be kept and said later.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

Value = "float | int | str | bool | None | Message | tuple[Value, ...]"


@dataclass(frozen=True)
class Message:
    """``code`` says which sentence, ``params`` what goes into it."""

    code: str
    params: Mapping[str, Any] = field(default_factory=dict)

    def __hash__(self) -> int:
        return hash((self.code, tuple(sorted((k, hash(v)) for k, v in self.params.items()))))

    def __str__(self) -> str:
        """For logs of the machine; people read what a renderer makes of it."""
        named = ", ".join(f"{name}={value}" for name, value in self.params.items())
        return f"{self.code}({named})"


def message(code: str, /, **params: Any) -> Message:
    """A message with its parameters by name."""
    return Message(code, params)


class Told(ValueError):
    """A refusal that people read: it carries a message."""

    def __init__(self, told: Message) -> None:
        super().__init__(told)
        self.message = told


def message_dump(told: Message) -> dict[str, Any]:
    """The message as JSON; a figure that could not be worked out is null."""
    params = {name: _dump(value) for name, value in told.params.items()}
    return {"code": told.code, "params": params} if params else {"code": told.code}


def message_load(document: Mapping[str, Any]) -> Message:
    """The inverse of :func:`message_dump`. Raises KeyError for what is no message."""
    params = document.get("params", {})
    return Message(document["code"], {name: _load(value) for name, value in params.items()})


def _dump(value: Any) -> Any:
    if isinstance(value, Message):
        return message_dump(value)
    if isinstance(value, tuple | list):
        return [_dump(item) for item in value]
    if isinstance(value, str | bool | int) or value is None:
        return value
    return float(value) if math.isfinite(value) else None


def _load(value: Any) -> Any:
    if isinstance(value, Mapping):
        return message_load(value)
    if isinstance(value, list):
        return tuple(_load(item) for item in value)
    return value
