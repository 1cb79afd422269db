"""The two axles that can be planned and have targets."""

from django.db import models


class PlanAxle(models.TextChoices):
    FRONT = "front", "Front axle"
    REAR = "rear", "Rear axle"
