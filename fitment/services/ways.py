"""What the same camber would leave if other means made it: asked where a corner does not clear."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from alignment.geometry.linkage import Unreachable
from alignment.geometry.model import CAMBER_MEANS, CURVES, LINKS, Suspension
from fitment.engine.check import run
from fitment.engine.model import CLEAR, TIGHT, Answer, Check, Corner, CornerAnswer
from fitment.engine.words import place_sentence, reach_sentence, worst_place

GOOD = (CLEAR, TIGHT)


def ways_by_means(check: Check, answer: Answer) -> dict[str, list[dict[str, Any]]]:
    """By corner that does not clear or is out of reach, the outcome of every other means.

    Each outcome holds ``means``, ``verdict`` (or "out of reach") and ``sentence``.
    """
    ways: dict[str, list[dict[str, Any]]] = {}
    for name, one in answer.corners.items():
        corner = check.corners[name]
        if corner.planned.camber_by is None or (one.verdict in GOOD and not one.out_of_reach):
            continue
        found = [_way(check, name, means) for means in other_means(corner)]
        ways[name] = [way for way in found if way is not None]
    return ways


def other_means(corner: Corner) -> list[str]:
    """The means of camber that a corner offers beside the planned one."""
    return [name for name in means_of(corner.suspension) if name != corner.planned.camber_by]


def means_of(suspension: Suspension) -> list[str]:
    """All means of camber of a suspension, as ``camber_by`` names them."""
    if suspension.kind == LINKS:
        return [f"rod:{rod.name}" for rod in suspension.links if not rod.toe]
    if suspension.kind == CURVES:
        return list(suspension.camber_pivots)
    return list(CAMBER_MEANS[suspension.kind])


def _way(check: Check, name: str, means: str) -> dict[str, Any] | None:
    corner = check.corners[name]
    planned = replace(corner.planned, camber_by=means)
    question = replace(check, corners={name: replace(corner, planned=planned)})
    try:
        one = run(question).corners[name]
    except Unreachable:
        return None
    return {"means": means, "verdict": _word(one), "sentence": _sentence(one)}


def _sentence(one: CornerAnswer) -> str:
    worst = worst_place(one)
    said = [place_sentence(worst)] if worst else []
    return " ".join([*said, *(reach_sentence(short) for short in one.out_of_reach)])


def _word(one: CornerAnswer) -> str:
    return "out of reach" if one.out_of_reach and one.verdict in GOOD else one.verdict
