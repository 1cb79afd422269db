"""Recording a dry fit."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpResponse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from fitment.models import DryFit
from fitment.mounting.dry_fit_forms import DryFitForm
from fitment.mounting.services.dry_fits import dry_fit_add, dry_fits_due, offered_digests
from shop.extensions.answers import Question, back_to
from shop.orders.services.access import order_or_404
from shop.site.refusals import Refused, refuse
from shop.site.view_helpers import StaffRequest, posted, render_page, role_required


@role_required("technician")
@require_http_methods(["GET", "POST"])
def dry_fit(request: StaffRequest, pk: int) -> HttpResponse:
    """Offer up one wheel of an axle, and answer what only the car can say."""
    order = order_or_404(pk)
    axles = list(offered_digests(order))
    due = dry_fits_due(order)
    form = DryFitForm(posted(request), axles=axles, initial={"axle": due[0] if due else None})
    if request.method == "POST" and form.is_valid():
        values = dict(form.cleaned_data)
        try:
            made = dry_fit_add(order=order, by=request.user, axle=values.pop("axle"), values=values)
        except Refused as refused:
            refuse(form, refused)
        else:
            if made.touching:
                messages.warning(request, _("It touches: these wheels cannot be mounted so."))
            else:
                messages.success(request, _("Dry fit recorded."))
            return back_to(order, Question.DONE)
    context = {
        "order": order,
        "form": form,
        "axles": axles,
        "made": DryFit.objects.filter(order=order).select_related("by"),
    }
    return render_page(request, "fitment/dry_fit.html", context)
