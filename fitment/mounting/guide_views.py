"""Fitment tables and their revisions, and orders that rely on them."""

from __future__ import annotations

from collections.abc import Mapping

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.utils.translation import gettext_lazy as _
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from fitment.models import Guide, GuideRow
from fitment.mounting.guide_forms import GuideForm, GuideRowForm, RevisionForm
from fitment.mounting.guide_records import (
    guide_forget,
    guide_rely,
    guide_revise,
    guides_listed,
    reliances_on_older,
    row_stays,
)
from fitment.text.labels import adjuster_text, camber_method_text
from shop.languages.figures import fixed, short
from shop.models import WorkOrder
from shop.site.refusals import Refused
from shop.site.view_helpers import StaffRequest, posted, render_page, role_required


def _guide(pk: int) -> Guide:
    return get_object_or_404(guides_listed(Guide.objects.all()), pk=pk)


@role_required()
@require_GET
def guide_list(request: StaffRequest) -> HttpResponse:
    """Tables by car model, and open orders that rely on an older revision."""
    guides = guides_listed(Guide.objects.current())
    context = {"guides": guides, "outdated": reliances_on_older()}
    return render_page(request, "fitment/guide_list.html", context)


@role_required()
@require_GET
def guide(request: StaffRequest, pk: int) -> HttpResponse:
    """One revision of a table with its rows and the orders that rely on it."""
    guide = _guide(pk)
    before = (
        {row.words: row_facts(row) for row in guide.replaces.rows.all()} if guide.replaces else {}
    )
    rows = [(row, facts := row_facts(row), _was(before, row, facts)) for row in guide.rows.all()]
    return render_page(request, "fitment/guide.html", {"guide": guide, "rows": rows})


def _was(before: Mapping[str, list[str]], row: GuideRow, facts: list[str]) -> str:
    """What the older revision asked for the same sizes, where it is not the same."""
    if not before:
        return ""
    old = before.get(row.words)
    if old is None:
        return "new"
    return "" if old == facts else "; ".join(old) or "nothing else"


def row_facts(row: GuideRow) -> list[str]:
    """What a row asks beside its sizes, in words."""
    said = []
    if row.offset_min_mm is not None or row.offset_max_mm is not None:
        ends = [x for x in (row.offset_min_mm, row.offset_max_mm) if x is not None]
        said.append("offset " + " to ".join(short(x) for x in dict.fromkeys(ends)) + " mm")
    if row.spacer_max_mm is not None:
        said.append(f"spacer at most {short(row.spacer_max_mm)} mm")
    if row.camber_deg is not None:
        said.append(f"camber {fixed(row.camber_deg, 2, signed=True)}° or more negative")
    if row.camber_by:
        said.append(f"by {camber_method_text(row.camber_by)}")
    if row.height_min_mm is not None:
        said.append(f"no lower than {fixed(row.height_min_mm, 0, signed=True)} mm")
    if row.adjuster:
        ends = [x for x in (row.adjuster_min, row.adjuster_max) if x is not None]
        said.append(f"{adjuster_text(row.adjuster)} at " + " to ".join(short(x) for x in ends))
    if row.parts:
        said.append(f"parts {row.parts}")
    if row.note:
        said.append(row.note)
    return said


@role_required("writer", "technician")
@require_http_methods(["GET", "POST"])
def guide_edit(request: StaffRequest, pk: int | None = None) -> HttpResponse:
    """A table's head: what it is and where it is from."""
    guide = _guide(pk) if pk is not None else None
    if guide is not None and guide.newer is not None:
        messages.error(request, _("This revision was replaced: it stays as it was."))
        return redirect(guide)
    initial = {"car_model": request.GET.get("car_model")} if guide is None else {}
    form = GuideForm(posted(request), instance=guide, initial=initial)
    if request.method == "POST" and form.is_valid():
        saved = form.save()
        messages.success(request, _("Saved: {what}.").format(what=saved))
        return redirect(saved)
    return render_page(request, "fitment/guide_edit.html", {"form": form, "guide": guide})


@role_required("writer", "technician")
@require_http_methods(["GET", "POST"])
def guide_revise_view(request: StaffRequest, pk: int) -> HttpResponse:
    """A newer revision: its rows are taken over and then corrected."""
    guide = _guide(pk)
    form = RevisionForm(posted(request), older=guide)
    if request.method == "POST" and form.is_valid():
        try:
            newer = guide_revise(guide=guide, values=form.cleaned_data)
        except Refused as refused:
            form.add_error(None, refused.reason)
        else:
            messages.success(request, _("On record. Correct the rows that changed."))
            return redirect(newer)
    return render_page(request, "fitment/guide_revise.html", {"form": form, "guide": guide})


@role_required("writer", "technician")
@require_http_methods(["GET", "POST"])
def guide_row_new(request: StaffRequest, pk: int) -> HttpResponse:
    guide = _guide(pk)
    row = GuideRow(guide=guide, position=len(guide.rows.all()))
    if stays := row_stays(row):
        messages.error(request, stays)
        return redirect(guide)
    return _row_page(request, guide, row)


@role_required("writer", "technician")
@require_http_methods(["GET", "POST"])
def guide_row_edit(request: StaffRequest, pk: int) -> HttpResponse:
    """A row of a table; a row that an order relied on stays, and rows of older revisions."""
    row = get_object_or_404(GuideRow.objects.select_related("guide__replaced_by"), pk=pk)
    guide = _guide(row.guide_id)
    if stays := row_stays(row):
        messages.error(request, stays)
        return redirect(guide)
    if "remove" in request.POST:
        row.delete()
        messages.success(request, _("The row is gone."))
        return redirect(guide)
    return _row_page(request, guide, row)


def _row_page(request: StaffRequest, guide: Guide, row: GuideRow) -> HttpResponse:
    form = GuideRowForm(posted(request), instance=row)
    if request.method == "POST" and form.is_valid():
        form.save()
        messages.success(request, _("Saved."))
        return redirect(guide)
    context = {"form": form, "guide": guide, "row": row if row.pk else None}
    return render_page(request, "fitment/guide_row.html", context)


@role_required("writer")
@require_POST
def guide_rely_view(request: StaffRequest, pk: int, row: int) -> HttpResponse:
    """Put on record that an order relies on a row, or no longer does."""
    orders = WorkOrder.objects.select_related("vehicle")
    order = get_object_or_404(orders, pk=pk)
    one = get_object_or_404(GuideRow.objects.select_related("guide__replaced_by"), pk=row)
    try:
        if "forget" in request.POST:
            guide_forget(order=order, row=one, by=request.user)
            messages.success(request, _("The order no longer relies on this row."))
        else:
            guide_rely(order=order, row=one, by=request.user)
            messages.success(
                request, _("On record: a newer revision of this table will be flagged.")
            )
    except Refused as refused:
        messages.error(request, refused.reason)
    return redirect("order_guides", pk=order.pk)
