"""Every address of the site by its name, with the people it is for and what makes its rows."""

from __future__ import annotations

from collections.abc import Iterator

from django.urls import URLPattern, URLResolver, get_resolver

from tests.alignment.routes import ROUTES as ALIGNMENT
from tests.fitment.mounting_routes import ROUTES as MOUNTING
from tests.fitment.routes import ROUTES as FITMENT
from tests.shop.routes import ROUTES as SHOP
from tests.walk import Route

PARTS = (SHOP, ALIGNMENT, FITMENT, MOUNTING)
TABLE: dict[str, Route] = {name: route for part in PARTS for name, route in part.items()}


def patterns(resolver: URLResolver | None = None) -> Iterator[URLPattern]:
    for entry in (resolver or get_resolver()).url_patterns:
        if isinstance(entry, URLResolver):
            yield from patterns(entry)
        else:
            yield entry


def names() -> list[str]:
    """The names of all addresses that the resolver knows."""
    return sorted({str(entry.name) for entry in patterns()})
