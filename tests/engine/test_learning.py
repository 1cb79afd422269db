"""The posterior of a survey's error against closed forms and scipy's integration."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from alignment.geometry.frames import Array
from fitment.engine.defaults import SPREAD_OF_SPREAD
from fitment.engine.learning import marginal, normal
from fitment.engine.learning.evidence import (
    Gap,
    Looked,
    NextJob,
    Observation,
    Prior,
    Question,
    Silent,
)
from fitment.engine.learning.posterior import posterior
from fitment.engine.uncertainty.this_car import error_on_this_car
from tests.engine.simulated_shops import PRIOR, busy_shop, shop
from tests.nights import day_and_night

NEAR_MM = 0.02

MIXED = Question(
    PRIOR,
    (
        Observation("a", 8.1, 1.0, Gap(6.0, 0.7)),
        Observation("b", 4.0, 2.1, Looked(False)),
        Observation("b", 2.0, 2.1, Looked(True)),
        Observation("c", 3.0, 2.1, Silent(5000)),
    ),
    (NextJob(5.0, 2.0),),
)
HARD = {
    "mixed": MIXED,
    "touched against all expectation": Question(
        PRIOR,
        (
            Observation("a", 30.0, 1.0, Looked(True)),
            Observation("a", 28.0, 1.0, Looked(True)),
            Observation("b", 6.0, 1.0, Gap(6.5, 0.7)),
        ),
    ),
    "free against all expectation": Question(
        PRIOR, tuple(Observation("a", -25.0 - i, 0.8, Looked(False)) for i in range(4))
    ),
    "jobs that are sure of themselves": Question(
        PRIOR,
        (
            Observation("a", 3.0, 0.01, Looked(False)),
            Observation("a", 2.0, 0.01, Looked(True)),
            Observation("b", -1.0, 0.01, Looked(True)),
            Observation("b", 0.0, 0.01, Silent(4000)),
        ),
    ),
    "a gap that is sure of itself": Question(
        PRIOR,
        (
            Observation("a", 3.0, 0.0, Gap(1.0, 0.001)),
            Observation("a", 4.0, 2.0, Looked(True)),
            Observation("a", 5.0, 2.0, Silent(4000)),
        ),
    ),
    "all who touch tell": Question(
        replace(PRIOR, reporting=1.0), (Observation("a", -2.0, 1.0, Silent(1e6)),)
    ),
    "hardly any difference between cars": Question(
        Prior(3.2, 0.05),
        (
            Observation("a", 3.0, 2.0, Looked(True)),
            Observation("a", 1.0, 2.0, Looked(False)),
            Observation("b", 4.0, 2.0, Looked(True)),
        ),
    ),
}


def test_the_normal_distribution_agrees_with_scipy_far_into_its_tails() -> None:
    special = pytest.importorskip("scipy.special")
    z = np.concatenate([np.linspace(-300, 12, 4001), [-37.0, 0.0, 9.0]])
    assert np.abs(normal.log_cdf(z) - special.log_ndtr(z)).max() < 2e-6


def test_nothing_observed_leaves_what_was_known() -> None:
    found = posterior(Question(PRIOR))
    assert found.shift_mm == pytest.approx(0, abs=1e-9)
    assert found.sigma_mm == pytest.approx(3.2, abs=1e-6)
    assert found.interval_mm == pytest.approx((-3.2 * 1.644854, 3.2 * 1.644854), abs=2e-3)
    assert found.between_cars_mm == pytest.approx(3.0 * np.exp(SPREAD_OF_SPREAD**2 / 2), abs=1e-4)


def test_gaps_of_distinct_cars_agree_with_the_closed_form_at_every_spread() -> None:
    rows = tuple(
        Observation(str(car), m, t, Gap(g, e))
        for car, (m, t, g, e) in enumerate([(5, 1, 3, 0.7), (2, 2, 4, 0.1), (9, 0, 4, 0.5)])
    )
    found = posterior(Question(PRIOR, rows))
    off = np.array([one.found.gap_mm - one.predicted_mm for one in rows])  # type: ignore[union-attr]
    for between, weight in zip(found.between, found.weight, strict=True):
        precision = 1 / (between**2 + np.array([one.variance_mm2 for one in rows]))
        whole = 3.2**-2 + precision.sum()
        share = weight / weight.sum()
        mean = share @ found.shift
        if weight.sum() < 1e-4:
            continue  # the grid ends where hardly any of the chance is
        assert mean == pytest.approx(precision @ off / whole, abs=2e-3)
        assert np.sqrt(share @ (found.shift - mean) ** 2) == pytest.approx(whole**-0.5, abs=2e-3)


@pytest.mark.parametrize("name", HARD)
def test_hard_evidence_agrees_with_scipy(name: str) -> None:
    agrees_with_scipy(HARD[name])


@pytest.mark.parametrize("seed", day_and_night(range(2), range(40)))
def test_drawn_evidence_agrees_with_scipy(seed: int) -> None:
    agrees_with_scipy(shop(seed).question)


def agrees_with_scipy(question: Question) -> None:
    found = posterior(question)
    mean, sigma, between, chances = integrated(question, found.shift_mm, found.sigma_mm)
    assert found.shift_mm == pytest.approx(mean, abs=NEAR_MM)
    assert found.sigma_mm == pytest.approx(sigma, abs=NEAR_MM)
    assert found.between_cars_mm == pytest.approx(between, abs=NEAR_MM)
    for job, chance in zip(question.jobs, chances, strict=True):
        assert found.touch_chance(job) == pytest.approx(chance, abs=1e-3)


def integrated(
    question: Question, near_mm: float, wide_mm: float
) -> tuple[float, float, float, list[float]]:
    """Mean and deviation of s, mean of τ and the chances, by nested integration of the text of
    the model: for each s and τ, over each car's own difference. Shares no code with the engine."""
    integrate, special = (pytest.importorskip(f"scipy.{name}") for name in ("integrate", "special"))
    prior, seen = question.prior, question.observations
    s = near_mm + wide_mm * np.linspace(-7, 7, 33)
    z = np.linspace(-5, 10, 46)
    taus = prior.between_cars_mm * np.exp(0.4 * z)
    logs = -((s / prior.survey_sigma_mm) ** 2) / 2 - z[:, None] ** 2 / 2
    for name in {one.car for one in seen}:
        car = [one for one in seen if one.car == name]
        logs += [[over_the_car(special, car, prior.reporting, x, tau) for x in s] for tau in taus]
    weight = np.exp(logs - logs.max())
    assert weight[:, [0, -1]].max() < 1e-4
    assert weight[[0, -1]].max() < 1e-4

    def mean(values: Array) -> float:
        over_s = integrate.trapezoid(weight * values, x=s, axis=1)
        whole = integrate.trapezoid(integrate.trapezoid(weight, x=s, axis=1), x=z)
        return float(integrate.trapezoid(over_s, x=z) / whole)

    tau = taus[:, None]
    centre = mean(s)
    chances = [
        mean(special.ndtr(-(job.predicted_mm + s) / np.sqrt(tau**2 + job.sigma_mm**2)))
        for job in question.jobs
    ]
    return centre, mean((s - centre) ** 2) ** 0.5, mean(tau), chances


