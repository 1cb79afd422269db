"""What a competition class allows: limits with the words of the rule that sets them."""

from __future__ import annotations

from typing import ClassVar

from django.db import models
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from shop.models.axles import PartAxle
from shop.models.vehicles import ADJUSTERS, PartKind
from shop.models.versioned import Versioned


class RuleKind(models.TextChoices):
    """What a rule limits. ``item`` names what is barred, ``limit`` is the bound of the others."""

    CAMBER_MOST = "camber_most", _("Camber no more negative than, °")
    HEIGHT_LEAST = "height_least", _("Ride height, hub to lip, at least, mm")
    LOWERED_MOST = "lowered_most", _("Lowered by at most, mm")
    WHEEL_WIDTH_MOST = "wheel_width_most", _("Wheel width at most, in")
    WHEEL_DIAMETER_MOST = "wheel_diameter_most", _("Wheel diameter at most, in")
    TYRE_WIDTH_MOST = "tyre_width_most", _("Tyre width by its size at most, mm")
    ADJUSTER_BARRED = "adjuster_barred", _("Adjuster that may not be used")
    PART_BARRED = "part_barred", _("Kind of part that may not be fitted")


#: Kinds of rule that name something instead of a limit.
BARRED = (RuleKind.ADJUSTER_BARRED, RuleKind.PART_BARRED)


class ClassRecord(Versioned):
    """A class of one season as this shop wrote it down from the rule book."""

    name = models.CharField(_("class"), max_length=120)
    season = models.CharField(_("season"), max_length=20, help_text=_("For example 2026"))
    source = models.CharField(
        _("source"), max_length=200, help_text=_("Rule book, and where it was read")
    )
    dated = models.DateField(_("as of"), help_text=_("Date of the rules"))
    notes = models.TextField(_("notes"), blank=True)

    class Meta:
        ordering: ClassVar = ["name", "-season"]
        constraints: ClassVar = [
            models.UniqueConstraint(fields=["name", "season"], name="class_once_a_season")
        ]

    def __str__(self) -> str:
        return f"{self.name} {self.season}"

    def get_absolute_url(self) -> str:
        return reverse("class_record", args=[self.pk])


class ClassRule(models.Model):
    """One limit. ``item`` is an adjuster's name or a kind of part; ``wording`` the rule's text."""

    record = models.ForeignKey(ClassRecord, on_delete=models.CASCADE, related_name="rules")
    kind = models.CharField(_("what it limits"), max_length=20, choices=RuleKind.choices)
    axle = models.CharField(_("axle"), max_length=5, choices=PartAxle.choices, default=PartAxle.ANY)
    limit = models.FloatField(_("limit"), null=True, blank=True)
    item = models.CharField(_("what is barred"), max_length=40, blank=True)
    wording = models.CharField(_("text of the rule"), max_length=300)
    paragraph = models.CharField(_("paragraph"), max_length=20, blank=True)
    position = models.PositiveIntegerField(default=0)

    class Meta:
        ordering: ClassVar = ["position", "pk"]
        constraints: ClassVar = [
            models.CheckConstraint(
                condition=models.Q(kind__in=BARRED, limit__isnull=True) & ~models.Q(item="")
                | ~models.Q(kind__in=BARRED) & models.Q(limit__isnull=False, item=""),
                name="rule_has_limit_or_item",
            )
        ]

    def __str__(self) -> str:
        return f"{self.paragraph} {self.wording}".strip()

    @property
    def item_words(self) -> str:
        """What is barred, in words."""
        if self.kind == RuleKind.PART_BARRED:
            return str(PartKind(self.item).label)
        return str(dict(ADJUSTERS).get(self.item, self.item))
