"""Fitment tables held against an order, row by row."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from django.utils.translation import ngettext

from alignment.models import PlannedSetting
from alignment.text.render import render
from common.corners import AXLE_CORNERS
from common.verdicts import Outcome, Verdict
from fitment.engine import checkfile
from fitment.engine.deciding import worst_spot
from fitment.engine.findings import finding
from fitment.engine.model import Answer, CornerAnswer
from fitment.engine.mounting.guide import (
    OPEN,
    OTHER,
    PROMISED,
    Condition,
    Job,
    conditions,
    said,
)
from fitment.job.fitted import fitted_on
from fitment.models import Guide, GuideReliance, GuideRow, OrderWheels
from fitment.mounting.earlier_jobs import EarlierJob, own_jobs_words
from fitment.text.render import sentences
from shop.languages.formatting import capital
from shop.models import InstalledPart

if TYPE_CHECKING:
    from fitment.job.data import CheckState
    from shop.models import WorkOrder


#: Rows of other sizes that are named at most, by table.
OTHERS_NAMED = 3


@dataclass(frozen=True)
class ConditionText:
    """A condition in words."""

    what: str
    asked: str
    has: str
    outcome: Outcome


@dataclass(frozen=True)
class RowSaid:
    """A row held against an order: its conditions, what it says, and what contradicts it."""

    row: GuideRow
    conditions: tuple[ConditionText, ...]
    said: str
    disagreement: str
    own_jobs: str
    relied_on: bool


@dataclass(frozen=True)
class GuideSaid:
    """A table held against an order: rows about its sizes, and what else the table is about."""

    guide: Guide
    rows: tuple[RowSaid, ...]
    others: tuple[str, ...]


def guides_held(
    order: WorkOrder,
    state: CheckState,
    seen: Iterable[EarlierJob] = (),
    fitted: Sequence[OrderWheels] | None = None,
) -> tuple[list[GuideSaid], list[GuideReliance]]:
    """Current tables of an order's car model against it, and reliances on older revisions.

    Seven queries, however many tables and rows there are. ``fitted`` is what the order mounts,
    for a caller who has it already.
    """
    car_model_id = order.vehicle.car_model_id
    if car_model_id is None:
        return [], []
    reliances = list(
        GuideReliance.objects.filter(order=order).select_related("row__guide__replaced_by", "by")
    )
    mine = fitted_on(order) if fitted is None else fitted
    if not mine:
        return [], outdated_of(reliances)
    guides = list(
        Guide.objects.current().filter(car_model_id=car_model_id).prefetch_related("rows")
    )
    outdated = outdated_of(reliances)
    if not guides:
        return [], outdated
    jobs = jobs_of(order, state, mine)
    relied_on = {one.row_id for one in reliances}
    answer = answer_of(state)
    lines = list(seen)
    return [_held(guide, jobs, answer, lines, relied_on) for guide in guides], outdated


def outdated_of(reliances: Iterable[GuideReliance]) -> list[GuideReliance]:
    """Those on a revision that a newer one replaces."""
    return [one for one in reliances if one.row.guide.newer is not None]


def jobs_of(order: WorkOrder, state: CheckState, fitted: Sequence[OrderWheels]) -> dict[str, Job]:
    """By axle, an order as tables ask about it."""
    plans = {plan.axle: plan for plan in PlannedSetting.objects.filter(order=order)}
    answer = answer_of(state)
    parts = frozenset(
        [
            *order.lines.filter(part__isnull=False).values_list("part__number", flat=True),
            *InstalledPart.objects.filter(
                order__vehicle_id=order.vehicle_id, part__isnull=False
            ).values_list("part__number", flat=True),
        ]
    )
    return {row.axle: _job(row, plans.get(row.axle), answer, parts) for row in fitted}


def _job(
    row: OrderWheels, plan: PlannedSetting | None, answer: Answer | None, parts: frozenset[str]
) -> Job:
    """One axle; what was not planned is taken from what the clearance check worked out."""
    camber, by, height = None, "", None
    adjusters: dict[str, float] = {}
    if plan is not None:
        camber, by = plan.camber_deg, plan.camber_by
        height = float((plan.adjusters or {}).get("ride_height_mm") or 0.0)
        adjusters = _flat(plan.adjusters or {})
    one = _corner(answer, row.axle)
    if one is not None:
        camber = one.static.camber_deg if camber is None else camber
        adjusters = {**_flat(one.adjusters), **adjusters}
    return Job(
        axle=row.axle,
        wheel_diameter_in=row.wheel.diameter_in,
        wheel_width_in=row.wheel.width_in,
        offset_mm=row.wheel.offset_mm,
        spacer_mm=row.spacer_mm,
        tyre_size=row.tyre.size,
        camber_deg=camber,
        camber_by=by,
        adjusters=adjusters,
        height_mm=height,
        parts=parts,
    )


def _flat(adjusters: Mapping[str, object]) -> dict[str, float]:
    """Adjusters by name, rods as ``rod:NAME``."""
    flat: dict[str, float] = {}
    for name, value in adjusters.items():
        if isinstance(value, Mapping):
            flat |= {f"rod:{rod}": float(moved) for rod, moved in value.items()}
        elif isinstance(value, int | float):
            flat[name] = float(value)
    return flat


def answer_of(state: CheckState) -> Answer | None:
    """The answer that holds for the order as it is."""
    check = state.current
    return checkfile.answer_load(check.answer) if check and check.answer else None


def _corner(answer: Answer | None, axle: str) -> CornerAnswer | None:
    """The corner of an axle with the least clearance."""
    if answer is None:
        return None
    corners = [answer.corners[name] for name in AXLE_CORNERS[axle] if name in answer.corners]
    return min(corners, key=_least_clearance, default=None)


def _least_clearance(corner: CornerAnswer) -> float:
    worst = worst_spot(corner)
    return worst.order_mm if worst else 0.0


def _held(
    guide: Guide,
    jobs: Mapping[str, Job],
    answer: Answer | None,
    seen: list[EarlierJob],
    relied_on: set[int],
) -> GuideSaid:
    rows, others = [], []
    for row in guide.rows.all():
        job = jobs.get(row.axle)
        if job is None:
            continue
        asked = row.as_row()
        met = conditions(asked, job)
        verdict = said(asked, job, met)
        if verdict == OTHER:
            others.append(row.words)
            continue
        rows.append(
            RowSaid(
                row=row,
                conditions=tuple(_condition_text(one) for one in met),
                said=verdict,
                disagreement=disagreement(verdict, _corner(answer, row.axle)),
                own_jobs=own_jobs_words(seen, row.axle),
                relied_on=row.pk in relied_on,
            )
        )
    named = others[:OTHERS_NAMED]
    if len(others) > OTHERS_NAMED:
        count = len(others) - OTHERS_NAMED
        named.append(ngettext("{count} more", "{count} more", count).format(count=count))
    return GuideSaid(guide, tuple(rows), tuple(named))


def _condition_text(one: Condition) -> ConditionText:
    what = capital(render(one.what))
    return ConditionText(what, render(one.asked), render(one.has), one.outcome)


def disagreement(verdict: str, corner: CornerAnswer | None) -> str:
    """Where a row and the geometry of the car do not say the same; empty where they do."""
    if corner is None:
        return ""
    worst = worst_spot(corner)
    if (
        verdict in (PROMISED, OPEN)
        and corner.verdict in (Verdict.CONTACT, Verdict.DOUBTFUL)
        and worst
    ):
        table = "The table says that it fits" if verdict == PROMISED else "The table allows it"
        return f"{table}; the geometry of this car does not. {sentences([finding(worst)])}"
    if verdict not in (PROMISED, OPEN) and corner.verdict in (Verdict.CLEAR, Verdict.TIGHT):
        return "The table does not promise this; by the geometry of this car it clears."
    return ""
