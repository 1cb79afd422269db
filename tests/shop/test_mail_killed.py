"""Workers that are killed while they send: real processes, a real server, a database file."""

from __future__ import annotations

import os
import signal
import sqlite3
import subprocess
import sys
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from django.conf import settings

from tests.smtp import Box, mail_server

pytestmark = pytest.mark.database

MAKE = """
from shop.models import Mail
Mail.objects.create(kind="password", to="a@example.org", subject="S", body="B", language="de")
"""
WAIT_SECONDS = 60


class Site:
    """A site of its own in a folder, whose commands are run as processes."""

    def __init__(self, folder: Path) -> None:
        self.file = folder / "archroom.sqlite3"
        left_out = {"DATABASE_URL", "DJANGO_SETTINGS_MODULE", "PYTEST_CURRENT_TEST"}
        self.environment = {k: v for k, v in os.environ.items() if k not in left_out}
        self.environment |= {
            "ARCHROOM_VAR": str(folder),
            "ARCHROOM_MAIL_HOST": "127.0.0.1",
            "ARCHROOM_MAIL_TLS": "no",
            "ARCHROOM_MAIL_FROM": "desk@shop.example",
        }

    def begin(self, *words: str) -> subprocess.Popen[bytes]:
        self.environment["ARCHROOM_MAIL_PORT"] = str(settings.EMAIL_PORT)
        command = [sys.executable, str(settings.BASE_DIR / "manage.py"), *words]
        return subprocess.Popen(command, env=self.environment, stdout=subprocess.DEVNULL)

    def run(self, *words: str) -> None:
        assert self.begin(*words).wait(timeout=WAIT_SECONDS) == 0

    def rows(self, sql: str) -> list[tuple[object, ...]]:
        with sqlite3.connect(self.file) as rows:
            return rows.execute(sql).fetchall()

    def kill_while(self, box: Box, at: str) -> None:
        """Start a worker, kill it where the server holds it, and let its lease run out."""
        box.holds_at = at
        worker = self.begin("worker")
        try:
            assert box.is_held.wait(timeout=WAIT_SECONDS)
        finally:
            worker.send_signal(signal.SIGKILL)
            worker.wait(timeout=WAIT_SECONDS)
        box.holds_at = ""
        self.rows("update shop_mail set lease_until = '2020-01-01 00:00:00'")


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Site:
    made = Site(tmp_path_factory.mktemp("killed"))
    made.run("migrate", "--verbosity", "0")
    return made


@pytest.fixture
def box() -> Iterator[Box]:
    with mail_server() as box:
        yield box


@pytest.fixture
def queued(site: Site, box: Box) -> Iterator[Callable[[], None]]:
    site.run("shell", "--verbosity", "0", "-c", MAKE)
    yield lambda: site.run("worker", "--idle", "0.5")
    site.rows("delete from shop_mail")


def test_killed_before_the_text_it_is_sent_once_by_the_next(
    site: Site, box: Box, queued: Callable[[], None]
) -> None:
    site.kill_while(box, "rcpt")
    assert site.rows("select state from shop_mail") == [("taken",)]
    queued()
    assert site.rows("select state, attempts from shop_mail") == [("sent", 2)]
    assert len(box.taken) == 1


def test_killed_within_the_text_it_is_not_sent_again_by_itself(
    site: Site, box: Box, queued: Callable[[], None]
) -> None:
    site.kill_while(box, "text")
    assert site.rows("select state from shop_mail") == [("handing",)]
    queued()
    assert site.rows("select state, attempts from shop_mail") == [("unsure", 1)]
    assert len(box.taken) == 1
