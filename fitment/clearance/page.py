"""What the clearance pages show: a stored check turned into words, rows and drawings."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from django.urls import reverse
from django.utils.safestring import SafeString
from django.utils.translation import gettext as _

from alignment.text.render import SHOP, Reader
from common.corners import CORNER_NAMES
from common.message import Message, message
from common.verdicts import GateResult
from fitment.clearance.corner_page import CornerView, corner_view
from fitment.clearance.curve_pages import CannotPlot, asked
from fitment.clearance.gate import answer_of
from fitment.clearance.services import scene_of, side_of
from fitment.drawings.drawn import svg_of
from fitment.engine import checkfile
from fitment.engine.drawing.scene import Scene, Text
from fitment.engine.drawing.sector_drawing import sector_scene
from fitment.engine.model import CornerAnswer
from fitment.job.damper_stops import why_unknown
from fitment.job.data import GATE
from fitment.job.state import check_state
from fitment.models import ClearanceCheck
from fitment.text.lettering import lettered_for
from fitment.text.render import CheckText, stored_text
from shop.extensions import gates
from shop.models import Part
from shop.orders.services.adjuster_parts import adjusting_parts, dampers_at

if TYPE_CHECKING:
    from shop.models import WorkOrder


@dataclass(frozen=True)
class DamperNote:
    """A damper on the car or on the order, and why its bump stop is not known (or empty)."""

    part: Part
    why: str


def clearance_page(order: WorkOrder) -> dict[str, Any]:
    """Context of an order's clearance page."""
    state = check_state(order)
    gate = answer_of(order, state)
    shown = state.shown
    return {
        "order": order,
        "state": state,
        "gate": gate,
        "check": shown,
        "loads": shown.inputs.get("duty") if shown and shown.answer else None,
        "said": stored_text(shown) if shown else None,
        "corners": corner_views(shown) if shown else [],
        "any_chance": any_chance_of(shown) if shown else None,
        "unmeasured": [CORNER_NAMES[corner] for corner in state.inputs.unmeasured],
        "as_it_was": None if order.is_open else shown,
        "primary": primary_action(order, gate, can_run=state.inputs.can_run),
        "earlier": earlier_checks(order, shown),
        "overrides": order.overrides.filter(gate=GATE).select_related("by"),
        "dampers": damper_notes(order, state.inputs.document),
    }


def any_chance_of(check: ClearanceCheck) -> Message | None:
    """The chance that anything touches on the car; None for one corner, or where none was kept."""
    if not check.answer:
        return None
    answer = checkfile.answer_load(check.answer)
    if len(answer.corners) < 2 or math.isnan(answer.any_touch_chance):
        return None
    return message("chance.touch", touch_share=answer.any_touch_chance)


def primary_action(order: WorkOrder, gate: gates.GateAnswer, *, can_run: bool) -> dict[str, str]:
    """The one thing to do next: ``post`` for a button, ``url`` for a link."""
    run = reverse("clearance_run", args=[order.pk])
    if not order.is_open:
        return {"label": _("Back to the order"), "url": reverse("order", args=[order.pk])}
    if gate.result == GateResult.STALE:
        return {"label": _("Check again"), "post": run}
    if gate.result == GateResult.NOT_CHECKED and can_run:
        return {"label": _("Check clearance"), "post": run}
    if gate.result in (GateResult.CLEAR, GateResult.TIGHT):
        return {"label": _("Back to the order"), "url": reverse("order", args=[order.pk])}
    if gate.result in (GateResult.CONTACT, GateResult.OUT_OF_REACH):
        return {"label": _("Change the settings"), "url": reverse("plan_edit", args=[order.pk])}
    return {"label": gate.action_label, "url": gate.action_url}


def earlier_checks(
    order: WorkOrder, shown: ClearanceCheck | None
) -> list[tuple[ClearanceCheck, CheckText]]:
    """The order's other checks with what each says, newest first."""
    rows = ClearanceCheck.objects.filter(order=order).defer("inputs", "scenes", "options")
    others = (row for row in rows.select_related("by") if shown is None or row.pk != shown.pk)
    return [(row, stored_text(row)) for row in others]


