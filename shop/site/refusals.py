"""How a service says no: with a sentence for people and, where there is one, the field."""

from __future__ import annotations

from typing import Any


class Refused(Exception):
    """An act that the rules do not allow now; ``str(error)`` is the reason in a sentence."""

    def __init__(self, reason: str, *, field: str = "") -> None:
        super().__init__(reason)
        self.reason = reason
        self.field = field


class NotYours(Refused):
    """The act is possible, but not for this person."""


def refuse(form: Any, refused: Refused) -> None:
    """Put a refusal onto its field of the form, or on top of the form."""
    field = refused.field if refused.field in form.fields else None
    form.add_error(field, refused.reason)
