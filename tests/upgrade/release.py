"""Keep the data of a release: ``python -m tests.upgrade.release`` before it is tagged.

The demo shop is built in a new SQLite file, which is kept as SQL. From then on the upgrade test
begins with it. A release that is kept already is refused: what shops have does not change.
"""

from __future__ import annotations

import gzip
import os
import sqlite3
import subprocess
import sys
import tempfile
import tomllib
from contextlib import closing
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent.parent
KEPT = Path(__file__).resolve().parent / "data"


def manage(folder: Path, *command: str) -> str:
    """What ``manage.py`` prints over the site whose data are in a folder; raises if it fails."""
    environment = {**os.environ, "ARCHROOM_VAR": str(folder), "ARCHROOM_DEBUG": "yes"}
    environment.pop("DATABASE_URL", None)
    done = subprocess.run(
        [sys.executable, "manage.py", *command],
        cwd=ROOT,
        env=environment,
        capture_output=True,
        text=True,
    )
    if done.returncode:
        raise RuntimeError(f"manage.py {' '.join(command)}: {done.stdout}{done.stderr}")
    return done.stdout


def database_in(folder: Path) -> Path:
    (file,) = folder.glob("*.sqlite3")
    return file


def keep(version: str) -> Path:
    """Build the demo and keep it as SQL. Raises FileExistsError for a release that is kept."""
    file = KEPT / f"{version}.sql.gz"
    if file.exists():
        raise FileExistsError(f"{version} is kept already, in {file.name}")
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        manage(folder, "migrate", "--no-input", "--verbosity", "0")
        manage(folder, "demo_shop")
        with closing(sqlite3.connect(database_in(folder))) as database:
            text = "\n".join(database.iterdump())
    file.write_bytes(gzip.compress(text.encode(), mtime=0))
    return file


if __name__ == "__main__":
    stated = tomllib.loads((ROOT / "pyproject.toml").read_text())["project"]["version"]
    sys.stdout.write(f"{keep(stated)}\n")
