"""From an order's rows to the question that the engine answers: a check file, or why not.

Everything that decides a check goes through here, so that the digest of what comes out tells
whether an older check still holds.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from django.urls import reverse

from alignment.geometry.model import ADJUSTERS, CAMBER_MEANS, CURVES, LINKS
from alignment.models import PlannedSetting
from fitment.engine import checkfile
from fitment.engine.check import ENGINE_VERSION
from fitment.models import CORNER_NAMES, CornerSurvey, DutyModel, OrderWheels, PresentCorner
from fitment.words import KIND_WORDS, adjuster_words, means_words
from shop.adjusting import adjusting_parts, dampers_at

from .stops import limits_with

if TYPE_CHECKING:
    from shop.models import Part, WorkOrder

AXLE_CORNERS: dict[str, tuple[str, str]] = {"front": ("LF", "RF"), "rear": ("LR", "RR")}
Document = dict[str, Any]


@dataclass(frozen=True)
class Problem:
    """Why an order cannot be checked, in a sentence, with the place where it is mended."""

    sentence: str
    url: str
    link: str


@dataclass(frozen=True)
class CheckInputs:
    """What an order asks of the engine.

    ``document`` is a check file, or None when no corner can be asked about. ``unmeasured``
    names corners that have wheels and a plan but no survey. ``digest`` stands for all of it
    and for the engine's version. ``present`` holds the wheels that are on the car, for drawing.
    """

    document: Document | None
    digest: str
    problems: tuple[Problem, ...] = ()
    unmeasured: tuple[str, ...] = ()
    present: Mapping[str, PresentCorner] = field(default_factory=dict)

    @property
    def can_run(self) -> bool:
        return self.document is not None and not self.problems


@dataclass
class _Rows:
    """The rows behind one check, each kind fetched once."""

    order: WorkOrder
    wheels: dict[str, OrderWheels] = field(default_factory=dict)
    plans: dict[str, PlannedSetting] = field(default_factory=dict)
    surveys: dict[str, CornerSurvey] = field(default_factory=dict)
    duty: DutyModel | None = None
    reaches: dict[str, dict[str, PartReach]] = field(default_factory=dict)
    dampers: dict[str, Part] = field(default_factory=dict)
    present: dict[str, PresentCorner] = field(default_factory=dict)


@dataclass(frozen=True)
class PartReach:
    part: str
    min: float
    max: float
    for_this_axle: bool


def digest_of(document: Document | None, unmeasured: Mapping[str, Document]) -> str:
    """SHA-256 over the canonical JSON of all inputs and the engine's version, as hex.

    ``unmeasured`` holds what is to be mounted and set at corners without a survey: an override
    given for them falls, too, when that changes.
    """
    whole = {"engine": ENGINE_VERSION, "document": document, "unmeasured": unmeasured}
    text = json.dumps(whole, sort_keys=True, separators=(",", ":"), ensure_ascii=False)
    return hashlib.sha256(text.encode()).hexdigest()


def check_inputs(order: WorkOrder) -> CheckInputs:
    """Collect an order's wheels, plan, surveys, parts and duty into a check file.

    Nothing is guessed: what is missing or senseless comes back as a problem, and a corner
    without a survey by name. A car of which no corner was measured is unmeasured first of
    all, whatever else is missing.
    """
    rows = _fetch(order)
    if not rows.surveys:
        wanted = _touched(rows)
        return CheckInputs(None, digest_of(None, wanted), unmeasured=tuple(wanted))
    problems: list[Problem] = list(_missing_choices(rows))
    unmeasured: dict[str, Document] = {}
    corners: dict[str, Document] = {}
    for corner, asked in _touched(rows).items():
        axle, survey = axle_of(corner), rows.surveys.get(corner)
        wheels, plan = rows.wheels.get(axle), rows.plans.get(axle)
        if wheels is None or plan is None:
            continue
        if survey is None:
            unmeasured[corner] = asked
            continue
        found = list(_senseless(rows, corner, plan, survey))
        problems += [problem for problem in found if problem not in problems]
        corners[corner] = _measured(rows, corner, survey, plan) | asked
    document = _document(rows, corners)
    if document is not None and not problems:
        problems += _parse_problems(rows, document)
    return CheckInputs(
        document=document,
        digest=digest_of(document, unmeasured),
        problems=tuple(problems),
        unmeasured=tuple(unmeasured),
        present=rows.present,
    )


def axle_of(corner: str) -> str:
    return "front" if corner in AXLE_CORNERS["front"] else "rear"


def _touched(rows: _Rows) -> dict[str, Document]:
    """By corner, what the order mounts and sets there; every corner if nothing is chosen yet."""
    nothing_chosen = not rows.wheels and not rows.plans
    touched: dict[str, Document] = {}
    for corner in CORNER_NAMES:
        wheels, plan = rows.wheels.get(axle_of(corner)), rows.plans.get(axle_of(corner))
        asked: Document = {}
        if plan is not None:
            asked["planned"] = planned_document(plan)
        if wheels is not None:
            asked["wheel"] = wheels.wheel.as_document(spacer_mm=wheels.spacer_mm)
            asked["tyre"] = wheels.tyre_document()
        if asked or nothing_chosen:
            touched[corner] = asked
    return touched


def _fetch(order: WorkOrder) -> _Rows:
    rows = _Rows(order)
    chosen = OrderWheels.objects.filter(order=order).select_related("wheel", "tyre")
    rows.wheels = {row.axle: row for row in chosen}
    rows.plans = {row.axle: row for row in PlannedSetting.objects.filter(order=order)}
    rows.duty = DutyModel.objects.filter(name=order.use).first()
    pattern = order.vehicle.pattern
    if pattern is not None:
        rows.surveys = CornerSurvey.objects.current_by_corner(pattern)
    rows.reaches = part_reaches(order)
    rows.dampers = dampers_at(order)
    stands = PresentCorner.objects.filter(order=order).select_related("wheel", "tyre")
    rows.present = {row.corner: row for row in stands.prefetch_related("gaps")}
    return rows


def part_reaches(order: WorkOrder) -> dict[str, dict[str, PartReach]]:
    """By corner and adjuster, the reach of the newest part whose reach is known."""
    return {
        corner: {
            adjuster: PartReach(
                row.part.name, row.part.reach_min, row.part.reach_max, row.for_this_axle
            )
            for adjuster, row in parts.items()
            if row.part.reach_min is not None and row.part.reach_max is not None
        }
        for corner, parts in adjusting_parts(order).items()
    }


def _document(rows: _Rows, corners: Mapping[str, Document]) -> Document | None:
    if not corners or rows.duty is None:
        return None
    return {
        "archroom_check": 1,
        "label": f"{rows.order.number}, {rows.order.vehicle}",
        "duty": rows.duty.as_document(),
        "corners": dict(corners),
    }


def _measured(rows: _Rows, corner: str, survey: CornerSurvey, plan: PlannedSetting) -> Document:
    height = float((plan.adjusters or {}).get("ride_height_mm") or 0.0)
    document: Document = {
        "survey": survey.document["survey"],
        "suspension": suspension_with(survey, rows.reaches[corner]),
        "limits": limits_with(survey.document["limits"], rows.dampers.get(corner), height),
    }
    if give := compliance_of(survey, plan):
        document["compliance"] = give
    stands = rows.present.get(corner)
    gaps = [gap.as_document() for gap in stands.gaps.all()] if stands else []
    if stands and gaps:
        document["present"] = stands.as_document() | {"gaps": gaps}
    return document


def compliance_of(survey: CornerSurvey, plan: PlannedSetting | None) -> Document | str | None:
    """Give under side load as a check file has it: that of the bushes which the plan names, or
    what the survey holds."""
    chosen: str = plan.bushes if plan else ""
    return chosen or survey.document.get("compliance") or None


def suspension_with(survey: CornerSurvey, reaches: Mapping[str, PartReach]) -> Document:
    """A survey's suspension with the reach of the parts that are on the car or come onto it."""
    suspension = dict(survey.document["suspension"])
    reach = dict(suspension.get("reach") or {})
    for adjuster, part in reaches.items():
        if has_adjuster(suspension, adjuster):
            reach[toe_link_or(suspension, adjuster)] = [part.min, part.max]
    if reach:
        suspension["reach"] = reach
    return suspension


