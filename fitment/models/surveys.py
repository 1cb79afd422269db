"""Corner surveys: what was measured on one corner of a car model, version by version."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from django.db import models
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from common.corners import CORNER_NAMES
from fitment.models.schemas import JOINT_FIT, SURVEY
from shop.models.axles import Corner
from shop.models.stored import StoredJSONField

if TYPE_CHECKING:
    from shop.models import CarModel


class CornerSurveyQuerySet(models.QuerySet["CornerSurvey"]):
    def in_use(self) -> CornerSurveyQuerySet:
        """Versions that were not withdrawn."""
        return self.filter(withdrawn_at=None)

    def current_by_corner(self, car_model: CarModel) -> dict[str, CornerSurvey]:
        """The newest version of every corner that was surveyed, by corner; one query."""
        newest: dict[str, CornerSurvey] = {}
        for survey in self.in_use().filter(car_model=car_model).order_by("version"):
            newest[survey.corner] = survey
        return newest

    def elsewhere(self, car_model: CarModel, corner: str) -> CornerSurveyQuerySet:
        """The newest survey of this corner on every other car model."""
        newest = self.in_use().filter(car_model=models.OuterRef("car_model"), corner=corner)
        others = (
            self.in_use()
            .filter(corner=corner)
            .exclude(car_model=car_model)
            .select_related("car_model")
        )
        latest = models.Subquery(newest.order_by("-version").values("pk")[:1])
        return others.filter(pk=latest).order_by("car_model__name")

    def current(self, car_model: CarModel, corner: str) -> CornerSurvey | None:
        """The newest version that was not withdrawn."""
        rows = self.in_use().filter(car_model=car_model, corner=corner)
        return rows.order_by("-version").first()


class CornerSurvey(models.Model):
    """One version of one corner's survey. Versions are added, never changed.

    A version that was withdrawn stays as it was, with who did it and why; it is used for nothing.

    ``document`` holds ``survey``, ``suspension``, ``limits`` and, where measured,
    ``compliance``, exactly as a corner of a check file has them (mm and degrees). Where the
    joints were fitted to readings, ``fit`` keeps the joints as measured (``suspension``), the
    ``readings``, and how far each joint moved (``moved_mm``); otherwise it is empty.
    """

    car_model = models.ForeignKey("shop.CarModel", on_delete=models.CASCADE, related_name="surveys")
    corner = models.CharField(max_length=2, choices=Corner.choices)
    version = models.PositiveIntegerField()
    measured_on = models.DateField()
    measured_by = models.CharField(max_length=80)
    mirrored_from = models.ForeignKey(
        "self", on_delete=models.SET_NULL, null=True, blank=True, related_name="mirrors"
    )
    copied_from = models.ForeignKey(
        "self", on_delete=models.SET_NULL, null=True, blank=True, related_name="copies"
    )
    document = StoredJSONField(schema=SURVEY)
    fit = StoredJSONField(schema=JOINT_FIT, default=dict, blank=True)
    notes = models.TextField(_("notes"), blank=True)
    created_at = models.DateTimeField(auto_now_add=True)
    withdrawn_at = models.DateTimeField(null=True, blank=True)
    withdrawn_by = models.ForeignKey(
        "shop.User", on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )
    withdrawn_why = models.CharField(max_length=300, blank=True)

    objects = CornerSurveyQuerySet.as_manager()

    class Meta:
        ordering: ClassVar = ["car_model", "corner", "-version"]
        constraints: ClassVar = [
            models.UniqueConstraint(
                fields=["car_model", "corner", "version"], name="one_survey_per_version"
            ),
            models.CheckConstraint(
                condition=models.Q(corner__in=Corner.values), name="survey_of_a_real_corner"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.car_model}, {self.corner_name}, version {self.version}"

    def get_absolute_url(self) -> str:
        return reverse("survey", args=[self.car_model_id, self.corner])

    @property
    def corner_name(self) -> str:
        return CORNER_NAMES[self.corner]

    @property
    def kind(self) -> str:
        """The kind of suspension: strut, wishbones, links or curves."""
        return str(self.document.get("suspension", {}).get("kind", ""))


class SurveyLogEntry(models.Model):
    """One act on a car model's surveys; ``who`` is kept as it was called then."""

    car_model = models.ForeignKey(
        "shop.CarModel", on_delete=models.CASCADE, related_name="survey_log"
    )
    corner = models.CharField(max_length=2, choices=Corner.choices)
    at = models.DateTimeField(default=timezone.now)
    by = models.ForeignKey(
        "shop.User", on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )
    who = models.CharField(max_length=120)
    what = models.CharField(max_length=120)
    detail = models.TextField(blank=True)

    class Meta:
        ordering: ClassVar = ["-at", "-pk"]

    def __str__(self) -> str:
        return self.what
