"""The phone question: the widest tyre of an axle at a height and a camber.

All that a caller does not say is chosen: wheel, tyre and spacer of the catalogue, what sets camber.
"""

from __future__ import annotations

import time
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from django.utils.translation import gettext

from fitment.engine import checkfile
from fitment.engine.search.model import Progress, Question
from fitment.engine.search.widest import Widest, widest
from fitment.job.car import Car
from fitment.models import UseProfile, WheelModel
from fitment.tryout.data import SetUp
from fitment.tryout.limits import limits_of
from fitment.tryout.services.trial import question_of
from fitment.tryout.services.usual import usual_toe, usual_tyre, usual_wheel
from fitment.tryout.space import names_of, question_for
from fitment.tryout.tables import Tables
from shop.languages.figures import short
from shop.models import CarModel, Vehicle
from shop.site.refusals import Refused
from shop.values.contact_keys import plate_key

#: An answer is given after so many seconds, whole or as far as it is.
LONGEST_S = 8.0
#: What the search may choose.
MAY = ("camber_method", "spacer", "tyre", "sizes", "wheel")
#: Names that are offered where several cars are meant.
MOST_CARS = 20


@dataclass(frozen=True)
class Asked:
    """What a caller said. Angles in degrees, heights in mm against the survey; None is not said."""

    car: Car
    axle: str
    use: str
    height_mm: float | None
    camber_deg: float | None
    wheel: WheelModel | None = None
    wheel_typed: str = ""


@dataclass(frozen=True)
class Answered:
    """What was found, from which set-up it was searched, and names of what was chosen."""

    found: Widest
    question: Question
    set_up: SetUp
    limits: Mapping[str, Any]
    names: Mapping[str, str]
    tables: Tables
    taken: tuple[str, ...]
    seconds: float


def cars_named(text: str) -> list[CarModel]:
    """Car models that a text means: one of that name, the car of that plate, or those whose name
    holds all the words."""
    words = " ".join(text.split())
    if not words:
        return []
    same = CarModel.objects.filter(name__iexact=words).first()
    if same is not None:
        return [same]
    key = plate_key(words)
    plates = Vehicle.objects.exclude(plate="").exclude(car_model=None)
    of_plate = [
        model
        for plate, model in plates.values_list("plate", "car_model")
        if plate_key(plate) == key
    ]
    if of_plate:
        return list(CarModel.objects.filter(pk__in=of_plate))
    of_name = list(CarModel.objects.search(words)[:MOST_CARS])
    described = Vehicle.objects.search(words).exclude(car_model=None)
    of_vehicle = CarModel.objects.filter(pk__in=described.values("car_model"))[:MOST_CARS]
    return list(dict.fromkeys([*of_name, *of_vehicle]))


def widest_tyre(asked: Asked) -> Answered:
    """Answer the question, whole or as far as it is after ``LONGEST_S``.

    Raises Refused where there is nothing to begin from.
    """
    begun, longest_s = time.monotonic(), LONGEST_S
    set_up, taken = _start(asked)
    limits: dict[str, Any] = {
        name: value for name, value in limits_of(asked.car, set_up).items() if "diameter" in name
    }
    limits |= {"goal": "widest", "may": [name for name in MAY if _may(name, asked)]}
    profile = UseProfile.objects.filter(name=asked.use).first()
    if profile is None:
        raise Refused(gettext("This shop has no profile of that use."), field="use")
    try:
        check = checkfile.parse(question_of(asked.car, set_up, profile))
    except checkfile.BadCheckFile as bad:
        raise Refused(str(bad)) from bad
    every_rim = {"every_rim": asked.wheel is None}
    question = question_for(check.corners, check.duty, asked.car, set_up, limits | every_rim)

    def goes_on(_: Progress) -> bool:
        return time.monotonic() - begun < longest_s

    found = widest(question, goes_on)
    names = names_of(question.space)
    if "diameter_from" in limits:
        said = gettext("Overall diameter is kept from {low} to {high} mm.")
        low, high = (short(limits[name]) for name in ("diameter_from", "diameter_to"))
        taken = (*taken, said.format(low=low, high=high))
    tables = Tables(asked.car.car_model, asked.axle)
    return Answered(found, question, set_up, limits, names, tables, taken, time.monotonic() - begun)


def _may(name: str, asked: Asked) -> bool:
    if name == "wheel":
        return asked.wheel is None
    return name != "camber_method" or asked.camber_deg is not None


def _start(asked: Asked) -> tuple[SetUp, tuple[str, ...]]:
    """A set-up to begin from, and what it takes that was not said."""
    methods = asked.car.camber_method(asked.axle)
    if asked.camber_deg is not None and not methods:
        said = gettext("Nothing sets camber on this axle as surveyed: leave it empty.")
        raise Refused(said, field="camber")
    wheel = asked.wheel or usual_wheel(asked.car, asked.axle)
    tyre, size = usual_tyre(wheel)
    toe, toe_words = usual_toe(asked.car, asked.axle)
    taken = [toe_words]
    if asked.camber_deg is None:
        taken.append(gettext("Camber is taken as the car stands."))
    if asked.height_mm is None:
        taken.append(gettext("Ride height is taken as surveyed."))
    plan = asked.car.plans.get(asked.axle)
    set_up = SetUp(
        axle=asked.axle,
        wheel=wheel,
        tyre=tyre,
        size=size,
        spacer_mm=0.0,
        camber_deg=asked.camber_deg,
        camber_by=methods[0] if asked.camber_deg is not None else "",
        toe_deg=toe,
        ride_height_mm=asked.height_mm,
        bump_stop_mm=None,
        adjusters=plan.adjusters if plan else {},
        wheel_typed=asked.wheel_typed,
        tyre_typed=size,
    )
    return set_up, tuple(taken)
