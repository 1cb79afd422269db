"""The two axles that can be planned and have targets."""

from django.db import models
from django.utils.translation import gettext_lazy as _

from shop.models import Corner


class PlanAxle(models.TextChoices):
    FRONT = "front", _("Front axle")
    REAR = "rear", _("Rear axle")


#: Corners of an axle, left first.
AXLE_CORNERS: dict[str, tuple[str, str]] = {
    PlanAxle.FRONT: (Corner.LF, Corner.RF),
    PlanAxle.REAR: (Corner.LR, Corner.RR),
}
