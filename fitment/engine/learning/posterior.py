"""The survey's error at a spot and the difference between cars there, given all evidence.

Two dimensions, integrated on a grid: s, the error of the survey that all cars of the model share,
N(0, σ²) beforehand, and τ, whose logarithm is known beforehand to SPREAD_OF_SPREAD about that of
the usual difference. The grid closes in on where the density is; nothing is sampled. A clearance
is the engine's, plus s, plus the car's own difference, plus the job's own error. Millimetres.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from alignment.geometry.frames import Array
from fitment.engine.defaults import SPREAD_OF_SPREAD
from fitment.engine.learning.cars import Cars, cars_of
from fitment.engine.learning.evidence import NextJob, Question
from fitment.engine.learning.marginal import error_given, log_evidence
from fitment.engine.learning.normal import cdf
from fitment.engine.model import Learned

#: Nodes over s and over τ: while the grid closes in, and at last.
COARSE, FINE = (33, 11), (41, 21)
#: The grid holds all densities down to this one, as the exponent of e below the greatest.
DROP = 25.0
#: The grid is close enough once such a share of its nodes along both axes holds them.
HELD = 0.45
#: Prior standard deviations of s and of ln τ that the first grid holds, and the most times that it
#: is drawn anew; after so many turns without an end its nodes are doubled.
FIRST_SHIFT, FIRST_SPREAD, MOST_TURNS, PATIENCE = 6.0, 4.0, 30, 10
#: Places of the density between two nodes, for the interval and for drawing.
BETWEEN_NODES = 64
INTERVAL = 0.9

Box = tuple[tuple[float, float], tuple[float, float]]


class DoesNotSettle(ArithmeticError):
    """The evidence contradicts itself so much that no grid holds its density."""


@dataclass(frozen=True)
class Density:
    """A density per mm (n,) over the survey's error ``shift_mm`` (n,)."""

    shift_mm: Array
    per_mm: Array


@dataclass(frozen=True)
class Posterior:
    """Chances ``weight`` (m, n) of the nodes: s = ``shift`` (n,), τ = ``between`` (m,); mm."""

    question: Question
    shift: Array
    between: Array
    weight: Array

    @property
    def shift_mm(self) -> float:
        """Mean of the survey's error: what is to be added to the engine's clearance."""
        return self._mean(self.shift)

    @property
    def sigma_mm(self) -> float:
        """Standard deviation of the survey's error."""
        return float(np.sqrt(self._mean((self.shift - self.shift_mm) ** 2)))

    @property
    def between_cars_mm(self) -> float:
        """Mean of the standard deviation between cars."""
        return self._mean(self.between[:, None])

    @property
    def interval_mm(self) -> tuple[float, float]:
        """The equal-tailed interval that holds the survey's error with a chance of INTERVAL."""
        return self.quantile((1 - INTERVAL) / 2), self.quantile((1 + INTERVAL) / 2)

    @cached_property
    def density(self) -> Density:
        """Density of the survey's error, cubic in its logarithm between the nodes."""
        with np.errstate(divide="ignore"):
            logs = np.log(self.weight.sum(axis=0))
        at, between = _cubic(np.maximum(logs, logs.max() - 700.0))
        place = self.shift[0] + at * (self.shift[1] - self.shift[0])
        density = np.exp(between - between.max())
        return Density(place, density / np.trapezoid(density, place))

    def quantile(self, chance: float) -> float:
        """The error below which the survey's lies with some chance, mm."""
        one = self.density
        steps = np.diff(one.shift_mm) * (one.per_mm[1:] + one.per_mm[:-1]) / 2
        below = np.concatenate([[0.0], np.cumsum(steps)])
        return float(np.interp(chance, below / below[-1], one.shift_mm))

    def touch_chance(self, job: NextJob) -> float:
        """Chance that another car's clearance is nothing."""
        spread = np.hypot(self.between, job.sigma_mm)[:, None]
        return self._mean(cdf(-(job.predicted_mm + self.shift) / spread))

    def on_car(self, name: str) -> tuple[float, float]:
        """Mean and standard deviation (mm) of the model's whole error on one car, the survey's and
        its own, given all evidence; a car of which nothing is known is like the next."""
        seen = [one for one in self.question.observations if one.car == name]
        _, car = cars_of(seen, self.question.prior.reporting)
        if not seen:
            spread = self._mean(self.between[:, None] ** 2)
            return self.shift_mm, float(np.hypot(self.sigma_mm, np.sqrt(spread)))
        given = [error_given(car, self.shift, float(between)) for between in self.between]
        mean = self._mean(np.array([one for one, _ in given]))
        square = self._mean(np.array([two for _, two in given]))
        return mean, float(np.sqrt(max(square - mean**2, 0.0)))

    @property
    def learned(self) -> Learned:
        """What a check is to know of it: rides on the spot of a survey."""
        seen = self.question.observations
        return Learned(
            shift_mm=self.shift_mm,
            sigma_mm=self.sigma_mm,
            between_cars_mm=self.between_cars_mm,
            cars=len({one.car for one in seen}),
            observations=len(seen),
        )

    def _mean(self, values: Array) -> float:
        return float(np.sum(self.weight * values))


