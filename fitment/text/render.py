"""A check's answer in sentences, for the shop and for customers, in any language and units.

The shop reads what was found, to tenths of a millimetre. A customer reads first, in an owner's
words, what it will do and how likely that is, and then the same finding in whole millimetres.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from alignment.text.render import SHOP, Reader, render
from common.message import Message, Told, message, message_load
from fitment.engine import checkfile
from fitment.engine.findings import check_messages, corner_finding, corner_messages, owner_messages
from fitment.engine.model import Answer, CornerAnswer
from shop.languages.formatting import capital

if TYPE_CHECKING:
    from fitment.models import ClearanceCheck


@dataclass(frozen=True)
class CheckText:
    """What a check says: the part to print large, and what follows it."""

    headline: str
    more: str = ""

    def __str__(self) -> str:
        return f"{self.headline} {self.more}".strip()


def reason_text(refusal: Exception, reader: Reader = SHOP) -> str:
    """Why something cannot be done: the message that the refusal carries, or its own words."""
    return render(refusal.message, reader) if isinstance(refusal, Told) else str(refusal)


def sentences(told: Iterable[Message], reader: Reader = SHOP) -> str:
    """Messages that are whole sentences, one after the other."""
    return " ".join(capital(render(one, reader)) for one in told)


def corners_text(corners: Iterable[str], reader: Reader = SHOP) -> str:
    """Corners as a phrase: "front left and front right"."""
    return reader.speech.listed([render(one, reader) for one in corner_messages(corners)])


def corner_text(corners: str | Sequence[str], answer: CornerAnswer, reader: Reader = SHOP) -> str:
    """What decides a corner, or several that are alike, and what is missing."""
    names = (corners,) if isinstance(corners, str) else tuple(corners)
    return sentences(corner_finding(names, answer), reader)


def check_text(answer: Answer, reader: Reader = SHOP, unmeasured: Sequence[str] = ()) -> CheckText:
    """What a check says to this reader; ``unmeasured`` are the corners that had no survey."""
    first, *rest = check_messages(answer, unmeasured)
    if reader.is_customer:
        owner, *besides = owner_messages(answer, unmeasured)
        return CheckText(sentences([owner], reader), sentences([*besides, first, *rest], reader))
    return CheckText(sentences([first], reader), sentences(rest, reader))


def never_surveyed(corners: Sequence[str], reader: Reader = SHOP) -> str:
    """What is not known for want of a survey; empty if every corner has one."""
    if not corners:
        return ""
    return sentences([message("answer.never-surveyed", corners=corner_messages(corners))], reader)


def stored_text(check: ClearanceCheck, reader: Reader = SHOP) -> CheckText:
    """What a stored check says to this reader, made anew from what it kept."""
    if check.answer:
        return check_text(checkfile.answer_load(check.answer), reader, check.unmeasured)
    why = message("answer.stopped", why=message_load(check.stopped))
    return CheckText(sentences([why], reader), never_surveyed(check.unmeasured, reader))
