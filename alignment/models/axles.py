"""The two axles that can be planned and have targets."""

from django.db import models

from shop.models import Corner


class PlanAxle(models.TextChoices):
    FRONT = "front", "Front axle"
    REAR = "rear", "Rear axle"


#: Corners of an axle, left first.
AXLE_CORNERS: dict[str, tuple[str, str]] = {
    PlanAxle.FRONT: (Corner.LF, Corner.RF),
    PlanAxle.REAR: (Corner.LR, Corner.RR),
}
