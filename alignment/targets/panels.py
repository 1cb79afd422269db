"""The part of a pattern's page about its target sheets."""

from __future__ import annotations

from django.http import HttpRequest

from alignment.models import TargetSheet
from shop.extensions.panels import Panel
from shop.models import Pattern
from shop.site.view_helpers import has_role


def targets_panel(request: HttpRequest, pattern: Pattern) -> Panel:
    """The current target sheets of a pattern, on its page."""
    context = {
        "pattern": pattern,
        "sheets": TargetSheet.objects.filter(pattern=pattern).current(),
        "may_write": has_role(request.user, "writer", "technician"),
    }
    return Panel("Targets", "alignment/panels/targets.html", context, "targets")
