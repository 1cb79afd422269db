"""Working out what is on record, where what is on record may make it impossible.

A reading that was taken once is shown again and again. Should working it out ever fail in a way
that was not foreseen, its page must still open, so that the reading can be withdrawn there.
"""

from __future__ import annotations

import logging
from collections.abc import Callable
from typing import TypeVar

from django.db import DatabaseError

Found = TypeVar("Found")
_log = logging.getLogger(__name__)


def worked_out(what: str, make: Callable[[], Found]) -> Found | None:
    """What ``make`` answers; None, with the traceback in the site's log, where it fails."""
    try:
        return make()
    except DatabaseError:
        raise
    except Exception:
        _log.exception("%s cannot be worked out", what)
        return None
