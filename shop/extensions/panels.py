"""Parts of pages that other apps answer with: panels, links of the header, hints beside lines."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from typing import TYPE_CHECKING, Any

from django.template.loader import render_to_string
from django.utils.safestring import SafeString, mark_safe

if TYPE_CHECKING:
    from django.http import HttpRequest

    from shop.models import Part


@dataclass(frozen=True)
class Panel:
    """A part of a page that another app renders: a template with its context."""

    title: str
    template: str
    context: Mapping[str, Any] = field(default_factory=dict)
    anchor: str = ""


@dataclass(frozen=True)
class NavigationLink:
    """A link of the header: the name of its address, for whom it is, and the group it stands in.

    Without ``roles`` every signed-in person sees it; without a ``group`` it lies open.
    """

    address: str
    words: str
    roles: tuple[str, ...] = ()
    group: str = ""


@dataclass(frozen=True)
class LineHint:
    """Something planned on an order that its lines may have to name.

    ``key`` names it for as long as it is planned alike, for the line that stands for it;
    ``planned`` is one of ``shop.models.Planned``, by which packages are found. ``price`` is that
    of one piece, or None where none is on record (labour: the shop's hourly rate).
    """

    words: str
    quantity: Decimal | int
    price: Decimal | None = None
    key: str = ""
    planned: str = ""
    kind: str = "part"
    axle: str = "any"
    work: str = ""
    part: Part | None = None


def rendered(
    panels: Iterable[Panel | None], request: HttpRequest | None = None
) -> list[dict[str, Any]]:
    """Panels with their HTML, for a template that does not depend on the apps they come from.

    None stands for a panel that has nothing to show.
    """
    return [
        {"title": panel.title, "anchor": panel.anchor, "html": _html(panel, request)}
        for panel in panels
        if panel is not None
    ]


def _html(panel: Panel, request: HttpRequest | None) -> SafeString:
    # The template of the panel has escaped its values already.
    return mark_safe(render_to_string(panel.template, dict(panel.context), request))  # noqa: S308
