"""The whole car of a stored check: its corners side by side, and what differs between them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from django.utils.safestring import SafeString

from fitment.engine import checkfile
from fitment.engine.car import FRONT, REAR, CarView, car_view
from fitment.engine.model import CornerAnswer
from fitment.engine.words import corner_sentence, worst_place
from fitment.models import CORNER_NAMES, RoomCheck
from fitment.plots import CannotPlot, asked
from fitment.room_page import drawn


@dataclass(frozen=True)
class CornerTile:
    """One corner: its drawing, its verdict, and what decides it."""

    corner: str
    name: str
    answer: CornerAnswer
    sentence: str
    place: str
    drawing: SafeString


def car_page(check: RoomCheck) -> dict[str, Any]:
    """Context of the page; drawings are those that were kept with the check."""
    answer = checkfile.answer_load(check.answer)
    corners = [
        CornerTile(
            corner=name,
            name=CORNER_NAMES[name],
            answer=answer.corners[name],
            sentence=corner_sentence(name, answer.corners[name]),
            place=worst.place if (worst := worst_place(answer.corners[name])) else "",
            drawing=drawn(check, name)[0],
        )
        for name in CORNER_NAMES
        if name in answer.corners
    ]
    context: dict[str, Any] = {"check": check, "order": check.order, "corners": corners}
    try:
        view = car_view(asked(check), answer)
    except CannotPlot as cannot:
        return context | {"cannot": str(cannot)}
    missing = [CORNER_NAMES[name] for name in view.missing]
    return context | {"view": view, "pairs": _pairs(view), "missing_names": missing}


def _pairs(view: CarView) -> list[dict[str, Any]]:
    """Tyres that stand beside each other, in words, with the difference in per cent."""
    words = {FRONT: "front axle", REAR: "rear axle"} | CORNER_NAMES
    return [
        {
            "names": " against ".join(words[name] for name in pair.names),
            "one": pair.circumference_mm[0],
            "other": pair.circumference_mm[1],
            "percent": 100 * (pair.ratio - 1),
            "ratio": pair.ratio,
        }
        for pair in view.tyres
    ]
