"""Arch lips folded flat: the variant of a surveyed lip that a plan asks for.

A turned-in lip meets the tyre with its inner end. Rolled, that end lies behind the edge that one
sees, less the sheets folded on one another. Millimetres.
"""

from __future__ import annotations

from dataclasses import replace

from alignment.geometry.model import Planned
from common.message import Message, message
from fitment.engine import defaults
from fitment.engine.model import Corner, Feature, SurveyPoint


def moves_out_mm(feature: Feature) -> float:
    """How far rolling takes a lip outboard; 0 where it hardly turns in or not at all."""
    return max(0.0, (feature.turned_in_mm or 0.0) - defaults.ROLLED_FLANGE_MM)


def is_rolled(feature: Feature, planned: Planned) -> bool:
    """Whether a plan changes this feature."""
    return planned.rolled_lips and moves_out_mm(feature) > 0.0


def as_planned(feature: Feature, planned: Planned) -> Feature:
    """The feature as it is under a plan.

    The whole lip moves, its visible edge with it where the points hold both: that edge never comes
    nearer than the inner end, whose place the fold takes.
    """
    if not is_rolled(feature, planned):
        return feature
    out = moves_out_mm(feature)
    return replace(
        feature,
        points=tuple(
            SurveyPoint(p.clock_deg, p.radius_mm, p.axial_mm + out) for p in feature.points
        ),
        xyz_mm=tuple((x, y + out, z) for x, y, z in feature.xyz_mm),
    )


def rolling_notes(corner: Corner) -> list[Message]:
    """What an answer has to tell of lips that are planned to be rolled; nothing without any."""
    if not corner.planned.rolled_lips:
        return []
    rolled = [f for f in corner.survey.features if moves_out_mm(f) > 0]
    if not rolled:
        return [message("note.no-lip-to-roll")]
    return [
        message(
            "note.lip-rolled",
            spot=feature.place,
            turned_in_mm=feature.turned_in_mm,
            left_mm=defaults.ROLLED_FLANGE_MM,
        )
        for feature in rolled
    ]
