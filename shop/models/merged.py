"""Rows that were merged into another one: nothing of them is lost, and their pages lead there."""

from __future__ import annotations

from typing import Self

from django.conf import settings
from django.db import models

from shop.models.searching import Row, SearchedQuerySet


class MergedQuerySet(SearchedQuerySet[Row]):
    """Rows of which some were merged into others; a search does not find those."""

    def unmerged(self) -> Self:
        return self.filter(merged_into__isnull=True)

    def search(self, typed: str) -> Self:
        return super().search(typed).filter(merged_into__isnull=True)


class Merged(models.Model):
    """``merged_into`` is the row that is kept instead of this one, ``merged_by`` who decided so."""

    merged_into = models.ForeignKey(
        "self",
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        editable=False,
        related_name="merged_rows",
    )
    merged_at = models.DateTimeField(null=True, blank=True, editable=False)
    merged_by = models.ForeignKey(
        settings.AUTH_USER_MODEL,
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        editable=False,
        related_name="+",
    )

    class Meta:
        abstract = True
