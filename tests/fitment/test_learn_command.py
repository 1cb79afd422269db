"""``manage.py learn``: the file, what is wrong with it, answers, exit codes, and no database."""

from __future__ import annotations

import io
import json
from copy import deepcopy
from pathlib import Path
from typing import Any

import pytest
from django.core.management import CommandError, call_command

from fitment.engine.learning.file import dump, parse
from tests.engine.simulated_shops import busy_shop

#: A design's worked example, computed by a program that shares no code with this one.
EXAMPLE: dict[str, Any] = {
    "archroom_learning": 1,
    "prior": {"survey_sigma_mm": 3.2, "between_cars_mm": 3.0, "reporting": 0.7},
    "observations": [
        {"car": "a", "predicted_mm": 8.1, "sigma_mm": 1.0, "gap_mm": 6.0, "gap_sigma_mm": 0.7},
        {"car": "b", "predicted_mm": 4.0, "sigma_mm": 2.1, "touched": False},
        {"car": "b", "predicted_mm": 2.0, "sigma_mm": 2.1, "touched": True},
        {"car": "c", "predicted_mm": 3.0, "sigma_mm": 2.1, "silent_km": 5000},
    ],
    "next": [{"predicted_mm": 5.0, "sigma_mm": 2.0}],
}
ANSWER = {
    "archroom_learned": 1,
    "shift_mm": -1.349,
    "sigma_mm": 1.847,
    "interval_90_mm": [-4.285, 1.762],
    "between_cars_mm": 2.820,
    "next": [{"touch_chance": 0.1713}],
}


def answered(tmp_path: Path, document: object, *options: str) -> str:
    path = tmp_path / "evidence.json"
    path.write_text(
        document if isinstance(document, str) else json.dumps(document), encoding="utf-8"
    )
    out = io.StringIO()
    call_command("learn", str(path), *options, stdout=out)
    return out.getvalue()


def refused(tmp_path: Path, document: object) -> list[str]:
    with pytest.raises(CommandError) as caught:
        answered(tmp_path, document)
    assert caught.value.returncode == 2
    return str(caught.value).split("\n")


def changed(path: str, value: object) -> dict[str, Any]:
    """The example with one value put in, or taken away for None."""
    document = deepcopy(EXAMPLE)
    *way, last = (int(key) if key.isdigit() else key for key in path.split("."))
    inside: Any = document
    for key in way:
        inside = inside[key]
    if value is None:
        del inside[last]
    else:
        inside[last] = value
    return document


def test_the_example_comes_out_as_worked_out_elsewhere(tmp_path: Path) -> None:
    found = json.loads(answered(tmp_path, EXAMPLE, "--json"))
    assert list(found) == list(ANSWER)
    for key in ("shift_mm", "sigma_mm", "between_cars_mm", "interval_90_mm"):
        assert found[key] == pytest.approx(ANSWER[key], abs=2e-3)
    assert found["next"][0]["touch_chance"] == pytest.approx(0.1713, abs=2e-4)


def test_the_text_says_how_much_on_how_many_cars(tmp_path: Path) -> None:
    text = answered(tmp_path, EXAMPLE)
    assert "4 observations on 3 cars" in text
    assert "−1.35 mm ± 1.85 mm" in text
    assert "17 %" in text


def test_an_empty_list_of_observations_gives_back_the_prior(tmp_path: Path) -> None:
    document = changed("observations", [])
    del document["next"], document["prior"]["reporting"]
    found = json.loads(answered(tmp_path, document, "--json"))
    assert found["shift_mm"] == pytest.approx(0, abs=1e-6)
    assert found["sigma_mm"] == pytest.approx(3.2, abs=1e-3)
    assert found["next"] == []