def over_the_car(special, car, reporting, s, tau):  # type: ignore[no-untyped-def]
    """Logarithm of the integral over what survey and car err by together, by Gauss and Legendre
    between all places where anything changes."""
    places = [s + k * tau for k in range(-40, 41, 2)]
    for one in car:
        centre = (one.found.gap_mm if isinstance(one.found, Gap) else 0.0) - one.predicted_mm
        places += [centre + k * one.variance_mm2**0.5 for k in (-6, -3, -1, 0, 1, 3, 6)]
    at = np.unique(np.clip(places, s - 40 * tau, s + 40 * tau))
    nodes, weights = special.roots_legendre(12)
    half = np.diff(at)[:, None] / 2
    u = (at[:-1, None] + half * (1 + nodes)).ravel()
    total = np.log((half * weights).ravel()) - ((u - s) / tau) ** 2 / 2 - np.log(tau)
    for one in car:
        true, t, found = one.predicted_mm + u, one.sigma_mm, one.found
        if isinstance(found, Gap):
            total -= (found.gap_mm - true) ** 2 / (t**2 + found.sigma_mm**2) / 2
        elif isinstance(found, Looked):
            total += special.log_ndtr((-true if found.touched else true) / t)
        else:
            told = reporting * (1 - np.exp(-found.km / 1500))
            with np.errstate(divide="ignore"):
                total += np.log(1 - told * special.ndtr(-true / t))
    return special.logsumexp(total)


