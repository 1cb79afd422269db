"""Forms that were sent, each once, with what came of them."""

from __future__ import annotations

from django.db import models
from django.utils import timezone


class SentForm(models.Model):
    """One form as one person sent it: the same form sent again is answered by this row.

    ``digest`` stands for the key that the form carried, the person, the address and all that was
    filled in. ``location`` is the address of what was made; empty while work is going on.
    """

    digest = models.CharField(max_length=64, unique=True)
    location = models.TextField(blank=True)
    at = models.DateTimeField(default=timezone.now, db_index=True)

    def __str__(self) -> str:
        return self.location
