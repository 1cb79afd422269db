"""What a manager sets: bays, the shop itself, and who works in it."""

from __future__ import annotations

from django.contrib import messages
from django.core.cache import cache
from django.db import transaction
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods

from shop.models import Bay, ShopSettings, User
from shop.people.staff_forms import BayForm, ShopForm, StaffForm
from shop.site.view_helpers import StaffRequest, posted, render_page, role_required


@role_required("manager")
@require_GET
def bay_list(request: StaffRequest) -> HttpResponse:
    return render_page(request, "shop/bay_list.html", {"bays": Bay.objects.all()})


@role_required("manager")
@require_http_methods(["GET", "POST"])
def bay_edit(request: StaffRequest, pk: int | None = None) -> HttpResponse:
    """A new bay, or an old one changed."""
    bay = get_object_or_404(Bay, pk=pk) if pk is not None else None
    form = BayForm(posted(request), instance=bay)
    if request.method == "POST" and form.is_valid():
        messages.success(request, _("{name} saved.").format(name=form.save()))
        return redirect("bay_list")
    return render_page(request, "shop/bay_form.html", {"form": form, "bay": bay})


@role_required("manager")
@require_http_methods(["GET", "POST"])
def shop_settings(request: StaffRequest) -> HttpResponse:
    form = ShopForm(posted(request), instance=ShopSettings.load())
    if request.method == "POST" and form.is_valid():
        form.save()
        transaction.on_commit(lambda: cache.delete_many(["shop.timezone", "shop.currency"]))
        messages.success(request, _("Saved. Sent quotes are unchanged."))
        return redirect("shop_settings")
    return render_page(request, "shop/shop_settings.html", {"form": form})


@role_required("manager")
@require_GET
def staff(request: StaffRequest) -> HttpResponse:
    people = User.objects.order_by("-is_active", "username")
    return render_page(request, "shop/staff.html", {"people": people})


@role_required("manager")
@require_http_methods(["GET", "POST"])
def staff_edit(request: StaffRequest, pk: int | None = None) -> HttpResponse:
    """Add a user, or change one's role and sign-in."""
    person = get_object_or_404(User, pk=pk) if pk is not None else None
    form = StaffForm(posted(request), instance=person, acting=request.user)
    if request.method == "POST" and form.is_valid():
        messages.success(request, _("{name} saved.").format(name=form.save()))
        return redirect("staff")
    return render_page(request, "shop/staff_form.html", {"form": form, "person": person})
