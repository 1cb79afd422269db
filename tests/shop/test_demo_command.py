"""The demo: built once, told on the second run, never a way into a real site."""

from __future__ import annotations

from io import StringIO
from typing import Any

import pytest
from django.core.management import CommandError, call_command

from shop.extensions.points import DEMO_BUILDERS
from shop.management.commands.demo_shop import DEMO_PASSWORD
from shop.models import User

BUILT: list[dict[str, Any]] = []


def builder(stage: dict[str, Any]) -> None:
    stage["order"] = [*stage.get("order", []), len(stage)]
    User.objects.get_or_create(username="demo", defaults={"role": "manager"})
    BUILT.append(stage)


@pytest.fixture(autouse=True)
def _own_builders(swap_plugs: Any) -> None:
    BUILT.clear()
    swap_plugs(DEMO_BUILDERS, builder, builder)


def run(*args: str) -> str:
    out = StringIO()
    call_command("demo_shop", *args, stdout=out)
    return out.getvalue()


@pytest.mark.django_db
def test_builders_share_one_stage_and_run_in_order() -> None:
    words = run()
    assert BUILT[0] is BUILT[1]
    assert BUILT[0]["password"] == DEMO_PASSWORD
    assert "demo" in words


@pytest.mark.django_db
def test_a_second_run_changes_nothing() -> None:
    run("--if-empty")
    run("--if-empty")
    assert len(BUILT) == 2
    with pytest.raises(CommandError, match="people already"):
        run()


@pytest.mark.django_db
def test_outside_debug_it_needs_force_and_a_password_of_ones_own(settings: Any) -> None:
    settings.DEBUG = False
    settings.TESTING = False
    with pytest.raises(CommandError, match="--force"):
        run()
    with pytest.raises(CommandError, match="12 characters"):
        run("--force", "--password", "short")
    words = run("--force", "--password", "long enough to guard")
    assert BUILT[0]["password"] == "long enough to guard"
    assert "long enough" not in words
