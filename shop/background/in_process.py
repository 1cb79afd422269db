"""A worker in the process that serves pages, for a shop that starts none."""

from __future__ import annotations

import threading

from django.db import connections

from shop.background.runner import work_off

#: Name of its thread.
NAME = "background tasks"
#: Seconds without work after which it ends.
IDLE_SECONDS = 20.0

_lock = threading.Lock()
_thread: threading.Thread | None = None


def begin() -> None:
    """Start the worker of this process, unless it is at work."""
    global _thread
    with _lock:
        if _thread is None or not _thread.is_alive():
            _thread = threading.Thread(target=_work, name=NAME, daemon=True)
            _thread.start()


def _work() -> None:
    try:
        work_off(lambda: False, idle_seconds=IDLE_SECONDS)
    finally:
        connections.close_all()
