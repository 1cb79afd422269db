"""``manage.py options`` and ``manage.py clearance - --lines``: answers, exit codes, refusals."""

from __future__ import annotations

import copy
import io
import json
import os
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
from django.core.management import CommandError, call_command

from fitment.engine.check import run
from fitment.engine.checkfile import answer_dump, parse
from tests.engine.files import STRUT, document
from tests.engine.searches import drawn_search, everything, named
from tests.fitment.test_clearance_command import clear_check

ROOT = Path(__file__).parents[2]
#: A drawn search file with answers: the widest tyre, one corner.
WITH_OPTIONS = 8


def asked(command: str, file: object, *options: str) -> tuple[int, str]:
    """Exit code and standard output; CommandError passes through."""
    out = io.StringIO()
    try:
        call_command(command, str(file), *options, stdout=out, stderr=io.StringIO())
    except SystemExit as stop:
        return int(stop.code or 0), out.getvalue()
    return 0, out.getvalue()


def saved(tmp_path: Path, content: Any) -> Path:
    path = tmp_path / "search.json"
    path.write_text(content if isinstance(content, str) else json.dumps(content), encoding="utf-8")
    return path


def refused(tmp_path: Path, content: Any) -> str:
    with pytest.raises(CommandError) as caught:
        asked("options", saved(tmp_path, content))
    assert caught.value.returncode == 2
    return str(caught.value)


def small_search() -> dict[str, Any]:
    """Few combinations of a drawn file, one of which clears."""
    whole = drawn_search(WITH_OPTIONS)
    best = max((one for one in everything(whole) if one.clears), key=lambda one: one.width_mm)
    search = whole["search"]
    search["wheels"] = [one for one in search["wheels"] if one["name"] == best.names[0]]
    return whole


@pytest.fixture(scope="module")
def searched() -> dict[str, Any]:
    return small_search()


def test_the_answer_as_json(tmp_path: Path, searched: dict[str, Any]) -> None:
    code, out = asked("options", saved(tmp_path, searched), "--json")
    assert code == 0
    answer = json.loads(out)
    assert answer["archroom_options"] == 1
    assert answer["looked_at"] == sum(answer["ruled_out"].values()) + answer["cleared"]
    first = answer["options"][0]
    assert first["verdict"] in ("clear", "tight")
    assert first["wheel"] == searched["search"]["wheels"][0]["name"]
    assert first["tightest"]["clearance_mm"] > 0
    assert first["tightest"]["corner"] == "LF"
    assert named(first) in {one.names for one in everything(searched) if one.clears}


def test_the_answer_as_text(tmp_path: Path, searched: dict[str, Any]) -> None:
    code, out = asked("options", saved(tmp_path, searched))
    assert code == 0
    assert "Widest tyre" in out
    assert searched["search"]["wheels"][0]["name"] in out
    assert "Ruled out" in out


def test_where_nothing_clears_the_exit_code_says_so(
    tmp_path: Path, searched: dict[str, Any]
) -> None:
    asked_for = copy.deepcopy(searched)
    asked_for["search"]["limits"] = {"overall_diameter_mm": [500, 501]}
    code, out = asked("options", saved(tmp_path, asked_for), "--json")
    assert code == 1
    answer = json.loads(out)
    assert answer["options"] == []
    assert "overall diameter" in answer["ruled_out"]


def test_progress_is_told_on_standard_error(tmp_path: Path, searched: dict[str, Any]) -> None:
    err = io.StringIO()
    path = saved(tmp_path, searched)
    call_command("options", str(path), "--progress", stdout=io.StringIO(), stderr=err)
    assert "100 %" in err.getvalue()


