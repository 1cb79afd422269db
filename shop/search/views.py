"""The search of every page."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from django.http import HttpResponse
from django.shortcuts import redirect
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET

from shop.extensions.found import FoundRow, SearchGroup
from shop.extensions.points import SEARCH_GROUPS
from shop.search.services import LONGEST, exact_hit
from shop.site.view_helpers import StaffRequest, page_of, render_page, role_required

#: Rows of a group on the page of all groups.
FIRST = 6


@dataclass(frozen=True)
class FoundGroup:
    """A group with what it found: ``count`` in all, the first ``rows``."""

    group: SearchGroup
    count: int
    rows: list[FoundRow]

    @property
    def more(self) -> int:
        return self.count - len(self.rows)


@role_required()
@require_GET
def search(request: StaffRequest) -> HttpResponse:
    """All groups with their first rows, or one group page by page.

    What names one order or one plate exactly leads there; ``all=1`` shows everything.
    """
    typed = request.GET.get("q", "").strip()
    context: dict[str, Any] = {"q": typed, "found_by": typed}
    if len(typed) > LONGEST:
        context["error"] = _("Enter at most {most} characters.").format(most=LONGEST)
        return render_page(request, "shop/search_everywhere.html", context, status=422)
    name = request.GET.get("in", "")
    chosen = next((group for group in SEARCH_GROUPS if group.name == name), None)
    if typed and chosen is None and "all" not in request.GET and (hit := exact_hit(typed)):
        return redirect(hit)
    if typed and chosen is not None:
        page = page_of(request, chosen.find(typed))
        context |= {"chosen": chosen, "page": page, "rows": chosen.rows(page.object_list)}
    elif typed:
        context["groups"] = [found for found in map(_found(typed), SEARCH_GROUPS) if found.count]
    return render_page(request, "shop/search_everywhere.html", context)


def _found(typed: str) -> Any:
    def find(group: SearchGroup) -> FoundGroup:
        records = group.find(typed)
        rows = group.rows(records[:FIRST])
        count = len(rows) if len(rows) < FIRST else records.count()
        return FoundGroup(group, count, rows)

    return find
