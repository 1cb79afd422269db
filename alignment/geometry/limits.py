"""Limits that a law sets for what an axle may read.

A limit is the document's; whether it holds for a car, a place and a use is for local law.
"""

from __future__ import annotations

from dataclasses import dataclass

from alignment.geometry.readings import COVERAGE, accuracy_to_sigma


@dataclass(frozen=True)
class Rule:
    """A sentence of a document that sets a limit, in our words."""

    document: str
    words: str
    factor: float


#: The limit of the United States for vehicles in use; it stands among the rules for steering.
TOE_IN_SERVICE = Rule(
    "49 CFR 570.7(d)", "toe not greater than 1.5 times the vehicle maker's value", 1.5
)


@dataclass(frozen=True)
class ToeJudged:
    """An axle's total toe against the limit, degrees.

    ``expanded_deg`` is the reading's expanded uncertainty.
    """

    rule: Rule
    total_deg: float
    limit_deg: float
    expanded_deg: float

    @property
    def is_beyond(self) -> bool:
        return abs(self.total_deg) > self.limit_deg + 1e-9

    @property
    def is_told(self) -> bool:
        """Whether the rack can tell the reading from the limit."""
        return abs(abs(self.total_deg) - self.limit_deg) > self.expanded_deg


def toe_in_service(
    total_deg: float,
    maker_deg: float,
    maker_tolerance_deg: float = 0.0,
    accuracy_deg: float = 0.0,
    readings: int = 2,
) -> ToeJudged | None:
    """Total toe against 49 CFR 570.7(d); None where the maker lists nothing to multiply.

    The maker's value is taken at the end of the listed range that lies farther from zero, and
    toe-in and toe-out are held against it alike. ``readings`` is how many of the rack's readings
    the total comes from.
    """
    listed = abs(maker_deg) + maker_tolerance_deg
    if listed <= 0:
        return None
    uncertainty = COVERAGE * readings**0.5 * accuracy_to_sigma(accuracy_deg)
    return ToeJudged(TOE_IN_SERVICE, total_deg, TOE_IN_SERVICE.factor * listed, uncertainty)
