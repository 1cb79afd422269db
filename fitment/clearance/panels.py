"""The clearance check on the order page and on the customer's page."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from django.urls import reverse
from django.utils.translation import gettext as _

from alignment.text.render import Reader, customer
from common.corners import CORNER_NAMES
from common.verdicts import GateResult
from fitment.clearance.gate import answer_of
from fitment.clearance.page import alike
from fitment.clearance.services import scene_of, side_of
from fitment.drawings.drawn import svg_of
from fitment.engine import checkfile
from fitment.engine.deciding import deciding_corner, worst_spot
from fitment.engine.drawing.scene import only_spot
from fitment.job.data import GATE
from fitment.job.state import check_state, state_once
from fitment.models import ClearanceCheck
from fitment.text.lettering import lettered_for
from fitment.text.render import corners_text, stored_text
from shop.extensions.answers import AnswerLink, OrderAnswer, Question
from shop.extensions.panels import Panel
from shop.languages import speech_of
from shop.site.view_helpers import has_role

if TYPE_CHECKING:
    from django.http import HttpRequest

    from shop.models import WorkOrder


#: Share of a section's height below its rim, which says nothing to an owner.
TYRE_ABOVE = 0.42


def clearance_answers(request: HttpRequest, order: WorkOrder) -> list[OrderAnswer]:
    """What the clearance check says, in a sentence; its corners have a page of their own."""
    if not order.needs_check:
        return []
    state = state_once(order)
    gate = answer_of(order, state)
    shown = state.shown
    as_it_was = None if order.is_open else shown
    verdict, words = gate.result, gate.sentence
    if as_it_was is not None:
        verdict, words = GateResult(as_it_was.result), stored_text(as_it_was).headline
    elif state.current is not None and not state.inputs.problems:
        words = stored_text(state.current).headline
    links = [AnswerLink(_("Clearance check"), reverse("clearance", args=[order.pk]))]
    asks_survey = gate.result == GateResult.UNMEASURED and has_role(request.user, "writer")
    if order.is_open and gate.action_url and asks_survey:
        links.append(AnswerLink(gate.action_label, gate.action_url, is_act=True))
    return [
        OrderAnswer(
            Question.FITS,
            _("Clearance"),
            str(words),
            verdict=verdict,
            links=tuple(links),
            anchor="clearance",
            gate=GATE,
        )
    ]


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


def road_test_panel(order: WorkOrder) -> Panel | None:
    """The side views of the newest check with their spots, to point at the one that touched."""
    checks = ClearanceCheck.objects.filter(order=order).exclude(answer={})
    check = checks.defer("inputs", "options").first()
    if check is None:
        return None
    answer = checkfile.answer_load(check.answer)
    corners = [
        {
            "corner": corner,
            "name": CORNER_NAMES[corner],
            "drawing": svg_of(lettered_for(side), id_prefix=f"mark-{check.pk}-{corner.lower()}"),
            "spots": [spot.place for spot in one.places],
        }
        for corner, one in answer.corners.items()
        if (side := side_of(check, corner)) is not None
    ]
    if not corners:
        return None
    template = "fitment/panels/road_test_spots.html"
    return Panel(_("Point at a spot"), template, {"corners": corners}, "spots")
