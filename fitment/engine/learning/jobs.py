"""From what is on record of a job to the observations that count.

A job gives a spot any number of gaps, and of looking and silence the strongest that it has: it
touched, it was looked at and had not touched, no complaint. A comeback whose cause was no contact
at this spot gives none, and neither does what was left out.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from fitment.engine.learning.evidence import Gap, Looked, Observation, Silent


@dataclass(frozen=True)
class Finding:
    """One thing on record of a job at a spot: a gap, a mark or a road test that was looked at, a
    comeback that was examined, or silence. ``source`` names the record, for links and counting.

    ``predicted_mm`` ± ``sigma_mm``: the engine's clearance with nothing learned, at the pose of a
    gap, or the smallest that the job's use visits; the sigma is the job's own. ``other_cause``:
    examined, and the cause was no contact here. ``left_out``: why a manager left it out.
    """

    source: str
    car: str
    job: str
    predicted_mm: float
    sigma_mm: float
    found: Gap | Looked | Silent
    other_cause: bool = False
    left_out: str = ""

    @property
    def counts(self) -> bool:
        """Whether it may say anything at all."""
        return not self.other_cause and not self.left_out

    @property
    def observation(self) -> Observation:
        """Raises ValueError for figures that make no sense, with the name of the field."""
        return Observation(self.car, self.predicted_mm, self.sigma_mm, self.found)


@dataclass(frozen=True)
class Evidence:
    """Findings of one spot: those that count, in order, and the sources of those that do not
    because their job has stronger evidence."""

    findings: tuple[Finding, ...]
    weaker: tuple[str, ...]

    @property
    def observations(self) -> tuple[Observation, ...]:
        """What the posterior goes by."""
        return tuple(one.observation for one in self.findings)


def evidence_of(findings: Iterable[Finding]) -> Evidence:
    """What of some findings counts. The same source twice counts once.

    Raises ValueError where two findings of one source differ.
    """
    by_source: dict[str, Finding] = {}
    for one in findings:
        if by_source.setdefault(one.source, one) != one:
            raise ValueError(f"two different findings of {one.source}")
    able = [one for one in by_source.values() if one.counts]
    strongest: dict[tuple[str, str], Finding] = {}
    for one in able:
        if not isinstance(one.found, Gap):
            key = (one.car, one.job)
            best = strongest.get(key)
            if best is None or _strength(one) > _strength(best):
                strongest[key] = one
    kept = {one.source for one in strongest.values()}
    kept |= {one.source for one in able if isinstance(one.found, Gap)}
    return Evidence(
        tuple(one for one in able if one.source in kept),
        tuple(one.source for one in able if one.source not in kept),
    )


def _strength(one: Finding) -> tuple[int, float]:
    """Touched above not touched above silent. Of two alike the one that is less expected: the
    touch with more clearance predicted, the look with less, the longer silence."""
    if isinstance(one.found, Silent):
        return 0, one.found.km
    if isinstance(one.found, Looked):
        return (2, one.predicted_mm) if one.found.touched else (1, -one.predicted_mm)
    raise TypeError("gaps do not stand for one another")
