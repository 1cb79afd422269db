"""Who may open the pages of fitment."""

from __future__ import annotations

from typing import Any

from fitment.clearance.run import check_run
from fitment.models import DutyModel
from fitment.surveys.sessions import session_open
from tests.factories import make_pattern, make_user
from tests.fitment.factories import make_ready_order, make_survey, make_tyre, make_wheel
from tests.fitment.searches import make_search
from tests.walk import MANAGER, STAFF, TECHNICIAN, Route


def an_order() -> dict[str, Any]:
    return {"pk": make_ready_order().pk}


def a_check() -> dict[str, Any]:
    return {"pk": check_run(order=make_ready_order(), by=None).pk}


def a_corner() -> dict[str, Any]:
    return {"pk": make_survey(make_pattern()).pattern_id, "corner": "LF"}


def a_checked_corner() -> dict[str, Any]:
    return a_check() | {"corner": "LF"}


def a_corner_of_an_order() -> dict[str, Any]:
    return an_order() | {"corner": "LF"}


def a_session() -> dict[str, Any]:
    session = session_open(pattern=make_pattern(), corner="LF", by=make_user())
    return {"pk": session.pk}


def a_search() -> dict[str, Any]:
    return {"pk": make_search(make_ready_order(), make_user("seeker")).pk}


def a_wheel() -> dict[str, Any]:
    return {"pk": make_wheel().pk}


def a_tyre() -> dict[str, Any]:
    return {"pk": make_tyre().pk}


def a_duty() -> dict[str, Any]:
    return {"pk": DutyModel.objects.get(name="street").pk}


ROUTES: dict[str, Route] = {
    "bench": Route(STAFF),
    "order_bench": Route(STAFF, an_order),
    "bench_ways": Route(STAFF),
    "order_ways": Route(STAFF, an_order),
    "ways_search": Route(STAFF, a_search),
    "ways_step": Route(STAFF, a_search),
    "ways_stop": Route(STAFF, a_search),
    "room": Route(STAFF, an_order),
    "room_run": Route(STAFF, an_order),
    "room_check": Route(STAFF, a_check),
    "room_car": Route(STAFF, a_check),
    "room_curves": Route(STAFF, a_checked_corner),
    "room_curves_csv": Route(STAFF, a_checked_corner),
    "room_map": Route(STAFF, a_checked_corner),
    "room_tyre": Route(STAFF, a_checked_corner),
    "gaps": Route(TECHNICIAN, a_corner_of_an_order),
    "travel_sheet": Route(TECHNICIAN, a_corner),
    "joint_fit": Route(TECHNICIAN, a_corner),
    "order_wheels": Route(STAFF, an_order),
    "survey": Route(STAFF, a_corner),
    "survey_measure": Route(TECHNICIAN, a_corner),
    "survey_session": Route(STAFF, a_session),
    "survey_edit": Route(TECHNICIAN, a_corner),
    "survey_mirror": Route(TECHNICIAN, a_corner),
    "survey_copy": Route(TECHNICIAN, a_corner),
    "survey_import": Route(TECHNICIAN, a_corner),
    "survey_export": Route(STAFF, a_corner),
    "wheel_list": Route(STAFF),
    "wheel_new": Route(STAFF),
    "wheel_edit": Route(STAFF, a_wheel),
    "tyre_list": Route(STAFF),
    "tyre_new": Route(STAFF),
    "tyre_edit": Route(STAFF, a_tyre),
    "duty_list": Route(STAFF),
    "duty_edit": Route(MANAGER, a_duty),
    "comeback_list": Route(MANAGER),
}
