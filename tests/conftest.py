"""The cast: people of the shop, a stranger, and browsers signed in as any of them."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator
from contextlib import ExitStack
from importlib import import_module
from typing import Any

import pytest
from hypothesis import settings as hypothesis_settings

#: What hypothesis tries takes as long as it takes: machines differ, and no test measures time.
hypothesis_settings.register_profile("unhurried", deadline=None)
hypothesis_settings.load_profile("unhurried")

IN_CI = os.environ.get("CI", "").lower() in {"1", "true", "yes"}
CHROMIUM = os.environ.get("CHROMIUM", "/usr/bin/chromium")
PASSWORD = "a sentence only tests use"

try:  # the engine's tests run where there is no Django
    from django.test import Client
except ImportError:
    Client = None  # type: ignore[assignment, misc]


def missing(what: str) -> None:
    """Fail in CI, where nothing may be left out silently; skip with the reason elsewhere."""
    if IN_CI:
        pytest.fail(f"CI must have it: {what}")
    pytest.skip(what)


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """What needs real transactions is for every database; browsers, which wait, come first."""
    for item in items:
        asked = item.get_closest_marker("django_db")
        real = asked is not None and asked.kwargs.get("transaction", False)
        if (real and not item.get_closest_marker("browser")) or item.get_closest_marker("postgres"):
            item.add_marker("database")
    items.sort(key=lambda item: item.get_closest_marker("browser") is None)


def pytest_runtest_setup(item: pytest.Item) -> None:
    if item.get_closest_marker("browser") and not os.path.exists(CHROMIUM):
        missing(f"{CHROMIUM} is not installed")
    if item.get_closest_marker("postgres"):
        from django.db import connection

        if connection.vendor != "postgresql":
            if os.environ.get("ARCHROOM_SQLITE_RUN"):  # another run has PostgreSQL
                pytest.skip("this is the run on SQLite; the run on PostgreSQL has this test")
            missing("DATABASE_URL names no PostgreSQL server")


if Client is not None:

    def pytest_configure(config: pytest.Config) -> None:
        """Compile catalogues that changed, for runs without make; workers may do so at once."""
        from shop.languages.catalogues import compile_catalogues

        compile_catalogues()

    def _person(role: str, name: str, **more: Any) -> Any:
        from shop.models import User

        user = User(username=name, role=role, display_name=name.capitalize(), **more)
        user.set_password(PASSWORD)
        user.save()
        return user

    @pytest.fixture(autouse=True)
    def _clean_cache() -> Any:
        """Counters and the shop's clock live in the cache; no test inherits them."""
        from django.core.cache import cache

        cache.clear()
        yield
        cache.clear()

    @pytest.fixture(scope="session", autouse=True)
    def _own_media(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
        """Uploads of a session, or of one of its workers, lie in a folder of their own."""
        from django.test import override_settings

        with override_settings(MEDIA_ROOT=tmp_path_factory.mktemp("media")):
            yield

    @pytest.fixture(scope="session", autouse=True)
    def _starting_rows() -> Iterator[None]:
        """The rows of a new site come back whenever a transactional test has emptied it."""
        from django.apps import apps
        from django.db.models.signals import post_migrate

        start = import_module("fitment.migrations.0003_use_profiles")
        loads = import_module("fitment.migrations.0009_further_loads")

        def restored(**_: Any) -> None:
            start.add_profiles(apps, None)
            loads.add_loads(apps, None)

        post_migrate.connect(restored, sender=apps.get_app_config("fitment"))
        yield
        post_migrate.disconnect(restored, sender=apps.get_app_config("fitment"))

    @pytest.fixture(scope="module")
    def lasting(django_db_setup: None, django_db_blocker: Any) -> Iterator[Any]:
        """``with lasting():`` makes rows for all tests of a module (see ``tests/lasting.py``)."""
        from tests.lasting import lasting_rows

        with lasting_rows(django_db_blocker) as unblocked:
            yield unblocked

    @pytest.fixture
    def writer(db: None) -> Any:
        return _person("writer", "wanda")

    @pytest.fixture
    def technician(db: None) -> Any:
        return _person("technician", "tomas")

    @pytest.fixture
    def manager(db: None) -> Any:
        return _person("manager", "mirela")

    @pytest.fixture
    def swap_plugs() -> Any:
        """``swap_plugs(POINT, plug, …)``: these plugs and no others, until the test ends."""
        with ExitStack() as swaps:
            yield lambda point, *plugs: swaps.enter_context(point.swapped(*plugs))

    @pytest.fixture
    def client_of() -> Callable[[Any], Client]:
        """``client_of(user)``: a browser in which that person is signed in."""

        def signed_in(user: Any) -> Client:
            client = Client()
            client.force_login(user, backend="django.contrib.auth.backends.ModelBackend")
            return client

        return signed_in

    @pytest.fixture
    def stranger(db: None) -> Client:
        """A browser that is not signed in."""
        return Client()
