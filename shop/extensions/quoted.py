"""What of a job a quote stands for beside its lines."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class QuotedItem:
    """One thing that the customer agrees to with a quote: wheels of an axle, its settings.

    ``key`` names it for ever; ``digest`` decides whether it is still the same; ``title`` and
    ``text`` say it in the customer's language.
    """

    key: str
    title: str
    text: str
    digest: str
