"""Whether the work may begin or go on: checked, quoted and approved as it is now."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from django.utils.translation import gettext as _

from shop.languages import speech_of_page
from shop.models import CustomerAnswer, State, WorkOrder
from shop.orders.services.customer_answers import open_answer
from shop.orders.services.gates import GateVerdict, closed_gate, gates_ask
from shop.orders.services.latest_quote import authorisation_of, quote_latest
from shop.orders.services.quoted import Difference, order_differs

#: States after booking, in which the gate still holds.
AFTER_BOOKING = (State.BOOKED, State.ON_LIFT, State.ROAD_TEST)


@dataclass(frozen=True)
class Standing:
    """Where a job stands against what was checked and approved.

    ``shut`` is the closed gate that comes first, ``changed`` what the latest quote does not say,
    ``unsigned`` whether that quote waits for its approval. ``answer`` is what the customer said on
    their page and the shop has not replied to; the work itself does not wait for it.
    """

    shut: GateVerdict | None = None
    changed: tuple[Difference, ...] = ()
    unsigned: bool = False
    answer: CustomerAnswer | None = None

    @property
    def holds(self) -> bool:
        return self.shut is None and not self.changed and not self.unsigned

    @property
    def why_not(self) -> str:
        """Why the work may not go on; empty where it may."""
        if self.shut is not None:
            return f"{self.shut.answer.sentence} {self.shut.why_closed}"
        if self.changed:
            titles = "; ".join(dict.fromkeys(one.title for one in self.changed))
            return _("Changed since the customer approved: {what}. Send a new quote.").format(
                what=titles
            )
        return _("The new quote waits for the customer's approval.") if self.unsigned else ""


def standing_of(order: WorkOrder, verdicts: Sequence[GateVerdict] | None = None) -> Standing:
    """Where a job stands now. A job without any quote goes by the gates alone."""
    verdicts = gates_ask(order) if verdicts is None else verdicts
    shut = closed_gate(verdicts)
    quote = quote_latest(order)
    if quote is None:
        return Standing(shut, answer=open_answer(order))
    changed = tuple(order_differs(order, quote, verdicts, reader=speech_of_page()))
    return Standing(shut, changed, authorisation_of(quote) is None, open_answer(order))
