"""Answers of the engine in older shapes."""

from __future__ import annotations

from common.verdicts import Verdict
from fitment.models.upgrades.messages import Document, Row, verbatim


def with_hub_effects_and_shift(answer: Document) -> Document:
    """Version 1 came before hub position, effects of adjusters, and gaps read on this car."""
    corners = {
        name: {
            "seat": None,
            "levers": [],
            **corner,
            "places": [{"shift_mm": 0.0, **place} for place in corner["places"]],
        }
        for name, corner in answer.get("corners", {}).items()
    }
    return {**answer, "corners": corners} if answer else {}


def answer_in_messages(answer: Document) -> Document:
    corners = {
        name: {
            **corner,
            "uncovered": [verbatim(reason) for reason in corner["uncovered"]],
            "notes": [verbatim(note) for note in corner["notes"]],
            "places": [
                {**place, "note": verbatim(place["note"]) if place["note"] else None}
                for place in corner["places"]
            ],
        }
        for name, corner in answer.get("corners", {}).items()
    }
    return {**answer, "corners": corners} if answer else {}


def with_loads_and_what_was_measured(answer: Document) -> Document:
    """Version 3 knew one load, and gave a spot that was not measured a clearance and a chance."""
    corners = {
        name: {**corner, "places": [_place_with_load(place) for place in corner["places"]]}
        for name, corner in answer.get("corners", {}).items()
    }
    return {**answer, "corners": corners} if answer else {}


def _place_with_load(place: Row) -> Row:
    measured = place["verdict"] != Verdict.UNMEASURED
    loaded = {**place, "load": "outside" if place["at"]["loaded"] else "", "measured": measured}
    if measured:
        return {**loaded, "supposed_mm": None}
    unknown = ("clearance_mm", "certified_mm", "sigma_mm", "touch_chance")
    supposed = {"supposed_mm": place["clearance_mm"], "doubt": []}
    return {**loaded, **supposed, **dict.fromkeys(unknown)}