def test_every_fault_is_named_with_its_path(tmp_path: Path, searched: dict[str, Any]) -> None:
    bad = copy.deepcopy(searched)
    search = bad["search"]
    search |= {"goal": "widest", "packers_mm": [5, -1], "camber_deg": {"top mount": [-1, -2]}}
    search["wheels"] = [*search["wheels"], search["wheels"][0] | {"width_in": 90}]
    search["tyres"][0] |= {"rim_in": [9, 7], "load_index": 94.5, "speed_symbol": "ZZ"}
    search["limits"] |= {"budget": -1, "wieght": 3}
    said = refused(tmp_path, bad)
    for path in (
        "search.goal: should be one of",
        "search.packers_mm[1]: -1 is outside",
        'search.camber_deg["top mount"]: is nothing that sets camber',
        'search.camber_deg["top mount"]: begins at -1, above where it ends',
        "search.wheels[1].name: “wheel",
        "search.wheels[1].width_in: 90 is outside",
        "search.tyres[0].rim_in: begins at 9",
        "search.tyres[0].load_index: 94.5 is not a whole number",
        "search.tyres[0].speed_symbol: should be one of",
        "search.limits.budget: -1 is outside",
        "search.limits.wieght: is not known here",
    ):
        assert path in said, path


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"search": None}, "search: is missing"),
        ({"corners": {}}, "corners: is empty"),
        ({"search": {"goal": "least_cost", "axle": "rear"}}, "corners.LF: is not of the rear axle"),
        (
            {
                "search": {
                    "goal": "least_cost",
                    "axle": "front",
                    "packers_mm": list(range(100)),
                    "ride_heights_mm": list(range(-50, 50)),
                }
            },
            "search: asks for 10000 settings",
        ),
        ({"search": {"goal": "least_cost", "axle": "front", "wheels": []}}, "search.wheels: has 0"),
    ],
)
def test_what_cannot_be_searched_is_refused(
    tmp_path: Path, searched: dict[str, Any], change: dict[str, Any], said: str
) -> None:
    assert said in refused(tmp_path, searched | change)


def test_two_sides_that_carry_other_wheels_are_refused(tmp_path: Path) -> None:
    both = drawn_search(7)
    assert len(both["corners"]) == 2
    both["corners"]["RF"]["wheel"]["offset_mm"] += 5
    assert "corners.RF.wheel: differs from that of the other side" in refused(tmp_path, both)


def test_no_file_at_all_and_no_json(tmp_path: Path) -> None:
    assert "not JSON" in refused(tmp_path, "{")
    with pytest.raises(CommandError) as caught:
        asked("options", tmp_path / "none.json")
    assert caught.value.returncode == 2


# --- Batches -----------------------------------------------------------------------------------


def lines_answered(tmp_path: Path, *lines: str) -> tuple[int, list[Any]]:
    path = saved(tmp_path, "\n".join(lines))
    code, out = asked("clearance", path, "--lines")
    return code, [json.loads(line) for line in out.splitlines()]


def test_a_check_file_a_line_is_answered_in_order(tmp_path: Path) -> None:
    good, rubs = clear_check(), document(STRUT)
    code, answers = lines_answered(tmp_path, json.dumps(good), json.dumps(rubs))
    assert code == 1
    assert answers == [json.loads(json.dumps(answer_dump(run(parse(one))))) for one in (good, rubs)]
    assert lines_answered(tmp_path, json.dumps(good))[0] == 0


def test_a_bad_line_is_answered_with_its_faults_and_the_rest_goes_on(tmp_path: Path) -> None:
    good, bad = clear_check(), clear_check()
    bad["corners"]["RR"]["wheel"]["width_in"] = 90
    code, answers = lines_answered(
        tmp_path, json.dumps(bad), json.dumps(good), "", "[", json.dumps(good)
    )
    assert code == 2
    assert list(answers[0]) == ["error"]
    assert any("corners.RR.wheel.width_in" in one for one in answers[0]["error"])
    assert answers[1] == answers[4]
    assert answers[1]["verdict"] in ("clear", "tight")
    for answer in answers[2:4]:
        assert len(answer["error"]) == 1
        assert "not JSON" in answer["error"][0]


def test_lines_come_from_standard_input_without_a_database() -> None:
    done = subprocess.run(
        [sys.executable, "manage.py", "clearance", "-", "--lines"],
        cwd=ROOT,
        input=(json.dumps(clear_check()) + "\nnone\n").encode(),
        env=os.environ | {"DATABASE_URL": "postgresql://nobody@127.0.0.1:1/none"},
        capture_output=True,
        timeout=300,
        check=False,
    )
    first, second = done.stdout.splitlines()
    assert json.loads(first)["verdict"] in ("clear", "tight")
    assert list(json.loads(second)) == ["error"]
    assert done.returncode == 2
