"""The demonstration's surveys, wheels, tyres and clearance checks.

``build(stage)`` expects what ``shop.demo`` put there. The story order asks for wider
wheels, spacers and camber from lower-arm shims: the tyre meets the liner at full lock.
:func:`apply_story_cure` shows what clears.
"""

from __future__ import annotations

import copy
import datetime as dt
from functools import partial
from typing import Any

from django.utils import timezone

from alignment.models import PlannedSetting
from fitment.clearance.services import check_run
from fitment.demo import (
    car as demo_car,
)
from fitment.demo import (
    measuring as demo_measuring,
)
from fitment.demo import (
    mounting as demo_mounting,
)
from fitment.demo import (
    quotes as demo_quotes,
)
from fitment.demo import (
    tables as demo_tables,
)
from fitment.demo import (
    tryout,
)
from fitment.demo.surveys import LINKS_REAR, STRUT_FRONT, STRUT_REAR, WISHBONES_FRONT
from fitment.demo.wheels import make_tyres, make_wheels
from fitment.models import (
    ClearanceCheck,
    CornerSurvey,
    MountingCheck,
    OrderWheels,
)
from fitment.surveys.services import survey_mirror, survey_save
from shop.models import User, WorkOrder

Stage = dict[str, Any]


def build(stage: Stage) -> None:
    """Fill what fitment shows; ``stage`` gains ``wheels``, ``tyres`` and ``checks`` by name."""
    _surveys(stage)
    demo_car.fit_joints_and_sheet(stage)
    stage["wheels"] = make_wheels()
    stage["tyres"] = make_tyres()
    demo_tables.measure(stage)
    demo_mounting.measure(stage)
    demo_tables.law(stage)
    demo_mounting.rings(stage)
    stage["checks"] = {}
    _story(stage)
    _handed_over(stage)
    _comeback_without_spacers(stage)
    demo_car.this_car(stage)
    _waiting(stage)
    _on_the_lift(stage)
    demo_car.camber_behind(stage)
    demo_car.fast_roads(stage)
    tryout.searched(stage)
    tryout.put(stage)
    demo_mounting.decided(stage)
    demo_mounting.second_hand(stage)
    demo_tables.tables(stage)
    demo_measuring.half_finished(stage)
    demo_quotes.tell_checks(stage)


def _surveys(stage: Stage) -> None:
    """Both car models all round: the coupé measured on both sides, the estate on one."""
    technician: User = stage["users"]["technician"]
    coupe, estate = stage["car_models"]["coupe"], stage["car_models"]["estate"]
    save = partial(survey_save, measured_on=_day(-60), measured_by=technician.shown_name)
    for corner, document in {
        "LF": STRUT_FRONT,
        "RF": STRUT_FRONT,
        "LR": STRUT_REAR,
        "RR": STRUT_REAR,
    }.items():
        save(car_model=coupe, corner=corner, document=copy.deepcopy(document))
    for corner, document in {"LF": WISHBONES_FRONT, "LR": LINKS_REAR}.items():
        survey = save(car_model=estate, corner=corner, document=copy.deepcopy(document))
        survey_mirror(survey=survey, by=technician)
    CornerSurvey.objects.update(created_at=_moment(-60))


def mount(stage: Stage, order: WorkOrder, axle: str, wheel: str, tyre: str, spacer: float) -> None:
    OrderWheels.objects.update_or_create(
        order=order,
        axle=axle,
        defaults={
            "wheel": stage["wheels"][wheel],
            "tyre": stage["tyres"][tyre],
            "spacer_mm": spacer,
        },
    )


def plan(order: WorkOrder, axle: str, **values: Any) -> None:
    """Plan an axle, unless it is planned already."""
    PlannedSetting.objects.get_or_create(order=order, axle=axle, defaults=values)


def _story(stage: Stage) -> None:
    order: WorkOrder = stage["orders"]["story"]
    mount(stage, order, "front", "wide", "wide", 15.0)
    mount(stage, order, "rear", "estate", "estate", 0.0)
    plan(order, "front", camber_deg=-1.7, camber_by="lower_arm", toe_deg=0.08)
    plan(order, "rear", toe_deg=0.12)
    stage["checks"]["story"] = check_run(order=order, by=stage["users"]["writer"])


def apply_story_cure(stage: Stage) -> ClearanceCheck:
    """The same camber by the upper arm, a narrower tyre and no spacer; checked again."""
    order: WorkOrder = stage["orders"]["story"]
    mount(stage, order, "front", "wide", "narrow", 0.0)
    PlannedSetting.objects.filter(order=order, axle="front").update(camber_by="upper_arm")
    arm = stage["parts"]["upper_arm"]
    order.lines.filter(part__isnull=False).delete()
    order.lines.create(
        kind="part",
        part=arm,
        description=arm.name,
        axle="front",
        quantity=2,
        unit_price=arm.price,
    )
    return check_run(order=order, by=stage["users"]["writer"])


def _handed_over(stage: Stage) -> None:
    """Predicted clear behind, by little; it came back with two people in the back."""
    order: WorkOrder = stage["orders"]["handed_over"]
    mount(stage, order, "front", "front", "front", 0.0)
    mount(stage, order, "rear", "deep", "behind", 5.0)
    low = {"ride_height_mm": -20.0}
    plan(order, "front", toe_deg=0.05, adjusters=low)
    plan(order, "rear", toe_deg=0.12, adjusters=low)
    _checked_earlier(stage, "handed_over", days_ago=33)


def _comeback_without_spacers(stage: Stage) -> None:
    """What ended the scraping: the same wheels behind without their spacers."""
    order: WorkOrder = stage["orders"]["comeback"]
    mount(stage, order, "front", "front", "front", 0.0)
    mount(stage, order, "rear", "deep", "behind", 0.0)
    low = {"ride_height_mm": -20.0}
    plan(order, "front", toe_deg=0.05, adjusters=low)
    plan(order, "rear", toe_deg=0.12, adjusters=low)
    stage["checks"]["comeback"] = check_run(order=order, by=stage["users"]["writer"])


def _waiting(stage: Stage) -> None:
    order: WorkOrder = stage["orders"]["waiting"]
    for axle in ("front", "rear"):
        mount(stage, order, axle, "estate", "estate", 0.0)
    plan(order, "front", toe_deg=0.08)
    plan(order, "rear", camber_deg=-1.5, camber_by="rod:upper rear", toe_deg=0.12)
    _checked_earlier(stage, "waiting", days_ago=7)


def _on_the_lift(stage: Stage) -> None:
    order: WorkOrder = stage["orders"]["on_lift"]
    for axle in ("front", "rear"):
        mount(stage, order, axle, "estate", "estate", 0.0)
    plan(order, "front", toe_deg=0.08)
    plan(order, "rear", toe_deg=0.12)
    _checked_earlier(stage, "on_lift", days_ago=4)


def _checked_earlier(stage: Stage, key: str, *, days_ago: int) -> None:
    """Check an order as if it had been some days ago."""
    order: WorkOrder = stage["orders"][key]
    check = check_run(order=order, by=stage["users"]["writer"])
    at = _moment(-days_ago)
    ClearanceCheck.objects.filter(pk=check.pk).update(at=at)
    MountingCheck.objects.filter(order=order).update(at=at)
    order.log.filter(what__in=["Clearance checked", "Mounting checked"]).update(at=at)
    check.at = at
    stage["checks"][key] = check


def _day(days: int) -> dt.date:
    return timezone.localdate() + dt.timedelta(days=days)


def _moment(days: int) -> dt.datetime:
    return timezone.make_aware(dt.datetime.combine(_day(days), dt.time(10, 30)))
