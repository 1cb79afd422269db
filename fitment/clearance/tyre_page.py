"""The tyre of a checked corner in other states: rows of a table, and what they say."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from alignment.geometry.linkage import Unreachable
from fitment.clearance.curve_pages import CannotPlot, asked
from fitment.engine.curves.tyre_states import TyreState, tyre_states
from fitment.engine.deciding import worst_spot
from fitment.engine.minimum.envelope import RestsOnStops
from fitment.engine.model import CornerAnswer, SpotAnswer
from fitment.engine.solid.mounted import BadSection
from fitment.models import ClearanceCheck
from fitment.text.corner_names import corner_said
from fitment.text.render import corner_text, reason_text


@dataclass(frozen=True)
class StateRow:
    """One state: how large the tyre is, and the clearance at every spot, in the check's order."""

    state: TyreState
    places: tuple[SpotAnswer, ...]

    @property
    def tightest(self) -> str:
        """The place that decides."""
        worst = worst_spot(self.state.answer)
        return worst.place if worst else ""


def tyre_page(check: ClearanceCheck, corner: str, answer: CornerAnswer) -> dict[str, Any]:
    """Context of the page. The states are worked out anew from the check's own inputs."""
    context: dict[str, Any] = {
        "check": check,
        "order": check.order,
        "corner": corner,
        "corner_name": corner_said(corner),
        "places": [place.place for place in answer.places],
    }
    try:
        question = asked(check)
        states = tyre_states(corner, question.corners[corner], question.duty)
    except (CannotPlot, Unreachable, RestsOnStops, BadSection) as cannot:
        return context | {"cannot": reason_text(cannot)}
    rows = [StateRow(state, state.answer.places) for state in states]
    least = min(rows, key=lambda row: _clearance(row.state.answer))
    return context | {
        "rows": rows,
        "least": least,
        "sentence": corner_text(corner, least.state.answer),
    }


def _clearance(answer: CornerAnswer) -> float:
    return min((p.spare_mm for p in answer.places), default=0.0)
