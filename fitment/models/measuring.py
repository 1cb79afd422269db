"""Measuring sessions: what was read at a corner, figure by figure, before it became a survey."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from django.db import models
from django.urls import reverse
from django.utils import timezone

from common.corners import CORNER_NAMES
from shop.models.axles import Corner

from .surveys import CornerSurvey

if TYPE_CHECKING:
    from shop.models import CarModel


class SurveySessionQuerySet(models.QuerySet["SurveySession"]):
    def open_at(self, car_model: CarModel, corner: str) -> SurveySession | None:
        """The session that is going on at a corner; there is one at most."""
        return self.going_on().filter(car_model=car_model, corner=corner).first()

    def going_on(self) -> SurveySessionQuerySet:
        """Sessions that are neither finished nor discarded."""
        return self.filter(finished_at=None, discarded_at=None)


class SurveySession(models.Model):
    """One sitting at one corner; ``survey`` is the version that it became when it was finished.

    A discarded one keeps its readings, who discarded it, and why. ``own_wheel`` keeps what
    ``fitment.surveys.own_wheel`` found of the wheel on the car when it was finished all the same,
    and ``own_wheel_why`` the reason.
    """

    car_model = models.ForeignKey(
        "shop.CarModel", on_delete=models.CASCADE, related_name="survey_sessions"
    )
    corner = models.CharField(max_length=2, choices=Corner.choices)
    started_by = models.ForeignKey("shop.User", on_delete=models.PROTECT, related_name="+")
    started_at = models.DateTimeField(auto_now_add=True)
    finished_at = models.DateTimeField(null=True, blank=True)
    survey = models.ForeignKey(
        CornerSurvey, on_delete=models.SET_NULL, null=True, blank=True, related_name="sessions"
    )

    discarded_at = models.DateTimeField(null=True, blank=True)
    discarded_by = models.ForeignKey(
        "shop.User", on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )
    discarded_why = models.CharField(max_length=200, blank=True)
    own_wheel = models.TextField(blank=True)
    own_wheel_why = models.CharField(max_length=200, blank=True)

    objects = SurveySessionQuerySet.as_manager()

    class Meta:
        ordering: ClassVar = ["-pk"]
        constraints: ClassVar = [
            models.UniqueConstraint(
                fields=["car_model", "corner"],
                condition=models.Q(finished_at=None, discarded_at=None),
                name="one_open_session_per_corner",
            ),
            models.CheckConstraint(
                condition=models.Q(discarded_at=None, discarded_by=None, discarded_why="")
                | (
                    models.Q(discarded_at__isnull=False, discarded_by__isnull=False)
                    & ~models.Q(discarded_why="")
                ),
                name="session_discarded_by_somebody_for_a_reason",
            ),
            models.CheckConstraint(
                condition=models.Q(own_wheel="") | ~models.Q(own_wheel_why=""),
                name="session_own_wheel_has_its_reason",
            ),
            models.CheckConstraint(
                condition=models.Q(corner__in=Corner.values), name="session_of_a_real_corner"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.car_model}, {CORNER_NAMES[self.corner]}, measured"

    def get_absolute_url(self) -> str:
        return reverse("survey_measure", args=[self.car_model_id, self.corner])

    @property
    def is_open(self) -> bool:
        return self.finished_at is None and self.discarded_at is None


class SurveyReading(models.Model):
    """One reading as it was taken. ``values`` are as typed; one withdrawn is struck, not gone.

    ``struck_by`` and ``struck_why`` say who withdrew it and for what reason.

    ``form`` is a name of ``fitment.engine.survey.reading_forms.FORMS``, ``pose`` one of its poses;
    ``expected_mm`` what the model said of a gap before it was read; ``read_by`` who took it where
    it came with a file, and ``by`` only brought it in.
    """

    session = models.ForeignKey(SurveySession, on_delete=models.CASCADE, related_name="readings")
    form = models.CharField(max_length=20)
    place = models.CharField(max_length=80, blank=True)
    pose = models.CharField(max_length=12, default="standing")
    values = models.JSONField()
    expected_mm = models.FloatField(null=True, blank=True)
    by = models.ForeignKey("shop.User", on_delete=models.PROTECT, related_name="+")
    read_by = models.CharField(max_length=80, blank=True)
    at = models.DateTimeField(default=timezone.now)
    struck_at = models.DateTimeField(null=True, blank=True)
    struck_by = models.ForeignKey(
        "shop.User", on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )
    struck_why = models.CharField(max_length=200, blank=True)

    class Meta:
        ordering: ClassVar = ["session", "pk"]

    def __str__(self) -> str:
        return f"{self.form} {self.place}".strip()
