"""The five questions that an order's page answers, and what apps answer to them."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

from django.http import HttpResponseRedirect
from django.utils.translation import gettext_lazy as _

from common.verdicts import GRAVITY, GateResult

if TYPE_CHECKING:
    from collections.abc import Iterable

    from django.utils.functional import Promise

    from shop.models import WorkOrder


class Question(StrEnum):
    """A question of an order's page, by the name of its anchor; in the order of the job."""

    FITS = "fits"
    COST = "cost"
    WHEN = "when"
    DONE = "done"
    HELD = "held"

    @property
    def words(self) -> Promise:
        return QUESTION_WORDS[self]


QUESTION_WORDS = {
    Question.FITS: _("Does it fit?"),
    Question.COST: _("What will it cost?"),
    Question.WHEN: _("When?"),
    Question.DONE: _("What was done?"),
    Question.HELD: _("Did it hold?"),
}


@dataclass(frozen=True)
class AnswerLink:
    """A way on from an answer: a link, or with ``posts`` a button that posts to the address.

    ``is_act`` sets what changes the order apart from what only shows more.
    """

    label: str
    url: str
    posts: bool = False
    is_act: bool = False


@dataclass(frozen=True)
class OrderAnswer:
    """What an app says to one question: a line of words with its verdict, and where to go on.

    ``words`` are the outcome in a sentence, never a table: what is long has a page of its own,
    which ``links`` name. ``detail`` stands below it, small. ``cautions`` stand open where the
    question is open. ``gate`` names the gate that the answer speaks for, if it does. ``is_due``
    opens the question. ``anchor`` is where acts on it return to.
    """

    question: Question
    title: str
    words: str
    verdict: GateResult | None = None
    detail: str = ""
    links: tuple[AnswerLink, ...] = ()
    cautions: tuple[str, ...] = ()
    anchor: str = ""
    gate: str = ""
    is_due: bool = False

    @property
    def is_quiet(self) -> bool:
        """Whether there is nothing to look at: it passes, or nothing was asked."""
        quiet = (GateResult.CLEAR, GateResult.PASSES, GateResult.NOT_NEEDED)
        return self.verdict in quiet and not self.cautions


def gravest(answers: Iterable[OrderAnswer]) -> OrderAnswer | None:
    """The answer with the worst verdict, the first of several; None where none has one."""
    judged = [one for one in answers if one.verdict is not None]
    return min(judged, key=lambda one: GRAVITY.index(GateResult(str(one.verdict))), default=None)


def back_to(order: WorkOrder, anchor: str) -> HttpResponseRedirect:
    """Back to the order's page, at the question or the answer that was worked on."""
    return HttpResponseRedirect(f"{order.get_absolute_url()}#{anchor}")
