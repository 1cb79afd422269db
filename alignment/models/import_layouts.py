"""How to read the columns of a table from elsewhere: a layout that the shop keeps by name."""

from __future__ import annotations

from typing import ClassVar

from django.conf import settings
from django.db import models
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext_lazy as _
from django.utils.translation import pgettext_lazy

from shop.models.versioned import Versioned


class Delimiter(models.TextChoices):
    COMMA = ",", _("comma")
    SEMICOLON = ";", _("semicolon")
    TAB = "\t", _("tab")
    BAR = "|", pgettext_lazy("a delimiter", "bar")


class DecimalMark(models.TextChoices):
    POINT = ".", _("a point: 1.25")
    COMMA = ",", _("a comma: 1,25")


class ImportLayout(Versioned):
    """Columns of a table of readings, in the order of the table.

    ``columns`` is a list of ``alignment.visits.tables.columns.Column`` as dictionaries.
    ``header_row`` is the number of the row with the columns' names, counted from 1; 0 when the
    table has none, and columns are then named by their number.
    """

    name = models.CharField(max_length=80, unique=True)
    delimiter = models.CharField(
        max_length=1, choices=Delimiter.choices, default=Delimiter.SEMICOLON
    )
    decimal_mark = models.CharField(
        max_length=1, choices=DecimalMark.choices, default=DecimalMark.COMMA
    )
    header_row = models.PositiveSmallIntegerField(default=1)
    toe_diameter_mm = models.FloatField(null=True, blank=True)
    columns = models.JSONField(default=list)
    saved_at = models.DateTimeField(default=timezone.now, editable=False)
    saved_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, related_name="+"
    )

    class Meta:
        ordering: ClassVar = ["name"]
        constraints: ClassVar = [
            models.CheckConstraint(
                condition=models.Q(toe_diameter_mm__isnull=True) | models.Q(toe_diameter_mm__gt=0),
                name="import_layout_diameter_positive",
            ),
        ]

    def __str__(self) -> str:
        return self.name

    def get_absolute_url(self) -> str:
        return reverse("import_layout", args=[self.pk])
