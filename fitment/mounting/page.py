"""What pages show of mounting checks: those on record, and what would be answered now."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from alignment.text.render import render
from common.message import message
from common.verdicts import GateResult, Outcome, worst_outcome
from fitment.engine.mounting.law import Figure
from fitment.engine.mounting.rule import Result
from fitment.job.data import CheckState
from fitment.job.fitted import fitted_once
from fitment.job.state import state_once
from fitment.models import GuideReliance, MountingCheck
from fitment.mounting.earlier_jobs import earlier_jobs_once
from fitment.mounting.guides import GuideSaid, guides_held
from fitment.mounting.services.facts import answered
from fitment.mounting.services.record import MountingState, mounting_once
from fitment.mounting.text import counted, headed, joined, not_passing, titled
from fitment.text.labels import figure_words
from fitment.text.render import sentences

if TYPE_CHECKING:
    from shop.models import WorkOrder


def mounting_page(order: WorkOrder, state: CheckState) -> dict[str, Any]:
    """Context of an order's mounting checks; empty while it mounts nothing.

    An open order shows what is answered now, and how that stands to what is on record; a closed
    one shows what was on record when it closed.
    """
    kept = mounting_once(order)
    if kept is None:
        return {}
    as_it_was = kept.latest if not order.is_open else None
    shown = _shown(kept, state) if as_it_was is None else as_it_was.answers
    return {
        "order": order,
        "kept": kept.latest if as_it_was is None else as_it_was,
        "is_current": kept.current is not None,
        "as_it_was": as_it_was,
        "changed": changed(kept.latest.answers, shown) if kept.is_stale and kept.latest else [],
        **_context(shown),
    }


def kept_page(check: MountingCheck) -> dict[str, Any]:
    """Context of mounting checks on record, with the law that they used."""
    law: Mapping[str, Mapping[str, Any]] = check.inputs["law"]
    figures = [Figure(one["value"], one["source"]) for one in law.values()]
    words = [
        (figure_words(key, figure.value), figure.source)
        for key, figure in zip(law, figures, strict=True)
    ]
    return {
        **_context(check.answers),
        "law": words,
        "fitted": [(axle, one["fitted"]) for axle, one in check.inputs["axles"].items()],
    }


def _shown(kept: MountingState, state: CheckState) -> tuple[Result, ...]:
    """What is on record while it holds, the clearance check with it; else what is answered now."""
    if kept.current is not None and not state.is_stale:
        return kept.current.answers
    return answered(kept.facts, state).results


def _context(results: Sequence[Result]) -> dict[str, Any]:
    open_ones = [one for one in results if one.outcome == Outcome.CANNOT_SAY]
    return {
        "sentence": sentences(counted(results)),
        "short": sentences(headed(results)),
        "verdict": verdict_of(results),
        "count": len(results),
        "fails": any(one.outcome == Outcome.FAILS for one in results),
        "rows": joined(results),
        "not_passing": joined(not_passing(results)),
        "missing": [
            render(what) for what in dict.fromkeys(w for one in open_ones for w in one.missing)
        ],
    }


def verdict_of(results: Sequence[Result]) -> GateResult:
    """What all results come to: the worst outcome, unless something cannot be mounted at all."""
    if any(one.bars for one in results):
        return GateResult.CANNOT_BE_MOUNTED
    return GateResult(worst_outcome(one.outcome for one in results))


@dataclass(frozen=True)
class OrderGuides:
    """Fitment tables held against an order, and reliances on revisions that were replaced."""

    guides: list[GuideSaid]
    outdated: list[GuideReliance]


def order_guides(order: WorkOrder) -> OrderGuides | None:
    """What the tables of an order's car model say to it; None where there is none."""
    if not order.needs_check or order.vehicle.car_model_id is None:
        return None
    state, fitted = state_once(order), fitted_once(order)
    guides, outdated = guides_held(order, state, earlier_jobs_once(order), fitted)
    return OrderGuides(guides, outdated) if guides or outdated else None


def changed(before: Iterable[Result], now: Iterable[Result]) -> list[str]:
    """Checks that would be answered otherwise now than they are on record."""
    known = {(one.rule, one.axle): one for one in before}
    said = []
    for one in now:
        old, title = known.get((one.rule, one.axle)), titled(one)
        is_now = message(f"outcome.{one.outcome}")
        if old is None:
            said.append(message("mounting.changed-new", title=title, now=is_now))
        elif old.outcome != one.outcome:
            was = message(f"outcome.{old.outcome}")
            said.append(message("mounting.changed-outcome", title=title, before=was, now=is_now))
        elif old.found != one.found:
            said.append(message("mounting.changed-found", title=title, found=old.found))
    return [render(one) for one in said]
