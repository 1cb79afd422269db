"""What the observations of each car say about the model's error on that car, put into arrays.

On car k the model errs by u: the survey's error, shared, and the car's own. Given u, a car's
observations are independent. Its gaps together are one normal reading of u. Everything else says
a + (1 − a) Φ(sign · (m + u) / t): touched with sign −1 and a = 0, not touched with sign +1 and
a = 0, silent with sign +1 and a = 1 − ρ, where ρ is the share that would have told.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from alignment.geometry.frames import Array, Index
from fitment.engine.learning.evidence import Gap, Looked, Observation, Silent
from fitment.engine.learning.normal import log_cdf


@dataclass(frozen=True)
class Cars:
    """Evidence of k cars. ``precision`` (k,) and ``read_mm`` (k,): the normal reading of u that the
    gaps of each amount to, 0 and 0 where none was read. The others are (k, n), as many as the car
    with the most has: ``edge_mm`` the u at which the clearance is nothing, ``sign``, ``sigma_mm``
    and ``log_share`` = log a; a car with fewer has blanks that say nothing, with a = 1."""

    precision: Array
    read_mm: Array
    edge_mm: Array
    sign: Array
    sigma_mm: Array
    log_share: Array

    @property
    def counts(self) -> Index:
        """How many observations of each car are not gaps."""
        return np.asarray((self.log_share < 0).sum(axis=1), np.intp)

    def at(self, which: Index) -> Cars:
        """Some of them, with no more columns than those need."""
        most = int(self.counts[which].max(initial=0))
        wide = (self.edge_mm, self.sign, self.sigma_mm, self.log_share)
        return Cars(
            self.precision[which], self.read_mm[which], *(one[which, :most] for one in wide)
        )

    def log_said(self, u: Array, sigma_mm: Array) -> Array:
        """Logarithm (k, n) of what all but the gaps say of errors ``u`` (k, n), with the given
        uncertainties (k, observations) in place of their own."""
        total = np.zeros(u.shape)
        for j in range(self.edge_mm.shape[1]):
            slope = (self.sign[:, j] / sigma_mm[:, j])[:, None]
            total += said(slope * (u - self.edge_mm[:, j, None]), self.log_share[:, j, None])
        return total


def said(z: Array, log_share: Array) -> Array:
    """log(a + (1 − a) Φ(z)), for a given by its logarithm (rows, 1), rows by rows."""
    found = log_cdf(z)
    bare = np.isneginf(log_share[:, 0])
    if bare.all():
        return found
    with np.errstate(divide="ignore"):
        rest = np.log(-np.expm1(log_share))
    mixed = ~bare
    found[mixed] = np.logaddexp(log_share[mixed], rest[mixed] + found[mixed])
    return found


def cars_of(observations: Iterable[Observation], reporting: float) -> tuple[list[str], Cars]:
    """The cars' names in order of appearance, and their evidence."""
    by_car: dict[str, list[Observation]] = {}
    for one in observations:
        by_car.setdefault(one.car, []).append(one)
    gaps = [[o for o in rows if isinstance(o.found, Gap)] for rows in by_car.values()]
    rest = [[o for o in rows if _tells(o, reporting)] for rows in by_car.values()]
    precision, read = np.array([_read(rows) for rows in gaps]).reshape(-1, 2).T
    edge, sign, sigma, share = _columns(rest, reporting)
    return list(by_car), Cars(precision, read, edge, sign, sigma, share)


def _read(gaps: Sequence[Observation]) -> tuple[float, float]:
    """Precision and mean of u as the gaps of one car read it."""
    weights = [1.0 / one.variance_mm2 for one in gaps]
    off = [one.found.gap_mm - one.predicted_mm for one in gaps if isinstance(one.found, Gap)]
    whole = sum(weights)
    mean = sum(w * d for w, d in zip(weights, off, strict=True)) / whole if gaps else 0.0
    return whole, mean


def _tells(one: Observation, reporting: float) -> bool:
    """Whether it is no gap and says anything: silence does not before the first kilometre."""
    if isinstance(one.found, Silent):
        return one.found.told_share(reporting) > 0
    return isinstance(one.found, Looked)


def _columns(rows: Sequence[Sequence[Observation]], reporting: float) -> list[Array]:
    most = max(map(len, rows), default=0)
    blank = (0.0, 1.0, 1.0, 0.0)
    table = np.array(
        [[_row(one, reporting) for one in car] + [blank] * (most - len(car)) for car in rows]
    )
    return list(np.moveaxis(table.reshape(len(rows), most, len(blank)), -1, 0))


def _row(one: Observation, reporting: float) -> tuple[float, float, float, float]:
    """Edge, sign, uncertainty and log a of an observation that is no gap."""
    if isinstance(one.found, Looked):
        return -one.predicted_mm, -1.0 if one.found.touched else 1.0, one.sigma_mm, -np.inf
    if isinstance(one.found, Gap):
        raise TypeError("a gap has no edge")
    share = one.found.told_share(reporting)
    log_share = float(np.log1p(-share)) if share < 1 else -np.inf
    return -one.predicted_mm, 1.0, one.sigma_mm, log_share
