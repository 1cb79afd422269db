"""The demo shop, built once for all tests of this folder; each test finds it as it was built."""

from __future__ import annotations

import pickle
from collections.abc import Iterator
from dataclasses import dataclass
from io import StringIO
from typing import Any

import pytest
from django.core.management import call_command

from shop.extensions.points import DEMO_BUILDERS
from tests.lasting import lasting_rows

Stage = dict[str, Any]


@dataclass
class Demo:
    """What the demo's command printed, and its builders' stage as it was then, pickled."""

    printed: str = ""
    stage: bytes = b""


@pytest.fixture(scope="package")
def demo(django_db_setup: None, django_db_blocker: Any) -> Iterator[Demo]:
    """The demo as its command builds it, in a transaction that ends with the last test."""
    out = StringIO()
    stages: list[Stage] = []  # the last of the builders builds nothing: it keeps the stage
    with lasting_rows(django_db_blocker) as unblocked:
        with unblocked(), DEMO_BUILDERS.swapped(*DEMO_BUILDERS, stages.append):
            call_command("demo_shop", stdout=out)
        yield Demo(out.getvalue(), pickle.dumps(stages.pop()))


@pytest.fixture
def stage(demo: Demo, db: None) -> Stage:
    """The demo's rows by their names; a test may change them, and the next finds them unchanged."""
    copied: Stage = pickle.loads(demo.stage)
    return copied
