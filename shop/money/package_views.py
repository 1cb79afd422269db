"""Packages of parts and hours that a shop keeps."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods

from shop.models import Package
from shop.money.package_forms import PackageEditForm, package_lines
from shop.money.services import package_keep
from shop.site.view_helpers import StaffRequest, posted, render_page, role_required


@role_required("writer")
@require_GET
def package_list(request: StaffRequest) -> HttpResponse:
    packages = Package.objects.prefetch_related("lines__part")
    return render_page(request, "shop/package_list.html", {"packages": packages})


@role_required("writer")
@require_http_methods(["GET", "POST"])
def package_edit(request: StaffRequest, pk: int | None = None) -> HttpResponse:
    """A new package, or an old one changed, with its lines."""
    package = None
    if pk is not None:
        packages = Package.objects.all()
        if request.method == "POST":
            packages = packages.select_for_update()
        package = get_object_or_404(packages, pk=pk)
    form = PackageEditForm(posted(request), instance=package)
    rows = package_lines(package, posted(request))
    if request.method == "POST" and all([form.is_valid(), rows.is_valid()]):
        saved = package_keep(package=form.save(), lines=rows.kept(), gone=rows.gone())
        stay = "more" in request.POST
        messages.success(request, _("{name} saved.").format(name=saved))
        return redirect("package_edit", pk=saved.pk) if stay else redirect("package_list")
    context = {"form": form, "rows": rows, "package": package}
    return render_page(request, "shop/package_form.html", context)
