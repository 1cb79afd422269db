"""Mounting checks put on record: kept with what they used, and whether they are stale."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict, dataclass
from typing import TYPE_CHECKING, Any

from django.db import transaction
from django.utils.translation import gettext_lazy

from alignment.text.render import on_record, render
from common.canonical_json import digest_of
from common.verdicts import Outcome
from fitment.engine.mounting.checks import RULES_VERSION
from fitment.engine.mounting.rule import result_dump
from fitment.job.data import CheckState
from fitment.job.state import check_state
from fitment.models import ClearanceCheck, MountingCheck, OrderWheels
from fitment.mounting.services.facts import Mounting, MountingFacts, answered, mounting_facts
from fitment.mounting.text import titled
from shop.languages import speech_of_shop
from shop.orders.services.log import log_write
from shop.site.page_cache import asked_once

if TYPE_CHECKING:
    from shop.models import User, WorkOrder


@dataclass(frozen=True)
class MountingState:
    """Where an order's mounting checks stand.

    ``current`` are those made from exactly what holds now; ``latest`` the newest of all.
    """

    facts: MountingFacts
    digest: str
    current: MountingCheck | None
    latest: MountingCheck | None

    @property
    def is_stale(self) -> bool:
        return self.current is None and self.latest is not None


def mounting_state(
    order: WorkOrder, fitted: Sequence[OrderWheels] | None = None
) -> MountingState | None:
    """What mounting checks would use now, and those on record; None while nothing is mounted."""
    facts = mounting_facts(order, fitted)
    if facts is None:
        return None
    digest = _digest(inputs_of(order, facts))
    checks = MountingCheck.objects.filter(order=order).select_related("by")
    latest = checks.first()
    if latest is None or latest.digest == digest:
        return MountingState(facts, digest, latest, latest)
    return MountingState(facts, digest, checks.filter(digest=digest).first(), latest)


def mounting_once(order: WorkOrder) -> MountingState | None:
    """The same for those who put one page together, fetched once for all."""
    return asked_once(("mounting", order.pk), lambda: mounting_state(order))


def inputs_of(order: WorkOrder, facts: MountingFacts) -> dict[str, Any]:
    """All that the answers depend on, as plain data. The clearance enters by its check's digest."""
    clearance = ClearanceCheck.objects.filter(order=order).values_list("digest", flat=True).first()
    return {
        "rules": RULES_VERSION,
        "hub": asdict(facts.hub),
        "axles": {
            axle: {"needs": asdict(needs), "fitted": asdict(fitted)}
            for axle, (needs, fitted) in facts.pairs.items()
        },
        "drive": asdict(facts.drive),
        "law": {key: asdict(figure) for key, figure in facts.law.items()},
        "law_revision": facts.law_revision,
        "clearance": clearance or "",
    }


def _digest(inputs: dict[str, Any]) -> str:
    """The digest of the inputs; a law that was changed and changed back is the same law."""
    return digest_of({name: value for name, value in inputs.items() if name != "law_revision"})


@transaction.atomic
def mounting_keep(
    *, order: WorkOrder, by: User | None, state: CheckState | None = None
) -> MountingCheck | None:
    """Answer the mounting checks of an order as it is now, and keep them; None for nothing mounted.

    Where the newest ones on record used the same, they stay. ``state`` is that of the clearance
    check, for a caller who has it.
    """
    facts = mounting_facts(order)
    if facts is None:
        return None
    inputs = inputs_of(order, facts)
    digest = _digest(inputs)
    latest = MountingCheck.objects.filter(order=order).first()
    if latest is not None and latest.digest == digest:
        return latest
    mounting = answered(facts, state or check_state(order))
    check = MountingCheck.objects.create(
        order=order,
        by=by,
        inputs=inputs,
        results=[result_dump(one) for one in mounting.results],
        digest=digest,
        outcome=mounting.outcome,
    )
    log_write(order=order, by=by, what=gettext_lazy("Mounting checked"), detail=_counted(mounting))
    return check


def _counted(mounting: Mounting) -> str:
    """How many fail and how many are open, with the names of those that fail."""
    count, reader, speech = len(mounting.results), on_record(), speech_of_shop()
    if mounting.outcome == Outcome.FAILS:
        names = dict.fromkeys(render(titled(one), reader) for one in mounting.failing)
        return speech.say(
            "{failing} of {count} fail: {names}",
            failing=len(mounting.failing),
            count=count,
            names="; ".join(names),
        )
    if mounting.open:
        return speech.say(
            "None of {count} fails; {open} cannot be answered", count=count, open=len(mounting.open)
        )
    return speech.say("All {count} pass", count=count)
