"""Who may open the alignment pages."""

from __future__ import annotations

from typing import Any

from alignment.models.import_layouts import ImportLayout
from tests.alignment.factories import make_target, make_visit
from tests.factories import make_car_model, make_order
from tests.walk import STAFF, TECHNICIAN, Route


def an_order() -> dict[str, Any]:
    return {"pk": make_order().pk}


def a_visit() -> dict[str, Any]:
    return {"pk": make_visit().pk}


def a_visit_as_csv() -> dict[str, Any]:
    return {**a_visit(), "kind": "csv"}


def a_vehicle() -> dict[str, Any]:
    return {"pk": make_visit().vehicle_id}


def a_vehicle_as_json() -> dict[str, Any]:
    return {**a_vehicle(), "kind": "json"}


def a_import_layout() -> dict[str, Any]:
    return {"pk": ImportLayout.objects.get_or_create(name="North rack")[0].pk}


ROUTES: dict[str, Route] = {
    "plan_edit": Route(STAFF, an_order),
    "adjustments": Route(TECHNICIAN, an_order),
    "adjustments_take": Route(TECHNICIAN, an_order),
    "visit_new": Route(TECHNICIAN, an_order),
    "order_readings": Route(STAFF, an_order),
    "visit": Route(STAFF, a_visit),
    "visit_edit": Route(TECHNICIAN, a_visit),
    "visit_others": Route(TECHNICIAN, a_visit),
    "visit_export": Route(STAFF, a_visit_as_csv),
    "vehicle_export": Route(STAFF, a_vehicle_as_json),
    "vehicle_readings": Route(STAFF, a_vehicle),
    "readings_import": Route(TECHNICIAN, an_order),
    "import_layout_list": Route(TECHNICIAN),
    "import_layout_new": Route(TECHNICIAN),
    "import_layout": Route(TECHNICIAN, a_import_layout),
    "typed_read": Route(STAFF),
    "target_list": Route(STAFF, lambda: {"pk": make_car_model().pk}),
    "target_new": Route(STAFF, lambda: {"pk": make_car_model().pk}),
    "target": Route(STAFF, lambda: {"pk": make_target().pk}),
    "target_edit": Route(STAFF, lambda: {"pk": make_target().pk}),
    "target_take": Route(STAFF, an_order),
}
