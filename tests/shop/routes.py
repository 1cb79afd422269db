"""Who may open the shop's pages."""

from __future__ import annotations

from tests.walk import PUBLIC, STAFF, Route

ROUTES: dict[str, Route] = {
    "healthz": Route(PUBLIC),
    "login": Route(PUBLIC),
    "logout": Route(PUBLIC),
    "password": Route(STAFF),
}
