"""Tasks begun, cancelled, and handed to the workers."""

from __future__ import annotations

import logging
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import timedelta
from typing import TYPE_CHECKING

from django.conf import settings
from django.db import DatabaseError, transaction
from django.db.models import F, Q
from django.utils import timezone

from shop.extensions.points import CHORES, TASK_KINDS, TASK_WORKER
from shop.models import BackgroundTask, TaskState, TaskWorker

if TYPE_CHECKING:
    from datetime import datetime

    from django.db.models import QuerySet

    from shop.extensions.background import TaskKind
    from shop.models import User

logger = logging.getLogger("archroom.background")
#: Seconds between two looks of a process that serves pages for work that fell due meanwhile.
LOOK_EVERY = 30.0
_looked_at = 0.0

#: For so long a task is held after its worker was last heard of.
LEASE = timedelta(seconds=60)
#: A worker that was not heard of for so long is taken for gone, unless it holds a task.
WORKER_GONE = timedelta(seconds=15)
#: A task that was begun so often without keeping anything is given up.
MOST_ATTEMPTS = 5


class Alone:
    """Work without a task, for those who wait for it: commands, the demonstration, tests."""

    is_cancelled = False

    def __init__(self, subject: int) -> None:
        self.subject = subject

    def tell(self, done_share: float) -> bool:
        return True

    @contextmanager
    def keeping(self, done_share: float) -> Iterator[None]:
        with transaction.atomic():
            yield


class UnknownKind(LookupError):
    """No task kind of that name is registered."""


def kind_named(name: str) -> TaskKind:
    """What does a kind of task. Raises UnknownKind."""
    for kind in TASK_KINDS:
        if kind.name == name:
            return kind
    raise UnknownKind(f"no kind of task is called {name}")


def task_start(*, kind: str, subject: int, page: str, by: User) -> BackgroundTask:
    """Put a task on the list; a worker takes it once the transaction is through.

    Raises UnknownKind.
    """
    kind_named(kind)
    task = BackgroundTask.objects.create(kind=kind, subject=subject, page=page, by=by)
    transaction.on_commit(see_to_it)
    return task


def task_cancel(*, task: BackgroundTask) -> None:
    """Ask for a task to stop. One that no worker holds stops at once; what it kept stays."""
    now = timezone.now()
    with transaction.atomic():
        waiting = _to_do(now).filter(pk=task.pk)
        stopped = waiting.update(state=TaskState.CANCELLED, cancel_asked=True, ended_at=now)
        if not stopped:
            running = BackgroundTask.objects.filter(pk=task.pk, state=TaskState.RUNNING)
            running.update(cancel_asked=True)
    task.refresh_from_db()


def see_to_it() -> None:
    """Where no worker is about, and the settings allow it, work tasks off in this process."""
    if not settings.TASKS_IN_PROCESS:
        return
    now = timezone.now()
    if (_to_do(now).exists() or chores_due()) and not a_worker_is_about(now):
        begin = TASK_WORKER.plug
        if begin is not None:
            begin()


def look_now_and_then(**_signal: object) -> None:
    """After a request: begin what fell due meanwhile, such as a mail that is tried again."""
    global _looked_at
    if not settings.TASKS_IN_PROCESS or time.monotonic() - _looked_at < LOOK_EVERY:
        return
    _looked_at = time.monotonic()
    try:
        see_to_it()
    except DatabaseError as error:  # the request itself is answered already
        logger.warning("Could not look for work that fell due: %s", error)


def chores_due() -> bool:
    return any(chore.is_due() for chore in CHORES)


def chores_expected() -> bool:
    """Whether something falls due soon that nothing but a worker sees."""
    return any(chore.is_expected() for chore in CHORES)


def chores_run(is_ending: Callable[[], bool]) -> bool:
    """Do what is due; answers whether there was something. One that fails stops no other."""
    done = False
    for chore in CHORES:
        if is_ending():
            break
        try:
            if chore.is_due():
                done = True
                chore.run(is_ending)
        except Exception:
            logger.exception("The chore %s failed.", chore.name)
            done = False
    return done


def a_worker_is_about(now: datetime) -> bool:
    """Whether a worker was heard of lately, or is in the middle of a task."""
    at_work = BackgroundTask.objects.filter(state=TaskState.RUNNING, lease_until__gte=now)
    return TaskWorker.objects.filter(seen_at__gte=now - WORKER_GONE).exists() or at_work.exists()


def task_claim(*, worker: str) -> BackgroundTask | None:
    """The next task to do, held by ``worker`` from now on; None where there is none.

    Tasks come in the order in which they were begun; those of a worker that died among them.
    """
    while True:
        now = timezone.now()
        task = _to_do(now).order_by("pk").first()
        if task is None:
            return None
        mine = (
            _to_do(now)
            .filter(pk=task.pk)
            .update(
                state=TaskState.RUNNING,
                worker=worker,
                lease_until=now + LEASE,
                attempts=F("attempts") + 1,
            )
        )
        if mine:
            task.refresh_from_db()
            return task


def worker_seen(*, worker: str) -> None:
    """A worker says that it is about."""
    TaskWorker.objects.update_or_create(name=worker, defaults={"seen_at": timezone.now()})
    long_gone = timezone.now() - timedelta(days=1)
    TaskWorker.objects.filter(seen_at__lt=long_gone).delete()


def worker_left(*, worker: str) -> None:
    """A worker says that it goes."""
    TaskWorker.objects.filter(name=worker).delete()


def _to_do(now: datetime) -> QuerySet[BackgroundTask]:
    """Tasks that no worker holds: those that wait, and those whose worker was not heard of."""
    lost = Q(state=TaskState.RUNNING, lease_until__lt=now)
    return BackgroundTask.objects.filter(Q(state=TaskState.WAITING) | lost)
