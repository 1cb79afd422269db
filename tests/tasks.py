"""Background tasks in tests, where no worker is about."""

from __future__ import annotations

from shop.background.runner import work_on
from shop.background.services import task_claim


def run_tasks(worker: str = "a test") -> int:
    """Work off all that waits; how many tasks that was."""
    count = 0
    while (task := task_claim(worker=worker)) is not None:
        work_on(task, worker)
        count += 1
    return count
