"""Who may open the pages of fitment."""

from __future__ import annotations

from typing import Any

from fitment.clearance.services import check_run
from fitment.models import UseProfile
from fitment.surveys.sessions import session_open
from tests.factories import make_car_model, make_user
from tests.fitment.factories import make_ready_order, make_survey, make_tyre, make_wheel
from tests.fitment.searches import done_search
from tests.walk import MANAGER, STAFF, TECHNICIAN, WRITER, Route


def an_order() -> dict[str, Any]:
    return {"pk": make_ready_order().pk}


def a_check() -> dict[str, Any]:
    return {"pk": check_run(order=make_ready_order(), by=None).pk}


def a_corner() -> dict[str, Any]:
    return {"pk": make_survey(make_car_model()).car_model_id, "corner": "LF"}


def a_checked_corner() -> dict[str, Any]:
    return a_check() | {"corner": "LF"}


def a_corner_of_an_order() -> dict[str, Any]:
    return an_order() | {"corner": "LF"}


def a_session() -> dict[str, Any]:
    session = session_open(car_model=make_car_model(), corner="LF", by=make_user())
    return {"pk": session.pk}


def a_version() -> dict[str, Any]:
    return {"pk": make_survey(make_car_model()).pk}


def a_search() -> dict[str, Any]:
    """A search that is over, so that nothing is searched for when its pages are opened."""
    return {"pk": done_search(make_ready_order(), make_user("seeker"), may=["spacer"]).pk}


def a_wheel() -> dict[str, Any]:
    return {"pk": make_wheel().pk}


def a_tyre() -> dict[str, Any]:
    return {"pk": make_tyre().pk}


def a_use() -> dict[str, Any]:
    return {"pk": UseProfile.objects.get(name="street").pk}


ROUTES: dict[str, Route] = {
    "walk_in": Route(WRITER),
    "walk_in_known": Route(WRITER),
    "tryout": Route(STAFF),
    "widest": Route(STAFF),
    "order_tryout": Route(STAFF, an_order),
    "tryout_options": Route(STAFF),
    "order_options": Route(STAFF, an_order),
    "option_search": Route(STAFF, a_search),
    "clearance": Route(STAFF, an_order),
    "clearance_run": Route(STAFF, an_order),
    "clearance_check": Route(STAFF, a_check),
    "clearance_car": Route(STAFF, a_check),
    "clearance_curves": Route(STAFF, a_checked_corner),
    "clearance_curves_csv": Route(STAFF, a_checked_corner),
    "clearance_map": Route(STAFF, a_checked_corner),
    "clearance_tyre": Route(STAFF, a_checked_corner),
    "clearance_poses": Route(STAFF, a_checked_corner),
    "gaps": Route(TECHNICIAN, a_corner_of_an_order),
    "travel_sheet": Route(TECHNICIAN, a_corner),
    "joint_fit": Route(TECHNICIAN, a_corner),
    "order_wheels": Route(STAFF, an_order),
    "survey": Route(STAFF, a_corner),
    "survey_measure": Route(TECHNICIAN, a_corner),
    "survey_session": Route(STAFF, a_session),
    "survey_sessions": Route(STAFF),
    "session_withdraw": Route(TECHNICIAN, a_session),
    "session_continue": Route(TECHNICIAN, a_session),
    "version_withdraw": Route(TECHNICIAN, a_version),
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
    "use_list": Route(STAFF),
    "use_edit": Route(MANAGER, a_use),
    "comeback_list": Route(MANAGER),
}
