"""Orders on the rack: planned, read and ready to be moved."""

from __future__ import annotations

import datetime as dt
import html
import re
from typing import Any

from django.test import Client
from django.urls import reverse
from django.utils import timezone

from alignment.adjustments.accept import adjustments_accept, versions_of
from alignment.adjustments.page import adjustments_page, taken_of
from alignment.adjustments.services import CornerAdjustments, order_moves
from alignment.geometry import units
from alignment.geometry.adjustment_problem import TOE_LINK
from alignment.models import AcceptedAdjustments, AdjusterPosition, RackVisit
from shop.models import CarModel, WorkOrder
from tests.alignment.factories import make_visit
from tests.factories import make_line, make_order, make_part, make_vehicle
from tests.fitment.factories import make_plan, make_surveyed_car_model

READ = {
    ("LF", "camber"): "-1.60",
    ("LF", "toe"): "0.20",
    ("LF", "caster"): "5.1",
    ("RF", "camber"): "-1.45",
    ("RF", "toe"): "0.15",
    ("RF", "caster"): "5.0",
}


def stand(visit: RackVisit, corner: str, adjuster: str, typed: str) -> None:
    number = units.parse_position(typed)
    AdjusterPosition.objects.create(
        visit=visit,
        corner=corner,
        adjuster=adjuster,
        typed=typed,
        value=number.value,
        unit=number.unit,
    )


def mount_part(**values: Any) -> Any:
    return make_part(
        kind="top mount",
        axle="front",
        adjuster="top_mount_in_mm",
        moves_wheel=True,
        **{"reach_min": 0, "reach_max": 12, "mark_size": 3, **values},
    )


def an_order(car_model: CarModel | None = None, *, camber: float = -2.2, **part: Any) -> WorkOrder:
    """A coupé with a top mount on its lines, planned and read before the work."""
    vehicle = make_vehicle(car_model=car_model or make_surveyed_car_model())
    order = make_order(vehicle=vehicle, state="on_lift")
    make_line(order, kind="part", part=mount_part(**part), axle="front")
    make_plan(order, "front", camber_deg=camber, adjusters={})
    visit = make_visit(order, READ, at=timezone.now() - dt.timedelta(hours=2), steering_ahead=True)
    for corner in ("LF", "RF"):
        stand(visit, corner, "top_mount_in_mm", "0 marks")
        stand(visit, corner, TOE_LINK, "0 mm")
    return order


def at(order: WorkOrder, corner: str) -> CornerAdjustments:
    return next(one for one in order_moves(order) if one.corner == corner)


def text_of(client: Client, order: WorkOrder) -> str:
    page = client.get(reverse("adjustments", args=[order.pk]))
    assert page.status_code == 200
    return html.unescape(re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", page.content.decode())))


def accepted(order: WorkOrder, by: Any) -> list[AcceptedAdjustments]:
    versions = versions_of(order)
    taken = [taken_of(page, "0") for page in adjustments_page(order)]
    return adjustments_accept(order=order, by=by, taken=taken, versions=versions)
