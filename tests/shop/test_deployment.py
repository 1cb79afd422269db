"""Settings from the environment, and the checks that find a deployment's mistakes."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from shop.site import checks
from shop.site.env import BadSetting, database_from_url, env_bool, env_int, env_str

ROOT = Path(__file__).resolve().parents[2]


def test_a_secret_may_come_from_a_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "key").write_text("from the file\n")
    monkeypatch.setenv("SAMPLE_FILE", str(tmp_path / "key"))
    assert env_str("SAMPLE") == "from the file"
    monkeypatch.setenv("SAMPLE", "from the variable")
    assert env_str("SAMPLE") == "from the variable"


def test_a_value_of_the_wrong_type_stops_with_its_name(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("SAMPLE", "perhaps")
    with pytest.raises(BadSetting, match="SAMPLE"):
        env_bool("SAMPLE", True)
    with pytest.raises(BadSetting, match="SAMPLE"):
        env_int("SAMPLE", 1)
    monkeypatch.setenv("SAMPLE_FILE", "/no/such/file")
    monkeypatch.delenv("SAMPLE")
    with pytest.raises(BadSetting, match="SAMPLE_FILE"):
        env_str("SAMPLE")


def test_a_database_address_is_taken_apart() -> None:
    database = database_from_url("postgresql://me:p%40ss@db:5433/rows?sslmode=require", 4)
    assert database["NAME"] == "rows"
    assert database["PASSWORD"] == "p@ss"
    assert database["PORT"] == "5433"
    assert database["OPTIONS"]["sslmode"] == "require"
    assert database["OPTIONS"]["pool"]["max_size"] == 4
    assert database_from_url("sqlite:////srv/rows.sqlite3", 4)["NAME"] == "/srv/rows.sqlite3"
    with pytest.raises(BadSetting, match="mysql"):
        database_from_url("mysql://db/rows", 4)


def found(check: Any) -> list[str]:
    return [message.id for message in check(None)]


def test_mistakes_are_found_by_their_ids(settings: Any) -> None:
    settings.DEBUG = False
    settings.TESTING = False
    settings.SECRET_KEY = settings.DEVELOPMENT_KEY
    settings.ALLOWED_HOSTS = []
    settings.SITE_URL = "http://shop.example"
    assert found(checks.the_key_is_secret) == ["archroom.E001"]
    assert found(checks.hosts_are_named) == ["archroom.E003"]
    assert found(checks.links_reach_the_site) == ["archroom.E007"]
    settings.ALLOWED_HOSTS = ["*"]
    assert found(checks.hosts_are_named) == ["archroom.E004"]
    settings.DEBUG = True
    settings.ALLOWED_HOSTS = ["localhost", "shop.example"]
    assert found(checks.debug_stays_at_home) == ["archroom.E002"]


def test_every_message_has_a_hint(settings: Any) -> None:
    settings.DEBUG = False
    settings.SECRET_KEY = settings.DEVELOPMENT_KEY
    settings.ALLOWED_HOSTS = ["*"]
    settings.SITE_URL = ""
    for check in (checks.the_key_is_secret, checks.hosts_are_named, checks.links_reach_the_site):
        assert all(message.hint for message in check(None))


def check_deploy(tmp_path: Path, **env: str) -> subprocess.CompletedProcess[str]:
    bare = {"PATH": os.environ["PATH"], "ARCHROOM_VAR": str(tmp_path), "ARCHROOM_DEBUG": "no"}
    return subprocess.run(
        [sys.executable, "manage.py", "check", "--deploy", "--fail-level", "WARNING"],
        cwd=ROOT,
        env={**bare, **env},
        capture_output=True,
        text=True,
        check=False,
    )


def test_a_full_environment_passes_the_deployment_check(tmp_path: Path) -> None:
    done = check_deploy(
        tmp_path,
        ARCHROOM_SECRET_KEY="k9!" + "".join(f"{n:x}w" for n in range(40)),
        ARCHROOM_HOSTS="shop.example",
        ARCHROOM_URL="https://shop.example",
        DATABASE_URL="postgresql://archroom@127.0.0.1:1/none",
    )
    assert done.returncode == 0, done.stderr


def test_an_empty_environment_does_not(tmp_path: Path) -> None:
    done = check_deploy(tmp_path)
    assert done.returncode != 0
    for name in ("archroom.E001", "archroom.E003", "archroom.E005", "archroom.E007"):
        assert name in done.stderr
