"""A site of an earlier release, with its data, becomes one of today: nothing is lost."""

from __future__ import annotations

import gzip
import json
import sqlite3
import tomllib
from contextlib import closing
from pathlib import Path

import pytest

from tests.upgrade.release import KEPT, ROOT, database_in, keep, manage

RELEASES = sorted(file.name.removesuffix(".sql.gz") for file in KEPT.glob("*.sql.gz"))

#: What is asked of a site after its upgrade, in the site's own process.
LOOK = """
import json
from django.test import Client
from django.urls import reverse
from fitment.models import ClearanceCheck
from shop.models import Quote, User, WorkOrder
from shop.orders.services.changes import order_number_next
client = Client()
client.force_login(User.objects.filter(role="manager").first())
pages = [reverse("home"), reverse("order_list"), reverse("shop_settings")]
pages += [order.get_absolute_url() for order in WorkOrder.objects.all()]
pages += [reverse("clearance", args=[order.pk]) for order in WorkOrder.objects.all()]
pages += [check.get_absolute_url() for check in ClearanceCheck.objects.all()]
pages += [reverse("customer_order", args=[order.token]) for order in WorkOrder.objects.all()]
codes = {page: client.get(page, headers={"host": "localhost"}).status_code for page in pages}
wrong = {page: code for page, code in codes.items() if code != 200}
given = max(int(number[1:]) for number in WorkOrder.objects.values_list("number", flat=True))
found = {"pages": len(pages), "wrong": wrong, "given": given, "next": order_number_next()}
print("LOOKED " + json.dumps(found))
"""


def rows_in(database: Path) -> dict[str, int]:
    """How many rows each table of the shop has."""
    with closing(sqlite3.connect(database)) as connection:
        names = [
            name
            for (name,) in connection.execute("SELECT name FROM sqlite_master WHERE type = 'table'")
            if name.partition("_")[0] in ("shop", "alignment", "fitment")
        ]
        return {
            name: connection.execute(f'SELECT count(*) FROM "{name}"').fetchone()[0]
            for name in names
        }


def restored(version: str, folder: Path) -> Path:
    """The data of a release, in a folder as the site keeps them."""
    file = folder / "archroom.sqlite3"
    with closing(sqlite3.connect(file)) as connection:
        connection.executescript(
            gzip.decompress((KEPT / f"{version}.sql.gz").read_bytes()).decode()
        )
    return file


def test_the_data_of_this_release_are_kept_before_it_is_tagged() -> None:
    stated = tomllib.loads((ROOT / "pyproject.toml").read_text())["project"]["version"]
    assert stated in RELEASES


def test_what_was_kept_is_never_written_again() -> None:
    with pytest.raises(FileExistsError, match=RELEASES[0]):
        keep(RELEASES[0])


@pytest.mark.parametrize("version", RELEASES)
def test_a_site_of_a_release_is_upgraded_with_all_its_data(version: str, tmp_path: Path) -> None:
    before = rows_in(restored(version, tmp_path))
    assert before["shop_workorder"] > 5
    assert before["fitment_clearancecheck"] > 5
    manage(tmp_path, "migrate", "--no-input", "--verbosity", "0")
    manage(tmp_path, "migrate", "--check")
    after = rows_in(database_in(tmp_path))
    assert {name: after.get(name) for name in before} == before
    printed = manage(tmp_path, "shell", "--verbosity", "0", "-c", LOOK)
    (line,) = (line for line in printed.splitlines() if line.startswith("LOOKED "))
    looked = json.loads(line.removeprefix("LOOKED "))
    assert looked["wrong"] == {}
    assert looked["pages"] > 30
    assert looked["next"] == f"W{looked['given'] + 1:04d}", "the counter of orders went back"
