"""When evidence is enough to propose a new version of a survey, and what it would change.

Always from the survey as it was measured and all evidence: what an accepted version had learned is
what the proposal is held against, never what it starts from, so that nothing counts twice.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from fitment.engine.learning.evidence import NextJob, Observation, Prior, Question
from fitment.engine.learning.posterior import Density, Posterior, posterior
from fitment.engine.model import Learned
from fitment.engine.uncertainty.touching import below_zero

#: A chance of touching that moves by so much, or an uncertainty that shrinks to so much of itself,
#: is worth a manager's look.
MOVED, NARROWED = 0.1, 0.75


@dataclass(frozen=True)
class Moved:
    """What the check of a job says of the spot now, and would say: its chance of touching."""

    job: NextJob
    before: float
    after: float

    @property
    def by(self) -> float:
        return self.after - self.before


@dataclass(frozen=True)
class Proposal:
    """What evidence would make of a spot. ``in_force`` is what checks go by at present;
    ``moved`` are the jobs asked about, in their order."""

    in_force: Learned
    learned: Learned
    moved: tuple[Moved, ...]
    posterior: Posterior

    @property
    def spot_sigma_mm(self) -> tuple[float, float]:
        """What the spot puts into a check's uncertainty, survey and cars together: now and then."""
        return spot_sigma(self.in_force), spot_sigma(self.learned)

    @property
    def most_moved(self) -> float:
        """The largest change of any job's chance, without its sign."""
        return max((abs(one.by) for one in self.moved), default=0.0)

    @property
    def is_due(self) -> bool:
        """Whether it changes enough to be put to the manager."""
        before, after = self.spot_sigma_mm
        return self.most_moved >= MOVED or after <= NARROWED * before

    @property
    def prior_density(self) -> Density:
        """The survey's error before any evidence, for drawing beside that of the posterior."""
        return posterior(Question(self.posterior.question.prior)).density


def proposal(
    prior: Prior,
    observations: Sequence[Observation],
    jobs: Sequence[NextJob],
    in_force: Learned | None = None,
) -> Proposal:
    """What all evidence makes of a spot whose survey was measured to ``prior``.

    ``jobs`` are open orders and those of the last twelve months, their clearances with nothing
    learned; ``in_force`` is what the present version of the survey carries, None for none. Raises
    DoesNotSettle as the posterior does.
    """
    found = posterior(Question(prior, tuple(observations), tuple(jobs)))
    learned, now = found.learned, in_force or as_measured(prior)
    moved = (Moved(job, check_chance(now, job), check_chance(learned, job)) for job in jobs)
    return Proposal(now, learned, tuple(moved), found)


def as_measured(prior: Prior) -> Learned:
    """What a check goes by while nothing is learned."""
    return Learned(0.0, prior.survey_sigma_mm, prior.between_cars_mm)


def spot_sigma(learned: Learned) -> float:
    """Standard uncertainty (mm) that a spot has of its own in a check."""
    return math.hypot(learned.sigma_mm, learned.between_cars_mm)


def check_chance(learned: Learned, job: NextJob) -> float:
    """Chance of touching as a check with that version of the survey states it."""
    sigma = math.hypot(spot_sigma(learned), job.sigma_mm)
    return below_zero(job.predicted_mm + learned.shift_mm, sigma)
