"""What was found out about one spot of a car model's corner, as plain frozen data.

``predicted_mm`` is always the clearance that the engine states with nothing learned, and
``sigma_mm`` what the job itself is uncertain by (tyre, wheel, height, limits, settings, load).
"""

from __future__ import annotations

import math
from dataclasses import dataclass

#: How many of the customers whose car touches tell the shop, in the long run; a judgement.
REPORTING = 0.7
#: Kilometres after which 1 − 1/e of those have told it; a judgement.
REPORTED_KM = 1500.0


@dataclass(frozen=True)
class Prior:
    """What is known of a spot before any job: standard uncertainty of the survey there, the usual
    difference between cars (both above zero), and ``reporting``, the share of customers who tell
    of a contact in the long run."""

    survey_sigma_mm: float
    between_cars_mm: float
    reporting: float = REPORTING

    def __post_init__(self) -> None:
        _refuse_unless(0 < self.survey_sigma_mm < math.inf, "survey_sigma_mm", "above zero")
        _refuse_unless(0 < self.between_cars_mm < math.inf, "between_cars_mm", "above zero")
        _refuse_unless(0 <= self.reporting <= 1, "reporting", "a share from 0 to 1")


@dataclass(frozen=True)
class Gap:
    """A gap that was read, ± ``sigma_mm``."""

    gap_mm: float
    sigma_mm: float


@dataclass(frozen=True)
class Looked:
    """The spot was looked at after driving, and it had ``touched`` or not."""

    touched: bool


@dataclass(frozen=True)
class Silent:
    """Handed over, and no complaint after so many kilometres."""

    km: float

    def told_share(self, reporting: float) -> float:
        """Share of the customers whose car touches that would have told by now."""
        return -reporting * math.expm1(-self.km / REPORTED_KM)


@dataclass(frozen=True)
class Observation:
    """One thing found out on one car. ``sigma_mm`` may be zero only where a gap's own is not.

    Raises ValueError for figures that make no sense, with the name of the field.
    """

    car: str
    predicted_mm: float
    sigma_mm: float
    found: Gap | Looked | Silent

    def __post_init__(self) -> None:
        _refuse_unless(math.isfinite(self.predicted_mm), "predicted_mm", "a finite number")
        _refuse_unless(0 <= self.sigma_mm < math.inf, "sigma_mm", "zero or more")
        if isinstance(self.found, Gap):
            _refuse_unless(math.isfinite(self.found.gap_mm), "gap_mm", "a finite number")
            _refuse_unless(0 <= self.found.sigma_mm < math.inf, "gap_sigma_mm", "zero or more")
        elif isinstance(self.found, Silent):
            _refuse_unless(0 <= self.found.km < math.inf, "silent_km", "zero or more")
        _refuse_unless(self.variance_mm2 > 0, "sigma_mm", "above zero")

    @property
    def variance_mm2(self) -> float:
        """Variance of what was found about this car's clearance there, mm²."""
        own = self.found.sigma_mm if isinstance(self.found, Gap) else 0.0
        return self.sigma_mm**2 + own**2


@dataclass(frozen=True)
class NextJob:
    """A job to come at this spot: its clearance with nothing learned, ± what is the job's own."""

    predicted_mm: float
    sigma_mm: float


@dataclass(frozen=True)
class Question:
    """Everything known of one spot, and the jobs that one wants to know about."""

    prior: Prior
    observations: tuple[Observation, ...] = ()
    jobs: tuple[NextJob, ...] = ()


def _refuse_unless(holds: bool, field: str, wanted: str) -> None:
    if not holds:
        raise ValueError(f"{field} should be {wanted}")
