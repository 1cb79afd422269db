"""What an empty shop does first; each step is ticked off by what is on record."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass


@dataclass(frozen=True)
class FirstStep:
    """``words`` are marked for translation, ``why`` is a sentence; ``address`` names a route,
    ``roles`` who may go there, ``done`` asks whether it was done."""

    words: str
    why: str
    address: str
    done: Callable[[], bool]
    roles: tuple[str, ...] = ("manager",)
