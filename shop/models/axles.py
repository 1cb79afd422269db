"""The corners and axles of a car, as choices of a field."""

from __future__ import annotations

from django.db import models

from common.corners import AXLE_NAMES, CORNER_NAMES, FRONT, REAR


class Corner(models.TextChoices):
    """One wheel's place on the car."""

    LF = "LF", CORNER_NAMES["LF"].capitalize()
    RF = "RF", CORNER_NAMES["RF"].capitalize()
    LR = "LR", CORNER_NAMES["LR"].capitalize()
    RR = "RR", CORNER_NAMES["RR"].capitalize()


class Axle(models.TextChoices):
    """One axle, as it is planned, measured and fitted."""

    FRONT = FRONT, AXLE_NAMES[FRONT].capitalize()
    REAR = REAR, AXLE_NAMES[REAR].capitalize()


class PartAxle(models.TextChoices):
    """Where a part, a line or a rule belongs, which may be either axle."""

    FRONT = FRONT, FRONT.capitalize()
    REAR = REAR, REAR.capitalize()
    ANY = "any", "Either"


class Position(models.TextChoices):
    """Where a part sits: at a corner, on an axle, or on the car as a whole."""

    LF = Corner.LF.value, Corner.LF.label
    RF = Corner.RF.value, Corner.RF.label
    LR = Corner.LR.value, Corner.LR.label
    RR = Corner.RR.value, Corner.RR.label
    FRONT = Axle.FRONT.value, Axle.FRONT.label
    REAR = Axle.REAR.value, Axle.REAR.label
    CAR = "car", "Whole car"


#: The two axles by one word, for fields whose label says "axle" already.
AXLE_CHOICES = [(value, label) for value, label in PartAxle.choices if value != PartAxle.ANY]