def damper_notes(order: WorkOrder, document: Mapping[str, Any] | None) -> list[DamperNote]:
    """Dampers fitted to this car since the survey, and what is not known of their stops."""
    found: dict[int, DamperNote] = {}
    corners = (document or {}).get("corners", {})
    for corner, part in dampers_at(order).items():
        adjusters = corners.get(corner, {}).get("planned", {}).get("adjusters") or {}
        why = why_unknown(part, float(adjusters.get("ride_height_mm") or 0.0))
        if part.pk not in found or why:
            found[part.pk] = DamperNote(part, why)
    return list(found.values())


def corner_views(check: ClearanceCheck) -> list[CornerView]:
    """The corners of a stored check in the order of its file."""
    if not check.answer:
        return []
    answer = checkfile.answer_load(check.answer)
    parts = adjusting_parts(check.order)
    short = any(corner.out_of_reach for corner in answer.corners.values())
    catalogue = list(Part.objects.exclude(adjuster="")) if short else []
    try:
        question = asked(check)
    except CannotPlot:
        question = None
    return [
        corner_view(
            check,
            corners,
            answer.corners[corners[0]],
            asked=question.corners[corners[0]] if question else None,
            parts={name: row.part for name, row in parts[corners[0]].items()},
            drawing=drawn(check, corners[0]),
            side=side_drawn(check, corners[0]),
            sectors=sectors_drawn(check, corners, answer.corners[corners[0]]),
            catalogue=catalogue,
        )
        for corners in alike(check.inputs)
    ]


def alike(inputs: Mapping[str, Any]) -> list[tuple[str, ...]]:
    """Corners in the file's order, those together that were asked the very same question."""
    groups: list[list[str]] = []
    for corner, document in inputs["corners"].items():
        twin = next((group for group in groups if inputs["corners"][group[0]] == document), None)
        if twin is None:
            groups.append([corner])
        else:
            twin.append(corner)
    return [tuple(group) for group in groups]


def drawn(check: ClearanceCheck, corner: str) -> tuple[SafeString, tuple[Text, ...]]:
    """The stored drawing of a corner as SVG, and its legend; empty where none was kept."""
    kept = scene_of(check, corner)
    if kept is None:
        return SafeString(""), ()
    scene = lettered_for(kept)
    return svg_of(scene, id_prefix=f"clearance-{check.pk}-{corner.lower()}"), scene.legend


def side_drawn(
    check: ClearanceCheck, corner: str, reader: Reader = SHOP
) -> tuple[SafeString, tuple[Text, ...]]:
    """The stored side view of a corner as SVG, and its legend; empty where none was kept."""
    kept = side_of(check, corner)
    if kept is None:
        return SafeString(""), ()
    scene = lettered_for(kept, reader)
    return svg_of(scene, id_prefix=f"side-{check.pk}-{corner.lower()}"), scene.legend


def sectors_scene_of(
    corners: tuple[str, ...], answer: CornerAnswer, reader: Reader = SHOP
) -> Scene | None:
    """The sectors that want looking at, drawn and lettered; None where the answer kept none."""
    if not answer.sectors:
        return None
    title = message("sectors.title", corner=message(f"corner.{corners[0]}"))
    return lettered_for(sector_scene(answer.sectors, title=title), reader)


def sectors_drawn(
    check: ClearanceCheck, corners: tuple[str, ...], answer: CornerAnswer
) -> tuple[SafeString, tuple[Text, ...]]:
    """The same as SVG, and its legend; empty where there is nothing to draw."""
    scene = sectors_scene_of(corners, answer)
    if scene is None:
        return SafeString(""), ()
    return svg_of(scene, id_prefix=f"sectors-{check.pk}-{corners[0].lower()}"), scene.legend
