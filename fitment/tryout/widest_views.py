"""The phone question on one page; every answer is an address."""

from __future__ import annotations

from django.http import HttpResponse
from django.views.decorators.http import require_GET

from fitment.tryout.widest_forms import WidestForm
from fitment.tryout.widest_page import widest_page
from shop.site.view_helpers import StaffRequest, render_page, role_required


@role_required()
@require_GET
def widest(request: StaffRequest) -> HttpResponse:
    """The widest tyre of an axle at a height and a camber, the next, and why wider ones fail."""
    asked = {name: str(value) for name, value in request.GET.items()}
    form = WidestForm()
    if asked:
        usual = {name: str(form.fields[name].initial) for name in ("axle", "use")}
        form = WidestForm(usual | asked)
    return render_page(request, "fitment/widest.html", widest_page(form, asked))