def planned_document(plan: PlannedSetting) -> Document:
    """A planned setting as the ``planned`` of a check file's corner; unset figures stay out."""
    document: Document = {"toe_deg": plan.toe_deg}
    if plan.camber_deg is not None:
        document |= {"camber_deg": plan.camber_deg, "camber_by": plan.camber_by}
    adjusters = {name: value for name, value in (plan.adjusters or {}).items() if value is not None}
    if adjusters:
        document["adjusters"] = adjusters
    return document


def rod_names(suspension: Mapping[str, Any]) -> list[str]:
    return [str(rod.get("name", "")) for rod in suspension.get("links", [])]


def has_adjuster(suspension: Mapping[str, Any], adjuster: str) -> bool:
    """Whether a suspension of this kind can be moved by this adjuster (``rod:NAME`` for rods)."""
    kind = str(suspension.get("kind", ""))
    if adjuster.startswith("rod:"):
        return kind == LINKS and adjuster[4:] in rod_names(suspension)
    if adjuster == "rods_mm":
        return kind == LINKS
    return kind in ADJUSTERS.get(adjuster, ())


def toe_link_or(suspension: Mapping[str, Any], adjuster: str) -> str:
    """The adjuster's name in a check file: a part for the toe rod sets the toe link."""
    toe = {f"rod:{rod.get('name')}" for rod in suspension.get("links", []) if rod.get("toe")}
    return "toe_link_mm" if adjuster in toe else adjuster


