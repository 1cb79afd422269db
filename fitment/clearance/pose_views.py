"""The page that moves a checked wheel and the body past each other."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.views.decorators.http import require_GET

from fitment.clearance.curve_views import checked_corner, stored_check
from fitment.clearance.pose_page import PoseForm, poses_page
from shop.site.view_helpers import is_fragment, render_page, role_required

PAGE, PART = "fitment/poses.html", "fitment/pose_part.html"


@role_required()
@require_GET
def clearance_poses(request: HttpRequest, pk: int, corner: str) -> HttpResponse:
    """A corner in a pose of travel and steering, from the tightest on; in section and from the
    side."""
    check = stored_check(pk)
    answer = checked_corner(check, corner)
    asks = "travel" in request.GET or "steer" in request.GET
    form = PoseForm(request.GET if asks else None)
    part = is_fragment(request)
    context = poses_page(check, corner, answer, form, alone=part)
    return render_page(request, PART if part else PAGE, context | {"part": part})
