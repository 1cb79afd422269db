"""``manage.py clearance``: answers, exit codes, and no database."""

from __future__ import annotations

import io
import json
import os
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
from django.core.management import CommandError, call_command

from fitment.engine.checkfile import answer_load
from tests.engine.files import EXAMPLES, LINKS, STRUT, document
from tests.engine.mutants import mutant

ROOT = Path(__file__).parents[2]


def asked(file: object, *options: str) -> tuple[int, str]:
    """Exit code and standard output; CommandError passes through."""
    out = io.StringIO()
    try:
        call_command("clearance", str(file), *options, stdout=out)
    except SystemExit as stop:
        return int(stop.code or 0), out.getvalue()
    return 0, out.getvalue()


def refused(file: object) -> str:
    with pytest.raises(CommandError) as caught:
        asked(file)
    assert caught.value.returncode == 2
    return str(caught.value)


def saved(tmp_path: Path, content: Any) -> Path:
    path = tmp_path / "check.json"
    path.write_text(content if isinstance(content, str) else json.dumps(content), encoding="utf-8")
    return path


def clear_check() -> Any:
    """A rear corner with room to spare all round, nothing left unmeasured."""
    check = document(LINKS)
    corner = check["corners"]["RR"]
    for point in corner["survey"]["features"][0]["points"]:
        point["axial_mm"] += 40
        point["radius_mm"] += 25
    for point in corner["survey"]["features"][1]["points"]:
        point["axial_mm"] -= 30
    corner["survey"]["features"][3]["points"] = [
        {"clock_deg": -80, "radius_mm": 205, "axial_mm": -60}
    ]
    corner["wheel"] |= {"barrel_mm": 12, "spoke_back": [[0, 60], [-5, 220]]}
    return check


def test_a_clear_check_ends_with_0(tmp_path: Path) -> None:
    code, text = asked(saved(tmp_path, clear_check()))
    assert "verdict: clear" in text
    assert code == 0


def test_a_contact_ends_with_1_and_a_readable_table() -> None:
    code, text = asked(EXAMPLES / f"{STRUT}.json")
    assert code == 1
    assert "verdict: contact" in text
    assert "inner panel" in text


def test_a_clear_check_out_of_reach_ends_with_1(tmp_path: Path) -> None:
    check = clear_check()
    check["corners"]["RR"]["suspension"]["reach"] = {"toe_link_mm": [0, 0.1]}
    code, text = asked(saved(tmp_path, check), "--json")
    assert json.loads(text)["verdict"] == "clear"
    assert code == 1


def test_json_is_the_whole_answer() -> None:
    code, text = asked(EXAMPLES / f"{STRUT}.json", "--json")
    written = json.loads(text)
    assert code == 1
    assert answer_load(written).corners["LF"].verdict == written["verdict"] == "contact"


def test_a_check_may_come_from_standard_input(monkeypatch: pytest.MonkeyPatch) -> None:
    data = (EXAMPLES / f"{STRUT}.json").read_bytes()
    monkeypatch.setattr("sys.stdin", io.TextIOWrapper(io.BytesIO(data)))
    assert asked("-")[0] == 1


def test_a_bad_file_ends_with_2_and_lists_every_problem(tmp_path: Path) -> None:
    check = document(STRUT)
    check["corners"]["LF"]["limits"]["droop_mm"] = True
    check["corners"]["LF"]["wheel"]["with_in"] = 8
    message = refused(saved(tmp_path, check))
    assert message.startswith("2 problems in the check file:")
    assert "corners.LF.limits.droop_mm: should be a number" in message
    assert "corners.LF.wheel.with_in: is not known here; perhaps width_in" in message


def test_a_file_that_cannot_be_read_ends_with_2(tmp_path: Path) -> None:
    assert "cannot be read" in refused(tmp_path / "none.json")
    assert "cannot be read" in refused(tmp_path)
    assert "cannot be read" in refused("with\0nul")
    assert "not JSON" in refused(saved(tmp_path, "{"))


def test_a_height_that_the_linkage_cannot_take_ends_with_2(tmp_path: Path) -> None:
    check = document(STRUT)
    check["corners"]["LF"]["limits"] |= {"bump_mm": 390, "droop_mm": 190}
    message = refused(saved(tmp_path, check))
    assert message.startswith("corners.LF: ")


def test_the_command_needs_no_database() -> None:
    environment = os.environ | {"DATABASE_URL": "postgres://nobody:x@127.0.0.1:9/none"}
    done = subprocess.run(
        [sys.executable, "manage.py", "clearance", str(EXAMPLES / f"{STRUT}.json"), "--json"],
        cwd=ROOT,
        env=environment,
        capture_output=True,
        text=True,
        check=False,
        timeout=120,
    )
    assert done.returncode == 1, done.stderr
    assert json.loads(done.stdout)["verdict"] == "contact"


@pytest.mark.parametrize("gap", [{"steer_deg": 29}, {"steer_deg": 55}, {"travel_mm": 250}])
def test_a_gap_read_beyond_the_setting_is_said_and_stops_nothing(
    tmp_path: Path, gap: dict[str, Any]
) -> None:
    file = document(STRUT)
    (corner,) = file["corners"].values()
    place = corner["survey"]["features"][0]["place"]
    corner["present"] = {
        "planned": {"toe_deg": 0.0},
        "wheel": corner["wheel"],
        "tyre": corner["tyre"],
        "gaps": [{"place": place, "gap_mm": 20.0, **gap}],
    }
    code, text = asked(saved(tmp_path, file))
    assert code in (0, 1)
    assert "left out of the correction" in text


@pytest.mark.parametrize("seed", range(20))
def test_a_spoilt_file_ends_with_an_answer_or_with_2(tmp_path: Path, seed: int) -> None:
    file = saved(tmp_path, mutant(seed))
    try:
        code, text = asked(file, "--json")
    except CommandError as error:
        code, text = error.returncode, str(error)
    assert code in (0, 1, 2)
    if code == 2:
        assert "problem" in text or "corners" in text
    else:
        assert json.loads(text)["archroom_answer"] == 1
