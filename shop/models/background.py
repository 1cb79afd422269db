"""Work that is done off the request, and who does it."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from django.conf import settings
from django.db import models
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

if TYPE_CHECKING:
    from datetime import datetime


class TaskState(models.TextChoices):
    """Where a background task stands."""

    WAITING = "waiting", _("waiting")
    RUNNING = "running", _("running")
    DONE = "done", _("done")
    CANCELLED = "cancelled", _("cancelled")
    FAILED = "failed", _("failed")


class BackgroundTask(models.Model):
    """One piece of work: what it is, how far it is, and who is at it.

    ``kind`` names what does it (``TASK_KINDS``), ``subject`` the row that it is about, ``page``
    where people follow it. Whoever works on it holds it until ``lease_until`` and renews that as
    it goes on; what a process that died had begun is done again from the last step that was kept.
    ``attempts`` counts the beginnings since then.
    """

    kind = models.CharField(max_length=40)
    subject = models.PositiveBigIntegerField()
    page = models.CharField(max_length=200)
    state = models.CharField(max_length=9, choices=TaskState.choices, default=TaskState.WAITING)
    done_share = models.FloatField(default=0.0)
    cancel_asked = models.BooleanField(default=False)
    worker = models.CharField(max_length=32, blank=True)
    lease_until = models.DateTimeField(null=True)
    attempts = models.PositiveSmallIntegerField(default=0)
    trouble = models.TextField(blank=True)
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField(default=timezone.now)
    ended_at = models.DateTimeField(null=True)

    class Meta:
        ordering: ClassVar = ["pk"]
        indexes: ClassVar = [models.Index(fields=["state", "lease_until"], name="task_to_do")]
        constraints: ClassVar = [
            models.CheckConstraint(
                condition=models.Q(state__in=[str(state.value) for state in TaskState]),
                name="task_state_known",
            ),
            models.CheckConstraint(
                condition=models.Q(done_share__gte=0.0, done_share__lte=1.0),
                name="task_share_within",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.kind} {self.subject}: {self.state}"

    @property
    def is_over(self) -> bool:
        return self.state not in (TaskState.WAITING, TaskState.RUNNING)

    @property
    def percent(self) -> int:
        """How much of it is done, in whole per cent."""
        return int(100 * self.done_share)

    def is_lost(self, now: datetime) -> bool:
        """Whether whoever was at it has not been heard of."""
        return self.state == TaskState.RUNNING and (
            self.lease_until is None or self.lease_until < now
        )


class TaskWorker(models.Model):
    """A process that works tasks off, and when it was last heard of."""

    name = models.CharField(max_length=32, unique=True)
    seen_at = models.DateTimeField(default=timezone.now)

    def __str__(self) -> str:
        return self.name
