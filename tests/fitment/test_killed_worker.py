"""A worker's process is killed in the middle of a search; another takes over, nothing is lost.

A site of its own on a file, and real processes: ``manage.py worker`` and SIGKILL.
"""

from __future__ import annotations

import json
import os
import signal
import sqlite3
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path
from typing import Any

import pytest

ROOT = Path(__file__).parents[2]
#: Nothing here takes so long; a machine may be slow, though.
PATIENCE_SECONDS = 300.0
SAME = ("done", "settings", "found", "ruled_out", "candidates", "cleared", "stopped", "trouble")


class Site:
    """A site in a folder, asked through processes and through its file."""

    def __init__(self, folder: Path) -> None:
        self.file = folder / "archroom.sqlite3"
        self._environment = {
            name: value for name, value in os.environ.items() if name != "DATABASE_URL"
        } | {"ARCHROOM_VAR": str(folder)}

    def run(self, *command: str) -> str:
        done = subprocess.run(
            [sys.executable, *command],
            cwd=ROOT,
            env=self._environment,
            check=True,
            capture_output=True,
            text=True,
            timeout=PATIENCE_SECONDS,
        )
        return done.stdout

    def worker(self) -> subprocess.Popen[bytes]:
        command = [sys.executable, "manage.py", "worker", "--idle", "0"]
        return subprocess.Popen(command, cwd=ROOT, env=self._environment)

    def row(self, table: str, pk: int) -> dict[str, Any]:
        with closing(sqlite3.connect(self.file, timeout=20)) as connection:
            connection.row_factory = sqlite3.Row
            sql = f"SELECT * FROM {table} WHERE id = ?"
            return dict(connection.execute(sql, [pk]).fetchone())

    def let_the_lease_run_out(self, task: int) -> None:
        """What a minute does."""
        with closing(sqlite3.connect(self.file, timeout=20)) as connection, connection:
            sql = "UPDATE shop_backgroundtask SET lease_until = '2001-01-01' WHERE id = ?"
            connection.execute(sql, [task])


@pytest.fixture
def site(tmp_path: Path) -> Site:
    made = Site(tmp_path)
    made.run("manage.py", "migrate", "--skip-checks", "--no-input", "--verbosity", "0")
    return made


@contextmanager
def ended(process: subprocess.Popen[bytes]) -> Iterator[subprocess.Popen[bytes]]:
    try:
        yield process
    finally:
        process.kill()
        process.wait(60)


def stopped_in_the_middle(site: Site, search: int, by: signal.Signals) -> int:
    """Start a worker, and stop it once it kept something of a search; its exit code."""
    before = site.row("fitment_optionsearch", search)["done"]
    with ended(site.worker()) as worker:
        until = time.monotonic() + PATIENCE_SECONDS
        while site.row("fitment_optionsearch", search)["done"] == before:
            assert time.monotonic() < until
            assert worker.poll() is None, "the worker ended before it was stopped"
            time.sleep(0.01)
        worker.send_signal(by)
        code = worker.wait(60)
    left = site.row("fitment_optionsearch", search)
    assert before < left["done"] < left["settings"], "it was not stopped in the middle"
    assert not left["stopped"]
    return code


def test_a_search_goes_on_where_workers_left_it(site: Site) -> None:
    """The first is told to end, the second is killed, the third ends the search."""
    pks = json.loads(site.run("-m", "tests.fitment.a_search_waiting"))
    assert stopped_in_the_middle(site, pks["waiting"], signal.SIGTERM) == 0
    task = site.row("shop_backgroundtask", pks["task"])
    assert (task["state"], task["worker"], task["lease_until"]) == ("waiting", "", None)

    assert stopped_in_the_middle(site, pks["waiting"], signal.SIGKILL) == -signal.SIGKILL
    assert site.row("shop_backgroundtask", pks["task"])["state"] == "running"

    site.let_the_lease_run_out(pks["task"])
    with ended(site.worker()) as third:
        assert third.wait(PATIENCE_SECONDS) == 0
    task = site.row("shop_backgroundtask", pks["task"])
    assert (task["state"], task["done_share"]) == ("done", 1.0)
    resumed = site.row("fitment_optionsearch", pks["waiting"])
    whole = site.row("fitment_optionsearch", pks["done"])
    assert resumed["done"] == resumed["settings"]
    assert {name: resumed[name] for name in SAME} == {name: whole[name] for name in SAME}
