"""Who may open the alignment pages."""

from __future__ import annotations

from typing import Any

from tests.alignment.factories import make_visit
from tests.factories import make_order
from tests.walk import STAFF, TECHNICIAN, Route


def an_order() -> dict[str, Any]:
    return {"pk": make_order().pk}


def a_visit() -> dict[str, Any]:
    return {"pk": make_visit().pk}


ROUTES: dict[str, Route] = {
    "plan_edit": Route(STAFF, an_order),
    "moves": Route(TECHNICIAN, an_order),
    "visit_new": Route(TECHNICIAN, an_order),
    "visit": Route(STAFF, a_visit),
    "visit_edit": Route(TECHNICIAN, a_visit),
    "visit_others": Route(TECHNICIAN, a_visit),
    "typed_read": Route(STAFF),
}
