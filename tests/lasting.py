"""Rows that are made once for many tests, each of which finds them as they were made.

They stand in a transaction that ends with the last of these tests; what a test changes is taken
back by its own, within. Tests that need real transactions cannot have them.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, contextmanager
from typing import Any

from django.db import transaction

Unblocked = Callable[[], AbstractContextManager[None]]


@contextmanager
def lasting_rows(blocker: Any) -> Iterator[Unblocked]:
    """Yields ``unblocked``: ``with unblocked():`` rows are made in the transaction that lasts."""
    with blocker.unblock():
        rows = transaction.atomic()
        rows.__enter__()
    yield blocker.unblock
    with blocker.unblock():
        transaction.set_rollback(True)
        rows.__exit__(None, None, None)
