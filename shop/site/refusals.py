"""How a service says no: with a sentence for people and, where there is one, the field."""

from __future__ import annotations


class Refused(Exception):
    """An act that the rules do not allow now; ``str(error)`` is the reason in a sentence."""

    def __init__(self, reason: str, *, field: str = "") -> None:
        super().__init__(reason)
        self.reason = reason
        self.field = field


class NotYours(Refused):
    """The act is possible, but not for this person."""
