"""Shops whose truth is known: what their surveys err by, how their cars differ, what they find."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from fitment.engine.defaults import SPREAD_OF_SPREAD
from fitment.engine.learning.evidence import (
    Gap,
    Looked,
    NextJob,
    Observation,
    Prior,
    Question,
    Silent,
)

PRIOR = Prior(survey_sigma_mm=3.2, between_cars_mm=3.0)


@dataclass(frozen=True)
class Shop:
    """Evidence of one spot with the truth behind it; ``touches``: whether the next job does."""

    question: Question
    error_mm: float
    between_mm: float
    touches: bool


def shop(
    seed: int | tuple[int, ...], cars: int | None = None, between_mm: float | None = None
) -> Shop:
    """A shop drawn from the priors, but for what is given."""
    draw = np.random.default_rng(seed)
    error = draw.normal(0, PRIOR.survey_sigma_mm)
    tau = between_mm or PRIOR.between_cars_mm * np.exp(SPREAD_OF_SPREAD * draw.normal())
    rows = []
    for car in range(cars or int(draw.integers(1, 9))):
        off = error + draw.normal(0, tau)
        rows += [observed(draw, str(car), off) for _ in range(int(draw.integers(1, 4)))]
    job = NextJob(float(draw.uniform(-4, 12)), float(draw.uniform(0.8, 3)))
    clearance = job.predicted_mm + error + draw.normal(0, np.hypot(tau, job.sigma_mm))
    return Shop(Question(PRIOR, tuple(rows), (job,)), error, float(tau), bool(clearance <= 0))


def observed(draw: np.random.Generator, car: str, off_mm: float) -> Observation:
    """What is found on a car on which the survey errs by ``off_mm``."""
    predicted, sigma = float(draw.uniform(-4, 12)), float(draw.uniform(0.8, 3))
    true = predicted + off_mm + draw.normal(0, sigma)
    kind = draw.integers(3)
    found: Gap | Looked | Silent
    if kind == 0:
        found = Gap(float(true + draw.normal(0, 0.7)), 0.7)
    elif kind == 1:
        found = Looked(bool(true <= 0))
    else:
        silent = Silent(float(draw.uniform(200, 9000)))
        told = true <= 0 and draw.random() < silent.told_share(PRIOR.reporting)
        found = Looked(True) if told else silent
    return Observation(car, predicted, sigma, found)


def busy_shop(cars: int, of_each: int) -> Question:
    """Much evidence at one spot."""
    draw = np.random.default_rng(17)
    rows = []
    for car in range(cars):
        off = 1.5 + draw.normal(0, 3)
        rows += [observed(draw, str(car), off) for _ in range(of_each)]
    return Question(PRIOR, tuple(rows))