@pytest.mark.parametrize(
    ("path", "value", "told"),
    [
        ("archroom_learning", 2, "archroom_learning: should be 1"),
        ("observations", None, "observations: is missing"),
        ("prior", None, "prior: is missing"),
        ("prior.survey_sigma_mm", 0, "prior.survey_sigma_mm: 0 is outside"),
        ("prior.between_cars_mm", float("nan"), "prior.between_cars_mm: should be a finite"),
        ("prior.reporting", 1.2, "prior.reporting: 1.2 is outside"),
        ("observations.0.gap_sigma_mm", None, "observations[0].gap_sigma_mm: is missing"),
        ("observations.0.gap_mm", "6", "observations[0].gap_mm: should be a number"),
        ("observations.0.car", "", "observations[0].car: should not be empty"),
        ("observations.1.sigma_mm", 0, "observations[1].sigma_mm: should be above zero"),
        ("observations.1.gap_sigma_mm", 1, "observations[1].gap_sigma_mm: belongs to gap_mm only"),
        ("observations.1.touched", 1, "observations[1].touched: should be true or false"),
        ("observations.1.touched", None, "observations[1]: should say what was found, by gap_mm"),
        ("observations.1.silent_km", 5, "observations[1]: holds touched and silent_km, where one"),
        ("observations.1.tuched", True, "observations[1].tuched: is not known here; perhaps touch"),
        ("observations.3.silent_km", -1, "observations[3].silent_km: -1 is outside"),
        ("observations.3.sigma_mm", None, "observations[3].sigma_mm: is missing"),
        ("next.0.sigma_mm", None, "next[0].sigma_mm: is missing"),
        ("next.0.predicted_mm", float("inf"), "next[0].predicted_mm: should be a finite"),
    ],
)
def test_a_fault_is_named_with_its_path(
    tmp_path: Path, path: str, value: object, told: str
) -> None:
    head, *lines = refused(tmp_path, changed(path, value))
    assert head == "1 problem in the learning file:"
    assert len(lines) == 1
    assert lines[0].startswith(told)


def test_all_faults_come_at_once(tmp_path: Path) -> None:
    document = changed("prior.survey_sigma_mm", -1)
    document["observations"][3]["silent_km"] = -5
    document["next"][0]["predicted"] = 3
    assert len(refused(tmp_path, document)) == 4


def test_the_same_observation_twice_names_both(tmp_path: Path) -> None:
    again = {"silent_km": 5e3, "car": " c ", "sigma_mm": 2.1, "predicted_mm": 3}
    document = changed("observations", [*EXAMPLE["observations"], again])
    _, line = refused(tmp_path, document)
    assert line.startswith("observations[4]: is the same observation as observations[3]")


def test_two_alike_with_one_figure_apart_are_two(tmp_path: Path) -> None:
    other = EXAMPLE["observations"][3] | {"silent_km": 5001}
    answered(tmp_path, changed("observations", [*EXAMPLE["observations"], other]))


def test_a_gap_may_do_with_either_uncertainty_but_not_with_none(tmp_path: Path) -> None:
    answered(tmp_path, changed("observations.0.sigma_mm", 0))
    answered(tmp_path, changed("observations.0.gap_sigma_mm", 0))
    document = changed("observations.0.gap_sigma_mm", 0)
    document["observations"][0]["sigma_mm"] = 0
    _, line = refused(tmp_path, document)
    assert line.startswith("observations[0].sigma_mm: should be above zero")


def test_what_is_no_file_or_no_json_ends_with_2(tmp_path: Path) -> None:
    assert "not JSON" in refused(tmp_path, "{")[1]
    assert "should be an object" in refused(tmp_path, "[]")[1]
    with pytest.raises(CommandError, match="cannot be read") as caught:
        call_command("learn", str(tmp_path / "none.json"))
    assert caught.value.returncode == 2


def test_evidence_against_all_reason_ends_with_2(tmp_path: Path) -> None:
    """A gap of 28 centimetres, read to a hundredth, on a car that touched at the same spot."""
    rows = [
        {"car": "a", "predicted_mm": 16.7, "sigma_mm": 0.03, "gap_mm": 282, "gap_sigma_mm": 0.03},
        {"car": "a", "predicted_mm": -3.3, "sigma_mm": 6.0, "touched": False},
        {"car": "a", "predicted_mm": 1.1, "sigma_mm": 0.124, "silent_km": 1},
        {"car": "a", "predicted_mm": 304.9, "sigma_mm": 0.104, "touched": True},
        {"car": "b", "predicted_mm": 17.9, "sigma_mm": 0.002, "touched": False},
        {"car": "b", "predicted_mm": -1.7, "sigma_mm": 16.2, "touched": False},
    ]
    document = changed("observations", rows)
    document["prior"] = {"survey_sigma_mm": 5.6, "between_cars_mm": 14.7}
    (line,) = refused(tmp_path, document)
    assert line.startswith("observations: they contradict each other")


def test_a_question_is_written_as_it_is_read() -> None:
    assert dump(parse(EXAMPLE)) == EXAMPLE
    question = busy_shop(400, 5)
    assert len(question.observations) == 2000
    assert parse(dump(question)) == question
