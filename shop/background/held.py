"""A task in the hands of a worker: its lease, its progress, and what is kept of it."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager

from django.db import transaction
from django.utils import timezone

from shop.background.services import LEASE
from shop.models import BackgroundTask, TaskState, TaskWorker

#: Seconds between two times that progress is written down.
WRITTEN_EVERY = 1.0


class TaskTaken(Exception):
    """Another worker holds the task by now."""


class HeldTask:
    """Work on one task, as ``shop.extensions.background.Work`` asks it.

    ``is_ending`` tells whether the worker itself has to stop.
    """

    def __init__(
        self, task: BackgroundTask, worker: str, is_ending: Callable[[], bool] = lambda: False
    ) -> None:
        self._pk, self._worker, self._is_ending = task.pk, worker, is_ending
        self._share = task.done_share
        self._written_at = time.monotonic()
        self._taken = False
        self.subject = task.subject
        self.is_cancelled = task.cancel_asked

    @property
    def has_to_stop(self) -> bool:
        return self._taken or self.is_cancelled or self._is_ending()

    def tell(self, done_share: float) -> bool:
        """Say how much is done; answers whether to go on."""
        self._share = min(max(self._share, done_share), 1.0)
        if time.monotonic() - self._written_at >= WRITTEN_EVERY:
            self._write()
        return not self.has_to_stop

    def _write(self) -> None:
        self._written_at = time.monotonic()
        now = timezone.now()
        mine = BackgroundTask.objects.filter(
            pk=self._pk, worker=self._worker, state=TaskState.RUNNING
        )
        self._taken = not mine.update(lease_until=now + LEASE, done_share=self._share)
        self.is_cancelled = mine.filter(cancel_asked=True).exists()
        TaskWorker.objects.filter(name=self._worker).update(seen_at=now)

    @contextmanager
    def keeping(self, done_share: float) -> Iterator[None]:
        """A transaction in which a step's outcome is kept. Raises TaskTaken, and keeps nothing."""
        self._share = min(max(self._share, done_share), 1.0)
        with transaction.atomic():
            mine = BackgroundTask.objects.filter(
                pk=self._pk, worker=self._worker, state=TaskState.RUNNING
            )
            if not mine.update(
                lease_until=timezone.now() + LEASE, done_share=self._share, attempts=1
            ):
                self._taken = True
                raise TaskTaken
            yield

    def end(self, state: TaskState, trouble: str = "") -> None:
        """Let go of the task; nothing where another worker holds it by now."""
        over = state != TaskState.WAITING
        BackgroundTask.objects.filter(
            pk=self._pk, worker=self._worker, state=TaskState.RUNNING
        ).update(
            state=state,
            worker="",
            lease_until=None,
            trouble=trouble,
            ended_at=timezone.now() if over else None,
            done_share=1.0 if state == TaskState.DONE else self._share,
            **({} if over else {"attempts": 0}),
        )
