"""Background tasks in tests, where no worker is about."""

from __future__ import annotations

import threading

from django.db import connections

from shop.background.runner import work_on
from shop.background.services import task_claim


def run_tasks(worker: str = "a test") -> int:
    """Work off all that waits; how many tasks that was."""
    count = 0
    while (task := task_claim(worker=worker)) is not None:
        work_on(task, worker)
        count += 1
    return count


def run_tasks_aside() -> int:
    """The same while a browser's page is open, when Django refuses this thread the database.

    A database in memory is shared with the thread that does it, as a live server's is.
    """
    shared = {
        one.alias: one
        for one in connections.all()
        if one.vendor == "sqlite" and one.is_in_memory_db()  # type: ignore[attr-defined]
    }
    done: list[int] = []

    def work() -> None:
        for alias, one in shared.items():
            connections[alias] = one
        done.append(run_tasks())
        for one in connections.all(initialized_only=True):
            if one.alias not in shared:
                one.close()

    for one in shared.values():
        one.inc_thread_sharing()
    try:
        thread = threading.Thread(target=work)
        thread.start()
        thread.join()
    finally:
        for one in shared.values():
            one.dec_thread_sharing()
    return sum(done)