def posterior(question: Question) -> Posterior:
    """The posterior of everything observed. Raises DoesNotSettle where no grid can hold it."""
    _, cars = cars_of(question.observations, question.prior.reporting)
    prior = question.prior

    def log_density(shift: Array, spreads: Array) -> Array:
        """Logarithm (m, n) over s (n,) and the logarithm of τ in sigmas of its prior (m,)."""
        beforehand = -0.5 * ((shift / prior.survey_sigma_mm) ** 2 + spreads[:, None] ** 2)
        between = prior.between_cars_mm * np.exp(SPREAD_OF_SPREAD * spreads)
        said = np.array([log_evidence(cars, shift, float(tau)) for tau in between])
        return np.asarray(beforehand + said)

    box, finer = _close(log_density, _first_box(question, cars))
    shift, spreads = _grid(box, FINE, finer)
    logs = log_density(shift, spreads)
    weight = np.exp(logs - logs.max())
    between = prior.between_cars_mm * np.exp(SPREAD_OF_SPREAD * spreads)
    return Posterior(question, shift, between, weight / weight.sum())


def _first_box(question: Question, cars: Cars) -> Box:
    """Where the density surely is: between the prior's mean and the farthest that any observation
    could pull it."""
    told = cars.log_share < 0
    pulls = np.concatenate([[0.0], cars.read_mm[cars.precision > 0], cars.edge_mm[told]])
    margin = FIRST_SHIFT * question.prior.survey_sigma_mm
    return (float(pulls.min()) - margin, float(pulls.max()) + margin), (-FIRST_SPREAD, FIRST_SPREAD)


def _grid(box: Box, nodes: tuple[int, int], finer: int) -> tuple[Array, Array]:
    sides = zip(box, nodes, strict=True)
    first, second = (np.linspace(*side, (count - 1) * finer + 1) for side, count in sides)
    return first, second


def _close(log_density: Callable[[Array, Array], Array], box: Box) -> tuple[Box, int]:
    """The box that the density fills, and how many times finer than usual its grid has to be.

    A box whose edge cuts the density grows, one that is too wide shrinks; a step is kept all
    round, so that nothing between two nodes is lost. Where that finds no end, a narrow ridge lies
    between the nodes, and they are made more.
    """
    for turn in range(MOST_TURNS):
        finer = 2 ** (turn // PATIENCE)
        axes = _grid(box, COARSE, finer)
        logs = log_density(*axes)
        held = logs > logs.max() - DROP
        sides = [_side(axis, held.any(axis=row)) for row, axis in enumerate(axes)]
        if all(done for _, done in sides):
            return box, finer
        box = sides[0][0], sides[1][0]
    raise DoesNotSettle("they contradict each other too much to be learned from together")


def _side(axis: Array, held: Array) -> tuple[tuple[float, float], bool]:
    """The next extent along one axis, and whether the present one will do."""
    first, last = np.flatnonzero(held)[[0, -1]]
    step, width = axis[1] - axis[0], axis[-1] - axis[0]
    low = axis[first] - (step if first else width / 2)
    high = axis[last] + (step if last < len(axis) - 1 else width / 2)
    inside = first > 0 and last < len(axis) - 1
    return (float(low), float(high)), bool(inside and (last - first + 1) >= HELD * len(axis))


def _cubic(values: Array) -> tuple[Array, Array]:
    """Values between nodes one apart, by the cubic through the four nearest: places and values."""
    at = np.linspace(0.0, len(values) - 1.0, (len(values) - 1) * BETWEEN_NODES + 1)
    first = np.clip(np.floor(at).astype(int) - 1, 0, len(values) - 4)
    x = at - first
    parts = (
        -(x - 1) * (x - 2) * (x - 3) / 6,
        x * (x - 2) * (x - 3) / 2,
        -x * (x - 1) * (x - 3) / 2,
        x * (x - 1) * (x - 2) / 6,
    )
    return at, np.asarray(sum(part * values[first + i] for i, part in enumerate(parts)))
