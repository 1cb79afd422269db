"""The gates before parts are ordered and before a job is booked.

The rule for each result is in :data:`shop.extensions.gates.RULES`. A gate may be stricter
than its rule, never milder; a result without a rule lets no role pass.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from django.db import transaction
from django.utils.text import format_lazy
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from common.verdicts import GateResult
from shop.extensions.gates import MANAGER, NO_ROLE, QUIET, RULES, WRITER, GateAnswer
from shop.extensions.points import BOOKING_GATES
from shop.languages import speech_of
from shop.models import GateOverride, State, User, WorkOrder
from shop.orders.services.latest_quote import authorisation_of, quote_latest
from shop.orders.services.locking import order_lock
from shop.orders.services.log import log_write
from shop.site.refusals import NotYours, Refused

#: What stands where no decision and no signature helps.
NO_DECISION = gettext_lazy(
    "No override and no signature passes this. Choose other parts, correct the record if it is"
    " wrong, or measure again where the measurement is in doubt."
)
_STRICTNESS = (WRITER, MANAGER, NO_ROLE)


class GateClosed(Refused):
    """A gate stands in the way; ``answer`` says which, and what to do next."""

    def __init__(self, answer: GateAnswer, reason: str) -> None:
        super().__init__(reason)
        self.answer = answer


@dataclass(frozen=True)
class GateVerdict:
    """A gate's answer, with the override and the signature that exist for it."""

    answer: GateAnswer
    override: GateOverride | None = None
    signed: bool = False

    @property
    def may_pass(self) -> str:
        rule, _needs_signature = RULES.get(self.answer.result, (NO_ROLE, False))
        asked = self.answer.may_pass if self.answer.may_pass in _STRICTNESS else NO_ROLE
        return max(rule, asked, key=_STRICTNESS.index)

    @property
    def needs_signature(self) -> bool:
        _may_pass, rule = RULES.get(self.answer.result, (NO_ROLE, False))
        return rule or self.answer.needs_signature

    @property
    def wants_override(self) -> bool:
        return self.may_pass == MANAGER and self.override is None

    @property
    def wants_signature(self) -> bool:
        return self.needs_signature and not self.signed

    @property
    def is_open(self) -> bool:
        return not self.why_closed

    @property
    def is_warning(self) -> bool:
        """Whether the quote tells the customer of it."""
        return self.answer.result not in QUIET

    @property
    def why_closed(self) -> str:
        """What still has to happen before the job goes on; empty when the gate is open."""
        if self.answer.result == GateResult.CANNOT_BE_MOUNTED:
            return str(NO_DECISION)
        if self.may_pass == NO_ROLE:
            return _("Run the check on the job as it is now before continuing.")
        if self.wants_override and self.wants_signature:
            return _("Still missing: a manager's reason and the customer's signature.")
        if self.wants_override:
            return _("Still missing: a manager's reason.")
        return _("Still missing: the customer's signature.") if self.wants_signature else ""


def _signed(order: WorkOrder) -> set[tuple[str, str, str]]:
    """Gate, result and digest of the answers under which the customer signed on the latest quote.

    What was signed is the answer to that very job, however it was worded.
    """
    latest = quote_latest(order)
    signed = authorisation_of(latest)
    if latest is None or signed is None or not signed.signed_sentence:
        return set()
    checks = latest.document.get("checks", [])
    return {(check["gate"], check["result"], check["digest"]) for check in checks}


def gates_ask(order: WorkOrder) -> list[GateVerdict]:
    """Ask every gate, and add the override and the signature that belong to its answer.

    An override and a signature count only for the digest that they were given for.
    """
    answers = [gate(order) for gate in BOOKING_GATES]
    overrides = {(o.gate, o.digest, o.result): o for o in reversed(order.overrides.all())}
    signed = _signed(order)
    return [
        GateVerdict(
            answer=answer,
            override=overrides.get((answer.gate, answer.digest, answer.result)),
            signed=(answer.gate, answer.result, answer.digest) in signed,
        )
        for answer in answers
    ]


def lead_of(verdicts: Iterable[GateVerdict]) -> GateVerdict | None:
    """The one that what comes next goes by: what cannot be mounted before all others, since no
    decision on those mends it; otherwise the first, in the order of the gates."""
    return min(
        verdicts,
        key=lambda one: one.answer.result != GateResult.CANNOT_BE_MOUNTED,
        default=None,
    )


def closed_gate(verdicts: Iterable[GateVerdict]) -> GateVerdict | None:
    """The closed gate that comes first, see ``lead_of``; None where all are open."""
    return lead_of(verdict for verdict in verdicts if not verdict.is_open)


def gate_pass(*, order: WorkOrder, not_yet: str, by: User) -> list[GateVerdict]:
    """Let an act go on, or raise GateClosed whose reason starts with ``not_yet``.

    Call it inside the transaction of the act, with the order locked.
    """
    verdicts = gates_ask(order)
    if verdicts and not by.has_role(WRITER):
        raise NotYours(_("Only a service writer can take this step."))
    if shut := closed_gate(verdicts):
        raise GateClosed(shut.answer, f"{not_yet} {shut.answer.sentence} {shut.why_closed}")
    return verdicts


@transaction.atomic
def gate_override(*, order: WorkOrder, by: User, reason: str, digest: str) -> GateOverride:
    """Record a manager's decision to go on in spite of a gate's answer.

    ``digest`` is the one that the manager saw: if the gate says something else by now, the
    decision is refused and has to be taken on the new answer.
    """
    if not by.is_manager:
        raise NotYours(_("Only a manager can override."))
    if not reason.strip():
        raise Refused(_("Enter a reason. It is kept on record."), field="reason")
    row = order_lock(order)
    if row.state in (State.HANDED_OVER, State.CANCELLED):
        raise Refused(_("This order is closed."))
    verdict = next((v for v in gates_ask(row) if v.answer.digest == digest), None)
    if verdict is None:
        raise Refused(
            _(
                "The job has changed since this page was opened. Read the new result before"
                " you decide."
            )
        )
    if verdict.answer.result == GateResult.CANNOT_BE_MOUNTED:
        raise Refused(str(NO_DECISION))
    if verdict.may_pass == NO_ROLE:
        raise Refused(_("Run the check again first."))
    if verdict.may_pass == WRITER:
        raise Refused(_("No override is needed."))
    answer = verdict.answer
    said = answer.said_to(speech_of(row))
    override = GateOverride.objects.create(
        order=row,
        gate=answer.gate,
        digest=answer.digest,
        result=answer.result,
        sentence=answer.sentence,
        said="" if said == answer.sentence else said,
        reason=reason.strip(),
        by=by,
    )
    log_write(
        order=row,
        by=by,
        what=format_lazy(gettext_lazy("Gate overridden: {result}"), result=answer.result),
        detail=format_lazy(
            gettext_lazy("{sentence}\nReason: {reason}"),
            sentence=answer.sentence,
            reason=reason.strip(),
        ),
    )
    return override
