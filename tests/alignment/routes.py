"""Who may open the alignment pages."""

from __future__ import annotations

from tests.walk import Route

ROUTES: dict[str, Route] = {}
