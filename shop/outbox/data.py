"""What is told about the email of orders."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass


@dataclass(frozen=True)
class SentAndSeen:
    """How the latest quote of an order reached the customer.

    ``offered_at`` is when the quote was frozen, ``mailed_at`` when the server took the email,
    None where there is none; ``seen_at`` when the link was first opened since, None for not yet.
    ``trouble`` says that the last email did not arrive, or may not have.
    """

    offered_at: dt.datetime
    mailed_to: str = ""
    mailed_at: dt.datetime | None = None
    seen_at: dt.datetime | None = None
    is_waiting: bool = False
    trouble: str = ""


@dataclass(frozen=True)
class Words:
    """Subject and text of an email."""

    subject: str
    body: str


@dataclass(frozen=True)
class Handed:
    """What came of one try. ``said`` is the server's answer, or what went wrong before one."""

    said: str
    is_taken: bool = False
    is_refused: bool = False
    is_unsure: bool = False