def means_of(suspension: Mapping[str, Any]) -> list[str]:
    """The means of camber that a suspension offers, as ``camber_by`` names them."""
    kind = str(suspension.get("kind", ""))
    if kind == LINKS:
        return [f"rod:{rod['name']}" for rod in suspension.get("links", []) if not rod.get("toe")]
    if kind == CURVES:
        return list(suspension.get("camber_pivots") or {})
    return list(CAMBER_MEANS.get(kind, {}))


def _missing_choices(rows: _Rows) -> Iterable[Problem]:
    order = rows.order
    to_wheels = reverse("order_wheels", args=[order.pk])
    to_plan = reverse("plan_edit", args=[order.pk])
    if not rows.wheels and not rows.plans:
        yield Problem(
            "Neither wheels nor settings are chosen for this order.", to_wheels, "Choose wheels"
        )
    for axle in AXLE_CORNERS:
        plan = rows.plans.get(axle)
        if axle in rows.wheels and plan is None:
            yield Problem(
                f"The {axle} axle has wheels but no planned settings.", to_plan, "Plan settings"
            )
        if plan is not None and axle not in rows.wheels:
            yield Problem(
                f"The {axle} axle has planned settings but no wheels: "
                "choose the ones that will be on the car, even if they stay.",
                to_wheels,
                "Choose wheels",
            )
    if rows.duty is None:
        yield Problem(
            f"No duty is set up for {order.get_use_display().lower()} use.",
            reverse("duty_list"),
            "See the duties",
        )


def _senseless(
    rows: _Rows, corner: str, plan: PlannedSetting, survey: CornerSurvey
) -> Iterable[Problem]:
    """Settings and parts that this corner's kind of suspension does not have."""
    to_plan = reverse("plan_edit", args=[rows.order.pk])
    suspension = survey.document["suspension"]
    axle = axle_of(corner)
    kind = KIND_WORDS.get(survey.kind, survey.kind)
    means = means_of(suspension)
    offered = ", ".join(means_words(name) for name in means) or "no means of camber"
    if plan.camber_deg is not None and plan.camber_by not in means:
        yield Problem(
            f"Camber by {means_words(plan.camber_by)} is planned for the {axle} axle, which is "
            f"a {kind} corner and offers: {offered}.",
            to_plan,
            "Change the means",
        )
    for adjuster, value in (plan.adjusters or {}).items():
        if value is not None and not has_adjuster(suspension, adjuster):
            yield Problem(
                f"The {axle} axle plans “{adjuster_words(adjuster)}”, "
                f"which a {kind} corner does not have.",
                to_plan,
                "Change the plan",
            )
    for adjuster, part in rows.reaches[corner].items():
        if part.for_this_axle and not has_adjuster(suspension, adjuster):
            yield Problem(
                f"The part “{part.part}” sets “{adjuster_words(adjuster)}”, which the {axle} "
                f"axle, a {kind} corner, does not have.",
                reverse("order_lines", args=[rows.order.pk]),
                "Change the parts",
            )


def _parse_problems(rows: _Rows, document: Document) -> list[Problem]:
    """What the check file's own reader finds wrong, each led to where it can be mended."""
    try:
        checkfile.parse(document)
    except checkfile.BadCheckFile as bad:
        return [_at_its_place(rows, problem.path, problem.message) for problem in bad.problems]
    return []


def _at_its_place(rows: _Rows, path: str, message: str) -> Problem:
    order, pattern = rows.order, rows.order.vehicle.pattern
    steps = path.replace("[", ".").replace("]", "").strip("$.").split(".")
    corner = steps[1] if len(steps) > 1 and steps[0] == "corners" else ""
    part = steps[2] if len(steps) > 2 else steps[0]
    where = f"{CORNER_NAMES[corner].capitalize()}, " if corner in CORNER_NAMES else ""
    sentence = f"{where}{'.'.join(steps[2:]) if corner else path}: {message}"
    axle = axle_of(corner)
    if part == "planned":
        return Problem(sentence, reverse("plan_edit", args=[order.pk]), "Change the plan")
    if part == "wheel" and axle in rows.wheels:
        wheel = rows.wheels[axle].wheel
        return Problem(sentence, reverse("wheel_edit", args=[wheel.pk]), "Correct the wheel")
    if part == "tyre" and axle in rows.wheels:
        tyre = rows.wheels[axle].tyre
        return Problem(sentence, reverse("tyre_edit", args=[tyre.pk]), "Correct the tyre")
    if part == "duty":
        return Problem(sentence, reverse("duty_list"), "See the duties")
    if part == "present":
        url = reverse("gaps", args=[order.pk, corner])
        return Problem(sentence, url, "Correct the gaps read on this car")
    if corner and pattern is not None:
        url = reverse("survey_edit", args=[pattern.pk, corner])
        return Problem(sentence, url, "Correct the survey")
    return Problem(sentence, reverse("order_wheels", args=[order.pk]), "Change the wheels")
