"""What a road test says against the clearance check that the car went out with."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import TYPE_CHECKING, Any

from alignment.text.render import render
from common.corners import CORNER_NAMES
from common.message import Message, message
from common.verdicts import Verdict
from fitment.engine import checkfile
from fitment.engine.defaults import MAY_TOUCH
from fitment.engine.model import Answer, SpotAnswer

if TYPE_CHECKING:
    from shop.models import WorkOrder

#: A gap is the smallest over the use only by chance: only one that is smaller by more than so
#: many standard uncertainties of the prediction speaks against it.
GAP_SIGMAS = 2.0
Mark = Mapping[str, Any]


def road_test_against_check(
    order: WorkOrder, tried: Mapping[str, str], marks: Sequence[Mapping[str, Any]]
) -> list[str]:
    """A sentence for each thing that the newest check and this road test say differently.

    ``tried`` gives what was found at ``lock_left``, ``lock_right``, ``dip`` and ``loaded``;
    ``marks`` have ``corner``, ``place``, ``contact`` and ``gap_mm``.
    """
    checks = order.clearance_checks.defer("inputs", "scenes")
    check = next((one for one in checks if one.answer), None)
    if check is None:
        return []
    answer = checkfile.answer_load(check.answer)
    found = [*_no_contact_found(answer, tried, marks)]
    for mark in marks:
        found += _at_a_spot(answer, mark)
    return [render(one) for one in found]


def _no_contact_found(
    answer: Answer, tried: Mapping[str, str], marks: Sequence[Mark]
) -> Iterator[Message]:
    """Contact predicted, and a whole road test without any."""
    driven = [tried.get(name) for name in ("lock_left", "lock_right", "dip")]
    touched = any(mark["contact"] for mark in marks) or tried.get("loaded") == "touched"
    if touched or any(outcome != "quiet" for outcome in driven):
        return
    for corner, spot in _spots(answer):
        if spot.verdict == Verdict.CONTACT:
            yield message(
                "road-test.no-contact",
                corner=message(f"corner.{corner}"),
                spot=spot.place,
                overlap_mm=-spot.clearance_mm,
            )


def _at_a_spot(answer: Answer, mark: Mark) -> Iterator[Message]:
    corner, place = mark["corner"], str(mark["place"])
    if corner not in answer.corners:
        return
    about = {"corner": message(f"corner.{corner}"), "spot": place}
    spot = next((one for c, one in _spots(answer) if c == corner and _same(one, place)), None)
    if spot is None:
        if mark["contact"] and answer.corners[corner].verdict in (Verdict.CLEAR, Verdict.TIGHT):
            yield message("road-test.unknown-spot", **about)
        return
    if spot.verdict == Verdict.UNMEASURED:
        return
    if mark["contact"] and spot.touch_chance < MAY_TOUCH:
        yield message("road-test.touched", **about, gap_mm=spot.clearance_mm)
    gap = mark.get("gap_mm")
    if gap is not None and gap < spot.clearance_mm - GAP_SIGMAS * spot.sigma_mm:
        yield message("road-test.gap", **about, read_mm=gap, gap_mm=spot.clearance_mm)


def _same(spot: SpotAnswer, place: str) -> bool:
    return spot.place.casefold() == place.strip().casefold()


def _spots(answer: Answer) -> Iterator[tuple[str, SpotAnswer]]:
    for corner in CORNER_NAMES:
        if corner in answer.corners:
            for spot in answer.corners[corner].places:
                yield corner, spot
