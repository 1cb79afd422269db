"""The corners and axles of a car, as choices of a field."""

from __future__ import annotations

from django.db import models
from django.utils.functional import lazy
from django.utils.text import capfirst
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from common.corners import AXLE_NAMES, CORNER_NAMES, FRONT, REAR


def _as_label(name: str) -> str:
    return str(capfirst(gettext(name)))


#: A name inside a sentence as a label, in the language in which it is read.
_label = lazy(_as_label, str)


class Corner(models.TextChoices):
    """One wheel's place on the car."""

    LF = "LF", _label(CORNER_NAMES["LF"])
    RF = "RF", _label(CORNER_NAMES["RF"])
    LR = "LR", _label(CORNER_NAMES["LR"])
    RR = "RR", _label(CORNER_NAMES["RR"])


class Axle(models.TextChoices):
    """One axle, as it is planned, measured and fitted."""

    FRONT = FRONT, _label(AXLE_NAMES[FRONT])
    REAR = REAR, _label(AXLE_NAMES[REAR])


class PartAxle(models.TextChoices):
    """Where a part, a line or a rule belongs, which may be either axle."""

    FRONT = FRONT, _label(FRONT)
    REAR = REAR, _label(REAR)
    ANY = "any", _("Either")


class Position(models.TextChoices):
    """Where a part sits: at a corner, on an axle, or on the car as a whole."""

    LF = Corner.LF.value, Corner.LF.label
    RF = Corner.RF.value, Corner.RF.label
    LR = Corner.LR.value, Corner.LR.label
    RR = Corner.RR.value, Corner.RR.label
    FRONT = Axle.FRONT.value, Axle.FRONT.label
    REAR = Axle.REAR.value, Axle.REAR.label
    CAR = "car", _("Whole car")


#: The two axles by one word, for fields whose label says "axle" already.
AXLE_CHOICES = [(value, label) for value, label in PartAxle.choices if value != PartAxle.ANY]
