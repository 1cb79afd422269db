"""A maker's table held against a job, condition by condition."""

from __future__ import annotations

from dataclasses import replace

import pytest

from common.message import message
from common.verdicts import Outcome
from fitment.engine.mounting.guide import (
    NOT_PROMISED,
    OPEN,
    OTHER,
    PROMISED,
    AdjusterAsked,
    Job,
    Row,
    conditions,
    said,
)
from fitment.engine.mounting.job_similarity import Fit, distance

JOB = Job(
    axle="front",
    wheel_diameter_in=18,
    wheel_width_in=9,
    offset_mm=40,
    spacer_mm=5,
    tyre_size="265/35 ZR18",
    camber_deg=-2.4,
    camber_by="lower_arm",
    adjusters={"toe_link_mm": 2.0},
    height_mm=-20.0,
    parts=frozenset({"SH-18"}),
)
ROW = Row(
    axle="front",
    wheel_diameter_in=18,
    wheel_width_in=9,
    offset_min_mm=38,
    offset_max_mm=45,
    tyre_size="265/35R18",
    spacer_max_mm=5,
    camber_deg=-2.4,
)


def outcome(row: Row, job: Job = JOB) -> str:
    return said(row, job, conditions(row, job))


def test_a_job_that_meets_every_condition_is_promised() -> None:
    found = conditions(ROW, JOB)
    assert [one.what for one in found] == [
        message(f"condition.{name}") for name in ("wheel", "tyre", "offset", "spacer", "camber")
    ]
    assert {one.outcome for one in found} == {Outcome.PASSES}
    assert outcome(ROW) == PROMISED


@pytest.mark.parametrize(
    ("changed", "what"),
    [
        ({"offset_max_mm": 39}, "condition.offset"),
        ({"spacer_max_mm": 0}, "condition.spacer"),
        ({"camber_deg": -2.6}, "condition.camber"),
        ({"camber_by": "top_mount"}, "condition.camber-method"),
        ({"height_min_mm": -15}, "condition.height"),
        ({"adjuster": AdjusterAsked("toe_link_mm", 3.0, None)}, "adjuster.toe_link_mm"),
        ({"parts": ("TM-12",)}, "condition.part"),
    ],
)
def test_one_condition_that_is_not_met_takes_the_promise_away(
    changed: dict[str, object], what: str
) -> None:
    row = replace(ROW, **changed)  # type: ignore[arg-type]
    bad = [one.what.code for one in conditions(row, JOB) if one.outcome == Outcome.FAILS]
    assert bad == [what]
    assert outcome(row) == NOT_PROMISED


@pytest.mark.parametrize(
    "changed", [{"tyre_size": "235/40R18"}, {"wheel_width_in": 8.5}, {"wheel_diameter_in": 17}]
)
def test_a_row_about_other_sizes_says_nothing(changed: dict[str, object]) -> None:
    assert outcome(replace(ROW, **changed)) == OTHER  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("row", "job"),
    [
        (ROW, replace(JOB, camber_deg=None)),
        (replace(ROW, camber_by="top_mount"), replace(JOB, camber_by="")),
        (replace(ROW, height_min_mm=-20), replace(JOB, height_mm=None)),
        (replace(ROW, adjuster=AdjusterAsked("toe_link_mm", 0.0, 3.0)), replace(JOB, adjusters={})),
        (replace(ROW, note="roll the lip"), JOB),
    ],
)
def test_what_is_not_planned_leaves_the_table_open(row: Row, job: Job) -> None:
    assert Outcome.CANNOT_SAY in {one.outcome for one in conditions(row, job)}
    assert outcome(row, job) == OPEN


def test_more_negative_camber_than_asked_will_do() -> None:
    assert outcome(ROW, replace(JOB, camber_deg=-3.0)) == PROMISED
    assert outcome(ROW, replace(JOB, camber_deg=-2.0)) == NOT_PROMISED


def test_a_row_that_asks_nothing_promises_nothing_untrue() -> None:
    assert conditions(Row("front"), JOB) == []


# Likeness of jobs

FIT = Fit(265, 635, -40, -2.4, "lower_arm", 0.0)


def test_the_same_job_is_at_no_distance_and_distance_is_symmetric() -> None:
    other = replace(FIT, width_mm=245, camber_deg=None)
    assert distance(FIT, FIT) == 0.0
    assert distance(FIT, other) == distance(other, FIT) > 1.0


def test_a_nearer_size_is_nearer() -> None:
    near, far = replace(FIT, width_mm=260), replace(FIT, width_mm=275)
    assert distance(FIT, near) < distance(FIT, far)


def test_the_same_camber_by_another_method_is_not_the_same_job() -> None:
    assert distance(FIT, replace(FIT, camber_by="top_mount")) == 1.0
