"""The clearance check on the order page and on the customer's page."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from django.utils.translation import gettext as _

from alignment.text.render import Reader, customer
from common.corners import CORNER_NAMES
from fitment.clearance.gate import answer_of
from fitment.clearance.page import alike
from fitment.clearance.services import scene_of, side_of
from fitment.drawings.drawn import svg_of
from fitment.engine import checkfile
from fitment.engine.deciding import deciding_corner, worst_spot
from fitment.engine.drawing.scene import only_spot
from fitment.job.state import check_state, state_once
from fitment.models import ClearanceCheck
from fitment.text.lettering import lettered_for
from fitment.text.render import corners_text, stored_text
from shop.extensions.panels import Panel
from shop.languages import speech_of

if TYPE_CHECKING:
    from django.http import HttpRequest

    from shop.models import WorkOrder


#: Share of a section's height below its rim, which says nothing to an owner.
TYRE_ABOVE = 0.42


def clearance_panel(request: HttpRequest, order: WorkOrder) -> Panel | None:
    """What the clearance check says, in a sentence, with the next thing to do."""
    if not order.needs_check:
        return None
    state = state_once(order)
    context = {
        "order": order,
        "gate": answer_of(order, state),
        "check": state.shown,
        "as_it_was": None if order.is_open else state.shown,
        "said": stored_text(state.shown) if state.shown else None,
        "corners": corner_rows(state.shown),
    }
    return Panel(_("Clearance check"), "fitment/panels/clearance.html", context, "clearance")


def corner_rows(check: ClearanceCheck | None) -> list[dict[str, object]]:
    """One row a corner: its name, its verdict and the place that decides it."""
    if check is None or not check.answer:
        return []
    answer = checkfile.answer_load(check.answer)
    rows: list[dict[str, object]] = []
    for corner, one in answer.corners.items():
        name, decisive = CORNER_NAMES[corner], worst_spot(one)
        rows.append({"name": name, "verdict": one.verdict, "tightest": decisive})
    return rows


def customer_clearance_panel(order: WorkOrder) -> Panel | None:
    """For the customer: the sentence and the drawings, in their language and units."""
    if not order.needs_check:
        return None
    state = check_state(order)
    check = state.current if order.is_open else state.shown
    if check is None:
        return None
    speech = speech_of(order)
    reader = customer(speech)
    context = {
        "order": order,
        "check": check,
        "said": stored_text(check, reader),
        "problem": _problem(check, reader),
        "corners": _customer_corners(check, reader),
    }
    title = speech.say("Will it fit?")
    return Panel(title, "fitment/panels/customer_clearance.html", context, "clearance")


def _problem(check: ClearanceCheck, reader: Reader) -> dict[str, Any] | None:
    """The corner and spot that decide, from the side and in section, with that spot's words alone;
    None where nothing was drawn."""
    answer = checkfile.answer_load(check.answer) if check.answer else None
    decides = deciding_corner(answer) if answer else None
    if answer is None or decides is None:
        return None
    corner, worst = decides.corner, worst_spot(answer.corners[decides.corner])
    scenes = {"section": scene_of(check, corner), "side": side_of(check, corner)}
    drawn = {}
    for name, scene in scenes.items():
        if scene is None:
            continue
        above = TYRE_ABOVE if name == "section" else 0.0
        part = only_spot(scene, worst.place if worst else "", above=above)
        shown = lettered_for(part, reader)
        prefix = f"problem-{name}-{check.pk}"
        drawn[name] = {"svg": svg_of(shown, id_prefix=prefix)}
    return {"corner": corners_text((corner,), reader), **drawn} if drawn else None


def _customer_corners(check: ClearanceCheck, reader: Reader) -> list[dict[str, object]]:
    """Drawings for the customer, with their names and what their lines mean."""
    corners: list[dict[str, object]] = []
    for group in alike(check.inputs):
        kept = scene_of(check, group[0])
        if kept is None:
            continue
        scene = lettered_for(kept, reader)
        svg = svg_of(scene, id_prefix=f"clearance-{check.pk}-{group[0].lower()}")
        corners.append(
            {"name": corners_text(group, reader), "drawing": svg, "legend": scene.legend}
        )
    return corners
