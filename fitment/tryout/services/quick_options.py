"""Options beside a clearance check: the search of the try-out, asked for what lies nearest.

Camber method, spacer and tyre may change, within the job's own limits; camber, height, packers
and wheels are left to a search that is asked for.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from alignment.geometry.adjuster_units import camber_method as method_told
from alignment.geometry.linkage import Unreachable
from common.message import Message, message, message_dump
from common.verdicts import GateResult, reached
from fitment.engine.check import corner_answer
from fitment.engine.deciding import worst_spot
from fitment.engine.findings import finding, reach
from fitment.engine.minimum.setting import setting_of
from fitment.engine.model import Answer, Check, Corner, CornerAnswer, Duty
from fitment.engine.search.model import axles_of
from fitment.engine.search.options import options
from fitment.job.car import Car
from fitment.tryout.limits import limits_of
from fitment.tryout.services.results import few_of, row_of, ruled_out_rows
from fitment.tryout.services.trial import set_up_of
from fitment.tryout.space import names_of, question_for
from fitment.tryout.tables import Tables

#: What may change beside a check, and how much work that may be.
MAY = ("camber_method", "spacer", "tyre", "lips")
FEW, MOST_JUDGED = 3, 24


def options_to_clear(car: Car | None, question: Check, answer: Answer) -> dict[str, dict[str, Any]]:
    """By corner that does not clear or is out of reach, what was found.

    ``camber_method`` lists what the same camber comes to set in every other way, ``found`` options
    for the axle as rows, ``ruled_out`` what fell; ``complete`` tells whether all was looked at.
    Both sides of an axle are changed alike.
    """
    found: dict[str, dict[str, Any]] = {}
    for axle, corners in axles_of(question).items():
        stuck = [name for name in corners if _is_stuck(answer.corners[name])]
        if not stuck or car is None:
            continue
        searched = _searched(car, axle, corners, question.duty)
        seen: list[tuple[Corner, list[dict[str, Any]]]] = []
        for name in stuck:
            camber_method = next((rows for twin, rows in seen if twin == corners[name]), None)
            if camber_method is None:
                camber_method = _other_camber_methods(name, corners[name], question.duty)
                seen.append((corners[name], camber_method))
            found[name] = {**searched, "camber_method": camber_method}
    return found


def _is_stuck(one: CornerAnswer) -> bool:
    return not one.verdict.clears or bool(one.out_of_reach)


def _searched(car: Car, axle: str, corners: Mapping[str, Corner], duty: Duty) -> dict[str, Any]:
    """The search itself; nothing where the order's rows no longer make a set-up."""
    set_up = set_up_of(car, axle)
    if set_up is None:
        return {"found": [], "ruled_out": [], "complete": False}
    around = limits_of(car, set_up)
    asked = {name: value for name, value in around.items() if name.startswith("diameter")}
    question = question_for(corners, duty, car, set_up, {"may": MAY, **asked})
    found = options(replace(question, few=FEW, most_judged=MOST_JUDGED))
    names = names_of(question.space)
    tables = Tables(car.car_model, axle)
    rows = [row_of(option, question, names, set_up, tables) for option in found.options]
    shown = [row for row in few_of(rows, question.aims, FEW) if row["shown"]]
    return {
        "found": shown,
        "ruled_out": ruled_out_rows(found.ruled_out),
        "candidates": found.candidates,
        "complete": found.complete,
    }


def _other_camber_methods(name: str, corner: Corner, duty: Duty) -> list[dict[str, Any]]:
    """What the same camber comes to set in every other way, with nothing else changed."""
    by = corner.planned.camber_by
    rows = []
    for camber_method in corner.suspension.camber_methods if by else ():
        if camber_method == by:
            continue
        planned = replace(corner.planned, camber_by=camber_method)
        try:
            one = corner_answer(setting_of(name, replace(corner, planned=planned), duty))
        except Unreachable:
            continue
        change = message("option.same-camber", by=method_told(camber_method))
        rows.append(
            {
                "changes_told": message_dump(change),
                "verdict": _word(one),
                "told": [message_dump(told) for told in _told(one)],
            }
        )
    return rows


def _told(one: CornerAnswer) -> list[Message]:
    worst = worst_spot(one)
    told = [finding(worst)] if worst else []
    return [*told, *(reach(short) for short in one.out_of_reach)]


def _word(one: CornerAnswer) -> GateResult:
    return reached(one.verdict, not one.out_of_reach)
