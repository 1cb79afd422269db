"""Who may open the pages of mounting: measuring, tables, fitment tables and the law."""

from __future__ import annotations

from typing import Any

from fitment.catalogue.tyre_pools import measurement_add
from fitment.catalogue.wheel_pools import wheel_measurement_add
from fitment.mounting.services.record import mounting_keep
from tests.factories import make_car_model, make_user
from tests.fitment.factories import make_ready_order, make_tyre, make_wheel
from tests.fitment.test_guides import make_guide
from tests.walk import MANAGER, STAFF, TECHNICIAN, WRITER, Route


def an_order() -> dict[str, Any]:
    return {"pk": make_ready_order().pk}


def a_tyre() -> dict[str, Any]:
    return {"pk": make_tyre().pk}


def a_measurement() -> dict[str, Any]:
    values = {"rim_in": 8.5, "width_mm": 250.0}
    return {"pk": measurement_add(tyre=make_tyre(), by=make_user(), values=values)[0].pk}


def a_wheel() -> dict[str, Any]:
    return {"pk": make_wheel().pk}


def a_wheel_measurement() -> dict[str, Any]:
    values = {"width_mm": 228.0}
    made = wheel_measurement_add(wheel=make_wheel(), by=make_user(), values=values)
    return {"pk": made[0].pk}


def a_mounting_check() -> dict[str, Any]:
    check = mounting_keep(order=make_ready_order(), by=None)
    assert check is not None
    return {"pk": check.pk}


def a_guide() -> dict[str, Any]:
    return {"pk": make_guide(make_car_model()).guide_id}


def a_guide_row() -> dict[str, Any]:
    return {"pk": make_guide(make_car_model()).pk}


def a_row_for_an_order() -> dict[str, Any]:
    order = make_ready_order()
    return {"pk": order.pk, "row": make_guide(order.vehicle.car_model).pk}


ROUTES: dict[str, Route] = {
    "dry_fit": Route(TECHNICIAN, an_order),
    "tyre_measure": Route(STAFF, a_tyre),
    "measurement_remove": Route(STAFF, a_measurement),
    "wheel_measure": Route(STAFF, a_wheel),
    "wheel_measurement_remove": Route(STAFF, a_wheel_measurement),
    "tyre_import": Route(STAFF),
    "wheel_import": Route(STAFF),
    "order_mounting": Route(STAFF, an_order),
    "order_mounting_checks": Route(STAFF, an_order),
    "order_guides": Route(STAFF, an_order),
    "order_earlier_jobs": Route(STAFF, an_order),
    "mounting_run": Route(STAFF, an_order),
    "mounting_check": Route(STAFF, a_mounting_check),
    "law": Route(MANAGER),
    "law_take": Route(MANAGER),
    "guide_list": Route(STAFF),
    "guide_new": Route(STAFF),
    "guide": Route(STAFF, a_guide),
    "guide_edit": Route(STAFF, a_guide),
    "guide_revise": Route(STAFF, a_guide),
    "guide_row_new": Route(STAFF, a_guide),
    "guide_row_edit": Route(STAFF, a_guide_row),
    "guide_rely": Route(WRITER, a_row_for_an_order),
}
