"""Adding, showing, naming and removing files."""

from __future__ import annotations

from django.contrib import messages
from django.http import Http404, HttpResponse, HttpResponseBase
from django.shortcuts import get_object_or_404, redirect
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_GET, require_http_methods

from shop.files.data import Owner
from shop.files.forms import FileForm, FilesForm
from shop.files.services import file_remove as do_remove
from shop.files.services import file_response, files_add, files_of, removed_of
from shop.models import CarModel, Corner, StoredFile, Vehicle
from shop.orders.services.access import order_or_404
from shop.site.forms import MoveForm
from shop.site.refusals import Refused, refuse
from shop.site.view_helpers import StaffRequest, posted, render_page, role_required
from shop.values.photos import JPEG


@role_required()
@require_http_methods(["GET", "POST"])
def order_files(request: StaffRequest, pk: int) -> HttpResponse:
    order = order_or_404(pk)
    return _files(request, Owner(order=order), order.number, order.get_absolute_url())


@role_required()
@require_http_methods(["GET", "POST"])
def vehicle_files(request: StaffRequest, pk: int) -> HttpResponse:
    vehicle = get_object_or_404(Vehicle, pk=pk)
    return _files(request, Owner(vehicle=vehicle), str(vehicle), vehicle.get_absolute_url())


@role_required()
@require_http_methods(["GET", "POST"])
def corner_files(request: StaffRequest, pk: int, corner: str) -> HttpResponse:
    """Of a corner of a car model: they outlive the versions of its survey."""
    car_model = get_object_or_404(CarModel, pk=pk)
    if corner not in Corner.values:
        raise Http404
    title = f"{car_model}, {Corner(corner).label}"
    owner = Owner(car_model=car_model, corner=corner)
    return _files(request, owner, title, car_model.get_absolute_url())


def _files(request: StaffRequest, owner: Owner, title: str, back: str) -> HttpResponse:
    form = FilesForm(
        posted(request),
        request.FILES if request.method == "POST" else None,
        of_order=owner.order is not None,
    )
    if request.method == "POST" and form.is_valid():
        data = form.cleaned_data
        rows = files_add(
            owner=owner,
            files=form.incoming,
            by=request.user,
            caption=data["caption"],
            for_customer=data.get("for_customer", False),
        )
        kept = ngettext("{count} file kept.", "{count} files kept.", len(rows))
        messages.success(request, kept.format(count=len(rows)))
        for reason in form.refused:
            messages.error(request, reason)
        return redirect(request.path)
    context = {
        "form": form,
        "title": title,
        "back": back,
        "files": list(files_of(owner)),
        "removed": list(removed_of(owner)),
    }
    return render_page(request, "shop/files/files.html", context)


@role_required()
@require_GET
def file(request: StaffRequest, pk: int) -> HttpResponseBase:
    row = _kept(pk)
    return file_response(row.file, content_type=row.content_type, name=row.name, shown=row.is_photo)


@role_required()
@require_GET
def file_thumb(request: StaffRequest, pk: int) -> HttpResponseBase:
    row = _kept(pk)
    if not row.thumb:
        raise Http404
    return file_response(row.thumb, content_type=JPEG.content_type, name="thumb.jpg", shown=True)


@role_required()
@require_http_methods(["GET", "POST"])
def file_edit(request: StaffRequest, pk: int) -> HttpResponse:
    """The caption, and whether the customer sees it."""
    row = _kept(pk)
    form = FileForm(posted(request), instance=row)
    if request.method == "POST" and form.is_valid():
        form.save()
        messages.success(request, _("Saved."))
        return redirect(_page_of(row))
    context = {"form": form, "file": row, "back": _page_of(row)}
    return render_page(request, "shop/files/file_edit.html", context)


@role_required()
@require_http_methods(["GET", "POST"])
def file_remove(request: StaffRequest, pk: int) -> HttpResponse:
    row = _kept(pk)
    form = MoveForm(posted(request), most=200)
    if request.method == "POST" and form.is_valid():
        try:
            do_remove(file=row, reason=form.cleaned_data["reason"], by=request.user)
        except Refused as refused:
            refuse(form, refused)
        else:
            messages.success(request, _("{name} was removed.").format(name=row.name))
            return redirect(_page_of(row))
    context = {"form": form, "file": row, "back": _page_of(row)}
    return render_page(request, "shop/files/file_remove.html", context)


def _kept(pk: int) -> StoredFile:
    return get_object_or_404(StoredFile, pk=pk, removed_at=None)


def _page_of(row: StoredFile) -> str:
    """The page of the files that this one belongs to."""
    if row.order_id is not None:
        return reverse("order_files", args=[row.order_id])
    if row.vehicle_id is not None:
        return reverse("vehicle_files", args=[row.vehicle_id])
    return reverse("corner_files", args=[row.car_model_id, row.corner])
