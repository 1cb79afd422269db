"""The loop of a worker: claim a task, work on it, let go of it."""

from __future__ import annotations

import logging
import time
from collections.abc import Callable

from django.db import close_old_connections, connection
from django.utils.crypto import get_random_string
from django.utils.translation import gettext

from common.shortened import shortened
from shop.background.held import HeldTask, TaskTaken
from shop.background.services import (
    MOST_ATTEMPTS,
    UnknownKind,
    chores_expected,
    chores_run,
    kind_named,
    task_claim,
    worker_left,
    worker_seen,
)
from shop.models import BackgroundTask, TaskState

logger = logging.getLogger("archroom.background")

#: Seconds between two looks at an empty list.
IDLE_SECONDS = 1.0

Ending = Callable[[], bool]


def work_off(is_ending: Ending, *, idle_seconds: float | None = None) -> None:
    """Work tasks off until the worker has to end, or had nothing to do for ``idle_seconds``."""
    worker = get_random_string(32)
    idle_since = time.monotonic()
    try:
        while not is_ending():
            _let_go_of_old_connections()
            worker_seen(worker=worker)
            if chores_run(is_ending):
                idle_since = time.monotonic()
            task = task_claim(worker=worker)
            if task is not None:
                work_on(task, worker, is_ending)
                idle_since = time.monotonic()
                continue
            idle = time.monotonic() - idle_since
            if idle_seconds is not None and idle >= idle_seconds and not chores_expected():
                return
            time.sleep(IDLE_SECONDS)
    finally:
        worker_left(worker=worker)
        _let_go_of_old_connections()


def _let_go_of_old_connections() -> None:
    """As between two requests: those too old, and those that broke. Never in a transaction."""
    if not connection.in_atomic_block:
        close_old_connections()


def work_on(task: BackgroundTask, worker: str, is_ending: Ending = lambda: False) -> None:
    """Work on a claimed task, and let go of it: done, cancelled, failed, or put back."""
    held = HeldTask(task, worker, is_ending)
    if task.attempts > MOST_ATTEMPTS:
        trouble = gettext("begun {count} times without getting further")
        held.end(TaskState.FAILED, trouble.format(count=MOST_ATTEMPTS))
        return
    try:
        kind_named(task.kind).run(held)
    except TaskTaken:
        logger.warning("Task %s was taken over by another worker.", task.pk)
    except UnknownKind as unknown:
        held.end(TaskState.FAILED, str(unknown))
    except Exception as error:
        logger.exception("Task %s, %s, failed.", task.pk, task.kind)
        held.end(TaskState.FAILED, shortened(f"{type(error).__name__}: {error}", 1000))
    else:
        held.end(_state_of(held))


def _state_of(held: HeldTask) -> TaskState:
    if held.is_cancelled:
        return TaskState.CANCELLED
    return TaskState.WAITING if held.has_to_stop else TaskState.DONE
