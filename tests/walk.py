"""Who may open which address: the words in which each app's ``routes.py`` says it.

``ROUTES`` maps the name of an address to a ``Route``. The walk opens it with GET and with POST as
every member of the cast. Those whom it is for must be let in: any answer but a refusal, a missing
page or a crash, and 405 for the method that the view does not offer. Everybody else must be
refused: strangers and customers are sent to sign in, colleagues get 403.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any

PUBLIC = "everybody"
LINK = "whoever has the link"
STAFF = "everybody who signs in"
WRITER = "writer"
TECHNICIAN = "technician"
MANAGER = "manager"

SIGNED_IN = {"writer", "technician", "manager"}
INSIDE = {
    PUBLIC: {"stranger", "customer", *SIGNED_IN},
    LINK: {"stranger", "customer", *SIGNED_IN},
    STAFF: SIGNED_IN,
    WRITER: {"writer", "manager"},
    TECHNICIAN: {"technician", "manager"},
    MANAGER: {"manager"},
}


def nothing() -> dict[str, Any]:
    return {}


@dataclass(frozen=True)
class Route:
    """One address: who may open it, who may send to it, and how to make its parts.

    ``parts`` creates rows and returns the address's keyword arguments. ``sends`` is for pages
    that more people may read than change. ``or_missing`` notes that those who are let in may still
    be told 404, because what the page shows does not exist yet.
    """

    reads: str
    parts: Callable[[], dict[str, Any]] = field(default=nothing)
    sends: str | None = None
    or_missing: bool = False

    def may(self, who: str, method: str) -> bool:
        rule = self.sends if method == "post" and self.sends else self.reads
        return who in INSIDE[rule]
