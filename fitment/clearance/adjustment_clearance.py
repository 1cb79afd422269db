"""The clearance left once a corner has been adjusted: the tightest spot, by the engine."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from django.core.cache import cache

from alignment.adjustments.data import ClearanceAfter, Stand
from alignment.geometry.kinds import ADJUSTERS
from alignment.geometry.linkage import Unreachable
from common.canonical_json import digest_of
from common.verdicts import VERDICTS
from fitment.engine import checkfile
from fitment.engine.check import run
from fitment.engine.findings import finding
from fitment.engine.model import KNUCKLE, STRUT_BODY
from fitment.job.car import Document, camber_methods_in, planned_document
from fitment.job.inputs import check_inputs
from fitment.text.render import sentences

if TYPE_CHECKING:
    from shop.models import WorkOrder


#: Answers are kept this long; they are found again by all that they depend on.
KEPT_S = 3600
ROD = "rod:"


def clearance_after(order: WorkOrder) -> Callable[[str, Stand], ClearanceAfter | None]:
    """Ask about corners as they stand after moves, with the order's wheels.

    Angles are those that the rack should read: the camber that the adjusters do not explain is
    put down to what sets camber in the stand. None where a corner cannot be checked.
    """
    document = check_inputs(order).document

    def ask(corner: str, stand: Stand) -> ClearanceAfter | None:
        if document is None or corner not in document["corners"]:
            return None
        asked = dict(document["corners"][corner])
        rolled = {k: v for k, v in asked["planned"].items() if k == "rolled_lips"}
        asked["planned"] = _planned(asked["suspension"], stand) | rolled
        # Reach is for the moves to keep: what the rack reads beside the model is no move.
        asked["suspension"] = {k: v for k, v in asked["suspension"].items() if k != "reach"}
        return _asked({**document, "corners": {corner: asked}}, corner)

    return ask


def _asked(question: Document, corner: str) -> ClearanceAfter | None:
    key = f"clearance-after-{digest_of(question)}"
    answer = cache.get(key)
    if answer is None:
        answer = _answered(question, corner)
        cache.set(key, answer, KEPT_S)
    return ClearanceAfter(**answer) if answer else None


def _planned(suspension: Document, stand: Stand) -> Document:
    plain = {k: v for k, v in stand.adjusters.items() if k in ADJUSTERS and k != "toe_link_mm"}
    rods = {k.removeprefix(ROD): v for k, v in stand.adjusters.items() if k.startswith(ROD)}
    camber_method = camber_methods_in(suspension)
    by = stand.camber_by if stand.camber_by in camber_method else next(iter(camber_method), "")
    return planned_document(
        toe_deg=stand.toe_deg,
        camber_deg=stand.camber_deg if camber_method else None,
        camber_by=by,
        adjusters=plain | ({"rods_mm": rods} if rods else {}),
    )


def _answered(question: Document, corner: str) -> dict[str, Any]:
    """Clearance, verdict and sentence; empty where the engine cannot say."""
    try:
        answer = run(checkfile.parse(question)).corners[corner]
    except (checkfile.BadCheckFile, Unreachable):
        return {}
    # Of places with the same verdict the one that moves with the body: moves change only that.
    # What was not measured has no clearance that could be compared; the verdict says so.
    ranked = sorted(
        (place for place in answer.places if place.is_measured),
        key=lambda place: (
            VERDICTS.index(place.verdict),
            place.carried_by in (KNUCKLE, STRUT_BODY),
            place.order_mm,
        ),
    )
    if not ranked:
        return {}
    return {
        "clearance_mm": ranked[0].clearance_mm,
        "verdict": answer.verdict,
        "sentence": sentences([finding(ranked[0])]),
    }
