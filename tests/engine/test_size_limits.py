"""However much a file asks, a check stays within its time and memory, or the file is refused."""

from __future__ import annotations

import json
import time
import tracemalloc
from dataclasses import replace
from typing import Any

import pytest

from fitment.engine import checkfile
from fitment.engine.check import run
from fitment.engine.checkfile.survey import MOST_FEATURES, MOST_PLACES
from fitment.engine.model import BODY, EDGE, POINTS, Check, Feature, SurveyPoint
from tests.benchmarks.corners import check_of, strut_corner
from tests.engine.files import text_of

#: Processor time and memory that a check of one corner may take, s and bytes.
SECONDS, BYTES = 2.0, 200e6


def many(shape: str, out_mm: float, step_mm: float) -> Check:
    """A steered corner with as many places as a file may have, about the tyre or inside it."""
    points = tuple(
        SurveyPoint(
            -80.0 + 160.0 * i / (MOST_PLACES - 1),
            380.0 + out_mm + step_mm * (i % 2),
            -40.0 + 80.0 * ((7 * i) % 11) / 11 if step_mm else 20.0,
        )
        for i in range(MOST_PLACES)
    )
    corner = strut_corner(0)
    feature = Feature("many", BODY, shape, points)
    survey = replace(corner.survey, features=(*corner.survey.features[-1:], feature))
    return check_of(replace(corner, survey=survey))


@pytest.mark.parametrize(
    ("shape", "out_mm", "step_mm"),
    [
        (EDGE, 0, 15),
        (EDGE, -40, 15),
        (EDGE, 0, 0),
        (EDGE, -10, 0),
        (POINTS, 0, 15),
        (POINTS, -30, 15),
    ],
)
def test_the_most_places_that_a_file_may_have(shape: str, out_mm: float, step_mm: float) -> None:
    check = many(shape, out_mm, step_mm)
    begin = time.process_time()
    (corner,) = run(check).corners.values()
    assert time.process_time() - begin < SECONDS
    place = corner.places[-1]
    assert place.certified_mm <= place.clearance_mm
    assert place.clearance_mm - place.certified_mm < 0.1 or place.clearance_mm < -5.0
    tracemalloc.start()
    run(check)
    _, peak = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    assert peak < BYTES


def document() -> dict[str, Any]:
    read: dict[str, Any] = json.loads(text_of("check-00"))
    return read


def faults(file: dict[str, Any]) -> list[tuple[str, str]]:
    with pytest.raises(checkfile.BadCheckFile) as bad:
        checkfile.loads(json.dumps(file))
    return [(one.path, one.message) for one in bad.value.problems]


def zigzag(count: int, jump_deg: float) -> dict[str, Any]:
    points = [
        {"clock_deg": jump_deg * (i % 2), "radius_mm": 400 + i % 7, "axial_mm": i % 90}
        for i in range(count)
    ]
    return {"place": "zigzag", "carried_by": "body", "shape": "edge", "points": points}


@pytest.mark.parametrize(("count", "jump_deg"), [(1000, 2.0), (60, 180.0), (5000, 1.0)])
def test_a_zigzag_of_too_many_places_is_refused_with_its_path(count: int, jump_deg: float) -> None:
    file = document()
    features = file["corners"]["LF"]["survey"]["features"]
    features.append(zigzag(count, jump_deg))
    path = f"corners.LF.survey.features[{len(features) - 1}].points"
    found = faults(file)
    assert {where for where, _ in found} == {path}
    assert any("items" in why or "places to look at" in why for _, why in found)


def test_too_many_features_gaps_and_rows_of_an_envelope_are_refused_with_their_paths() -> None:
    file = document()
    corner = file["corners"]["LF"]
    first = corner["survey"]["features"][0]
    corner["survey"]["features"] = [
        {**first, "place": f"place {i}", "shape": "points", "points": first["points"][:1]}
        for i in range(MOST_FEATURES + 1)
    ]
    corner["present"] = {
        "planned": corner["planned"],
        "wheel": corner["wheel"],
        "tyre": corner["tyre"],
        "gaps": [{"place": "place 0", "gap_mm": 20.0 + i} for i in range(101)],
    }
    file["duty"] = {"name": "own", "envelope": [[i / 20, 1 - i / 40] for i in range(21)]}
    paths = [path for path, _ in faults(file)]
    assert "corners.LF.survey.features" in paths
    assert "corners.LF.present.gaps" in paths
    assert "duty.envelope" in paths


def test_a_check_of_no_features_is_refused_with_its_path() -> None:
    file = document()
    file["corners"]["LF"]["survey"]["features"] = []
    assert [path for path, _ in faults(file)] == ["corners.LF.survey.features"]
