"""What the shop has seen: earlier jobs on one car model, with what was measured and came back."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from alignment.models import PlannedSetting
from common.corners import AXLE_CORNERS, CORNER_NAMES
from fitment.engine import checkfile
from fitment.engine.model import Answer, SpotAnswer
from fitment.engine.mounting.job_similarity import Fit, distance
from fitment.engine.solid.designation import BadSize, size_of
from fitment.job.fitted import fitted_on, fitted_once
from fitment.job.state import state_once
from fitment.models import ClearanceCheck, OrderWheels
from fitment.text.labels import camber_method_text
from shop.languages.figures import fixed
from shop.models import Comeback, ContactMark, State
from shop.site.page_cache import asked_once

if TYPE_CHECKING:
    from fitment.job.data import CheckState
    from shop.models import WorkOrder


#: Distance within which two jobs count as the same combination.
SAME, NEAR = 0.25, 1.0


@dataclass(frozen=True)
class EarlierJob:
    """One place of one earlier job: what was measured or came back, and what was predicted.

    ``gap_mm`` None with neither mark means that only a comeback tells of the place.
    """

    order: WorkOrder
    axle: str
    fitted: str
    setting: str
    distance: float
    corner: str
    place: str
    gap_mm: float | None
    touched: bool
    came_back: Comeback | None
    then: SpotAnswer | None
    here: SpotAnswer | None

    @property
    def corner_name(self) -> str:
        return CORNER_NAMES[self.corner]

    @property
    def likeness(self) -> str:
        """How near the job is, in words."""
        if self.distance < SAME:
            return "the same"
        return "near" if self.distance < NEAR else "further off"


def earlier_jobs(
    order: WorkOrder, state: CheckState, fitted: Sequence[OrderWheels] | None = None
) -> list[EarlierJob]:
    """Places of earlier jobs on this car model, the nearest job first; six queries at most.

    ``fitted`` is what the order mounts, for a caller who has it already.
    """
    car_model_id = order.vehicle.car_model_id
    if car_model_id is None:
        return []
    mine = fitted_on(order) if fitted is None else fitted
    if not mine:
        return []
    rows = list(
        OrderWheels.objects.filter(
            order__vehicle__car_model_id=car_model_id, axle__in=[row.axle for row in mine]
        )
        .exclude(order=order)
        .exclude(order__state=State.CANCELLED)
        .select_related("order__vehicle", "wheel", "tyre")
        .order_by("-order__created_at", "axle")
    )
    if not rows:
        return []
    orders = {row.order_id for row in rows}
    marks: dict[int, list[ContactMark]] = defaultdict(list)
    for mark in ContactMark.objects.filter(road_test__order__in=orders).select_related("road_test"):
        marks[mark.road_test.order_id].append(mark)
    backs: dict[int, list[Comeback]] = defaultdict(list)
    for back in Comeback.objects.filter(first_order__in=orders).select_related("order"):
        backs[back.first_order_id].append(back)
    plans = {
        (plan.order_id, plan.axle): plan
        for plan in PlannedSetting.objects.filter(order__in=[*orders, order.pk])
    }
    fits = {row.axle: fit_of(row, plans.get((order.pk, row.axle))) for row in mine}
    told = [row for row in rows if marks.get(row.order_id) or backs.get(row.order_id)]
    answers = _answers({row.order_id for row in told})
    here = _answer(state)
    lines: list[EarlierJob] = []
    for row in told:
        plan = plans.get((row.order_id, row.axle))
        far = distance(fits[row.axle], fit_of(row, plan))
        lines += _lines(
            row,
            plan,
            far,
            marks[row.order_id],
            backs[row.order_id],
            answers.get(row.order_id),
            here,
        )
    lines.sort(key=lambda line: (line.distance, -line.order.pk, line.corner, line.place))
    return lines


def earlier_jobs_once(order: WorkOrder) -> list[EarlierJob]:
    """The same for those who put one page together, worked out once for all."""
    return asked_once(
        ("seen", order.pk),
        lambda: earlier_jobs(order, state_once(order), fitted_once(order)),
    )


def fit_of(row: OrderWheels, plan: PlannedSetting | None) -> Fit:
    """One axle of an order as plain data for comparing; sizes by what is known of the tyre."""
    document = row.tyre.as_document(row.wheel.width_in)
    try:
        size = size_of(row.tyre.size)
        width, across = size.section_width_mm(row.wheel.width_in), size.overall_diameter_mm
    except BadSize:
        width, across = 0.0, 0.0
    height = (plan.adjusters or {}).get("ride_height_mm") if plan else None
    return Fit(
        width_mm=document.get("section_width_mm") or width,
        diameter_mm=document.get("overall_diameter_mm") or across,
        centre_mm=row.spacer_mm - row.wheel.offset_mm,
        camber_deg=plan.camber_deg if plan else None,
        camber_by=plan.camber_by if plan else "",
        height_mm=float(height or 0.0),
    )


def setting_words(plan: PlannedSetting | None) -> str:
    """A plan in few words."""
    if plan is None:
        return "no plan"
    said = []
    if plan.camber_deg is not None:
        by = camber_method_text(plan.camber_by)
        said.append(f"camber {fixed(plan.camber_deg, 1, signed=True)}° by {by}")
    height = (plan.adjusters or {}).get("ride_height_mm")
    if height:
        said.append(f"height {fixed(float(height), 0)} mm")
    if plan.rolled_lips:
        said.append("arch lips rolled")
    return ", ".join(said) or "as surveyed"


def own_jobs_words(lines: Iterable[EarlierJob], axle: str) -> str:
    """What near jobs on one axle say, in a sentence; empty if there is none."""
    near = [line for line in lines if line.axle == axle and line.distance < NEAR]
    if not near:
        return ""
    jobs = {line.order.pk for line in near}
    bad = {line.order.pk for line in near if line.touched or line.came_back}
    gaps = [line.gap_mm for line in near if line.gap_mm is not None]
    said = f"{len(jobs)} near job{'' if len(jobs) == 1 else 's'} of this shop"
    said += f", {len(bad)} of them rubbed" if bad else ", none of them rubbed"
    if gaps:
        said += f"; least gap measured {fixed(min(gaps), 1)} mm"
    return f"{said}."


def _answers(orders: Iterable[int]) -> dict[int, Answer]:
    """By order, the answer of its newest check."""
    rows = ClearanceCheck.objects.filter(order__in=list(orders)).defer(
        "inputs", "scenes", "options"
    )
    newest: dict[int, ClearanceCheck] = {}
    for check in rows.order_by("at", "pk"):
        if check.answer:
            newest[check.order_id] = check
    return {order: checkfile.answer_load(check.answer) for order, check in newest.items()}


def _answer(state: CheckState) -> Answer | None:
    check = state.current
    return checkfile.answer_load(check.answer) if check and check.answer else None


def _lines(
    row: OrderWheels,
    plan: PlannedSetting | None,
    far: float,
    marks: Iterable[ContactMark],
    backs: Iterable[Comeback],
    then: Answer | None,
    here: Answer | None,
) -> list[EarlierJob]:
    """The lines of one axle of one job: a mark with the comeback at its place, then the rest."""
    corners = AXLE_CORNERS[row.axle]
    places: dict[tuple[str, str], tuple[ContactMark | None, Comeback | None]] = {}
    for read in sorted(marks, key=_severity):  # of several looks at a place, the worst
        if read.corner in corners:
            places.setdefault((read.corner, read.place), (read, None))
    for back in backs:
        if back.corner in corners:
            before = places.get((back.corner, back.place), (None, None))[0]
            places[(back.corner, back.place)] = (before, back)
    return [
        EarlierJob(
            order=row.order,
            axle=row.axle,
            fitted=str(row),
            setting=setting_words(plan),
            distance=far,
            corner=corner,
            place=place,
            gap_mm=mark.gap_mm if mark else None,
            touched=bool(mark and mark.contact),
            came_back=back,
            then=_place(then, corner, place),
            here=_place(here, corner, place),
        )
        for (corner, place), (mark, back) in places.items()
    ]


def _severity(mark: ContactMark) -> tuple[bool, float]:
    return (not mark.contact, mark.gap_mm if mark.gap_mm is not None else float("inf"))


def _place(answer: Answer | None, corner: str, place: str) -> SpotAnswer | None:
    if answer is None or corner not in answer.corners:
        return None
    wanted = place.strip().casefold()
    return next((p for p in answer.corners[corner].places if p.place.casefold() == wanted), None)