def test_a_car_with_gaps_alone_is_what_a_check_of_that_car_computes() -> None:
    """One rule for this car's own gaps: that of checks, with two gaps on one car."""
    rows = (Observation("a", 8.0, 1.0, Gap(3.0, 0.7)), Observation("a", 9.0, 0.5, Gap(5.5, 0.7)))
    sigmas = np.array([one.variance_mm2**0.5 for one in rows])
    checked = error_on_this_car(np.array([-5.0, -3.5]), sigmas, 3.2, 3.0)
    assert posterior(Question(PRIOR, rows)).on_car("a") == pytest.approx(checked, abs=0.01)


def test_a_car_is_known_better_than_the_next_and_never_corrected_twice() -> None:
    found = posterior(MIXED)
    a, other = found.on_car("a"), found.on_car("z")
    assert a[1] < found.on_car("c")[1] < other[1]
    assert other[0] == pytest.approx(found.shift_mm)
    # its gap says −2.1 ± 1.2; the car is taken for no farther off than that
    assert -2.1 < a[0] < found.shift_mm


def test_several_observations_of_one_car_agree_with_one_that_says_as_much() -> None:
    """The rule that integrates over a car's error, against the closed form of a single one."""
    one = Observation("a", 3.0, 1.3, Looked(True))
    nothing = Observation("a", 60.0, 0.5, Looked(False))
    alone, both = (posterior(Question(PRIOR, rows)) for rows in ((one,), (one, nothing)))
    assert both.shift_mm == pytest.approx(alone.shift_mm, abs=1e-3)
    assert both.sigma_mm == pytest.approx(alone.sigma_mm, abs=1e-3)


def test_silence_says_more_with_every_kilometre_and_nothing_before_the_first() -> None:
    shifts = [
        posterior(Question(PRIOR, (Observation("a", -1.0, 1.0, Silent(km)),))).shift_mm
        for km in (0, 500, 5000)
    ]
    assert shifts[0] == pytest.approx(0, abs=1e-9)
    assert 0.1 < shifts[1] < shifts[2]


def test_the_order_of_evidence_is_of_no_meaning() -> None:
    backwards = replace(MIXED, observations=MIXED.observations[::-1])
    assert posterior(backwards).shift_mm == pytest.approx(posterior(MIXED).shift_mm, abs=1e-9)


def test_what_a_check_is_told_counts_cars_and_observations() -> None:
    learned = posterior(MIXED).learned
    assert (learned.cars, learned.observations) == (3, 4)
    assert learned.shift_mm == posterior(MIXED).shift_mm


@pytest.mark.parametrize(
    ("field", "make"),
    [
        ("sigma_mm", lambda: Observation("a", 3.0, 0.0, Looked(True))),
        ("sigma_mm", lambda: Observation("a", 3.0, 0.0, Gap(1.0, 0.0))),
        ("silent_km", lambda: Observation("a", 3.0, 1.0, Silent(-1.0))),
        ("predicted_mm", lambda: Observation("a", float("nan"), 1.0, Looked(True))),
        ("survey_sigma_mm", lambda: Prior(0.0, 3.0)),
        ("reporting", lambda: Prior(1.0, 3.0, 1.5)),
    ],
)
def test_evidence_without_sense_cannot_be_made(field, make) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(ValueError, match=f"^{field} "):
        make()


def test_work_grows_with_the_evidence_and_stays_small(monkeypatch: pytest.MonkeyPatch) -> None:
    """A second for 2,000 observations of 400 cars is some eighty million figures: a count of them
    holds on any machine."""
    counted = [0]
    real = marginal._integrand

    def counting(*args):  # type: ignore[no-untyped-def]
        u, weights = real(*args)
        counted[0] += weights.size + u.size * args[0].edge_mm.shape[1]
        return u, weights

    monkeypatch.setattr(marginal, "_integrand", counting)
    work = []
    for cars in (100, 400):
        counted[0] = 0
        posterior(busy_shop(cars, 5))
        work.append(counted[0])
    assert 0 < work[1] < 45_000_000
    assert work[1] < 6 * work[0]
