"""Use profiles, and clearance checks as they were when they were made."""

from __future__ import annotations

from typing import Any, ClassVar

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from common.verdicts import GateResult, Verdict, reached
from fitment.models.schemas import ANSWER, CHECK_INPUTS, DRAWINGS, QUICK_OPTIONS, STOPPED
from shop.models.stored import StoredJSONField
from shop.models.versioned import Versioned
from shop.models.words import one_of, word_choices


class UseProfile(Versioned):
    """How a kind of use moves the wheel, and the margin that it asks for.

    ``envelope`` is [[steer fraction, bump fraction], …], rising in steer from 0 to 1.
    """

    name = models.CharField(
        _("name"),
        max_length=12,
        choices=[("street", "Street"), ("autocross", "Autocross"), ("track", "Track")],
        unique=True,
    )
    envelope = models.JSONField()
    droop_fraction = models.FloatField(
        _("droop fraction"), default=1.0, validators=[MinValueValidator(0), MaxValueValidator(1)]
    )
    lateral_g = models.FloatField(
        _("sideways load, g"), default=0.0, validators=[MinValueValidator(0), MaxValueValidator(4)]
    )
    longitudinal_g = models.FloatField(
        _("braking, g"), default=0.0, validators=[MinValueValidator(0), MaxValueValidator(2)]
    )
    inner = models.BooleanField(_("the inside wheel of a bend as well"), default=False)
    needed_hard_mm = models.FloatField(
        _("needed to hard spots, mm"), default=5.0, validators=[MinValueValidator(0)]
    )
    needed_soft_mm = models.FloatField(
        _("needed to soft spots, mm"), default=3.0, validators=[MinValueValidator(0)]
    )

    class Meta:
        ordering: ClassVar = ["lateral_g", "name"]

    def __str__(self) -> str:
        return self.get_name_display()

    def as_document(self) -> dict[str, Any]:
        """This use as the ``duty`` of a check file."""
        return {
            "name": self.name,
            "envelope": self.envelope,
            "droop_fraction": self.droop_fraction,
            "lateral_g": self.lateral_g,
            "longitudinal_g": self.longitudinal_g,
            "inner": self.inner,
            "needed_mm": {"hard": self.needed_hard_mm, "soft": self.needed_soft_mm},
        }


class ClearanceCheck(models.Model):
    """One check of one order, kept whole: what was asked, what came out, by which engine.

    ``inputs`` is the check file, ``answer`` its answer; where the suspension could not be solved
    it is empty, and ``stopped`` says why, as a message. ``unmeasured`` names the corners that had
    no survey, ``scenes`` the drawings by corner, not lettered, ``options`` the changes that were
    tried at corners that do not clear, and what they came to.
    ``digest`` identifies inputs and engine; a check is stale when the order's digest differs.
    """

    order = models.ForeignKey(
        "shop.WorkOrder", on_delete=models.CASCADE, related_name="clearance_checks"
    )
    at = models.DateTimeField(auto_now_add=True)
    by = models.ForeignKey(
        "shop.User", on_delete=models.PROTECT, null=True, related_name="clearance_checks"
    )
    inputs = StoredJSONField(schema=CHECK_INPUTS)
    answer = StoredJSONField(schema=ANSWER, default=dict)
    stopped = StoredJSONField(schema=STOPPED, default=dict)
    scenes = StoredJSONField(schema=DRAWINGS, default=dict)
    options = StoredJSONField(schema=QUICK_OPTIONS, default=dict)
    unmeasured = models.JSONField(default=list)
    engine_version = models.CharField(max_length=40)
    digest = models.CharField(max_length=64, db_index=True)
    verdict = models.CharField(max_length=12, choices=word_choices(Verdict))
    in_reach = models.BooleanField(default=True)

    class Meta:
        ordering: ClassVar = ["-at", "-pk"]
        constraints: ClassVar = [one_of("verdict", Verdict, "check_with_a_known_verdict")]

    def __str__(self) -> str:
        return f"{self.order}: {self.verdict}"

    def get_absolute_url(self) -> str:
        return reverse("clearance_check", args=[self.pk])

    @property
    def result(self) -> GateResult:
        """What decides the gate: the verdict, unless a setting is out of reach."""
        return reached(Verdict(self.verdict), self.in_reach)
