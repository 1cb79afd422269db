"""Work orders: the list of open ones, the page of one, and its moves."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods

from common.numerals import whole
from shop.extensions.answers import Question, back_to
from shop.models import OrderKind, State, Vehicle, WorkOrder
from shop.orders.forms import NotesForm, OrderForm, OverrideForm, WaitForm
from shop.orders.services.access import order_or_404, order_to_change
from shop.orders.services.cancelling import before_cancelling
from shop.orders.services.cautions import Moment, cautions_at, job_of
from shop.orders.services.changes import notes_change, order_change, order_create, order_wait
from shop.orders.services.gates import gate_override as do_override
from shop.orders.services.gates import gates_ask, lead_of
from shop.orders.services.lists import for_list, with_next_words
from shop.orders.services.states import move_between
from shop.orders.services.states import order_move as do_move
from shop.site.forms import MoveForm
from shop.site.refusals import Refused, refuse
from shop.site.view_helpers import StaffRequest, page_of, posted, render_page, role_required


@role_required()
@require_GET
def order_list(request: StaffRequest) -> HttpResponse:
    """Every order, newest first, with a search and a choice of state."""
    words = request.GET.get("q", "").strip()
    state = request.GET.get("state", "")
    orders = for_list(WorkOrder.objects.search(words))
    if state in State.values:
        orders = orders.filter(state=state)
    page = page_of(request, orders)
    page.object_list = with_next_words(page.object_list)
    context = {"page": page, "q": words, "state": state, "states": State.choices}
    return render_page(request, "shop/order_list.html", context)


@role_required("writer")
@require_http_methods(["GET", "POST"])
def order_new(request: StaffRequest) -> HttpResponse:
    """Choose a vehicle first, then enter the request."""
    vehicles = Vehicle.objects.select_related("customer", "car_model")
    chosen = whole(request.GET.get("vehicle", ""))
    if chosen is None:
        words = request.GET.get("q", "").strip()
        page = page_of(request, vehicles.search(words))
        return render_page(request, "shop/order_vehicle.html", {"page": page, "q": words})
    vehicle = get_object_or_404(vehicles, pk=chosen)
    first_order = _first_order(request, vehicle)
    form = OrderForm(posted(request), initial=_first_values(request, vehicle))
    if request.method == "POST" and form.is_valid():
        try:
            order = order_create(
                by=request.user,
                customer=vehicle.customer,
                vehicle=vehicle,
                first_order=first_order,
                **form.cleaned_data,
            )
        except Refused as refused:
            refuse(form, refused)
        else:
            messages.success(request, _("{number} opened.").format(number=order.number))
            return redirect(order)
    context = {"form": form, "vehicle": vehicle, "first_order": first_order}
    return render_page(request, "shop/order_form.html", context)


def _first_values(request: HttpRequest, vehicle: Vehicle) -> dict[str, Any]:
    """What a link may fill in: the kind, and the mileage that is known."""
    kind = request.GET.get("kind", OrderKind.INSTALL)
    values: dict[str, Any] = {"mileage_km": vehicle.mileage_km}
    if kind in OrderKind.values and kind != OrderKind.COMEBACK:
        values["kind"] = kind
    if kind == OrderKind.SURVEY_VISIT:
        values["request_text"] = _("Measure the car for clearance checks.")
        values["moves_wheel_or_height"] = False
    return values


def _first_order(request: HttpRequest, vehicle: Vehicle) -> WorkOrder | None:
    """The order of the same car that a survey visit is made for."""
    number = whole(request.GET.get("first_order", ""))
    if number is None:
        return None
    return WorkOrder.objects.filter(pk=number, vehicle=vehicle).first()


@role_required("writer")
@require_http_methods(["GET", "POST"])
def order_edit(request: StaffRequest, pk: int) -> HttpResponse:
    order = order_to_change(pk) if request.method == "POST" else order_or_404(pk)
    form = OrderForm(posted(request), instance=WorkOrder.objects.get(pk=pk))
    if request.method == "POST" and form.is_valid():
        try:
            order_change(order=order, by=request.user, values=form.cleaned_data)
        except Refused as refused:
            refuse(form, refused)
        else:
            messages.success(request, _("Saved."))
            return redirect(order)
    context = {"form": form, "order": order, "vehicle": order.vehicle}
    return render_page(request, "shop/order_form.html", context)


@role_required()
@require_http_methods(["GET", "POST"])
def order_move(request: StaffRequest, pk: int) -> HttpResponse:
    """Move an order; a move that wants a reason asks for it on a page of its own."""
    order = order_or_404(pk)
    to = request.POST.get("to") or request.GET.get("to", "")
    move = move_between(order.state, to) if to in State.values else None
    if move is None:
        messages.error(request, _("This step is not possible in the order's present state."))
        return redirect(order)
    asked = request.method == "POST" and (not move.wants_reason or "reason" in request.POST)
    form = MoveForm(request.POST if asked else None, wants_reason=move.wants_reason)
    if asked and form.is_valid():
        try:
            do_move(order=order, to=to, by=request.user, reason=form.cleaned_data["reason"])
        except Refused as refused:
            refuse(form, refused)
        else:
            messages.success(request, f"{order.number}: {order.state_words}.")
            return redirect(order)
    settle = before_cancelling(order) if to == State.CANCELLED else []
    context = {"form": form, "order": order, "move": move, "settle": settle}
    return render_page(request, "shop/order_move.html", context)


@role_required("writer", "technician")
@require_http_methods(["GET", "POST"])
def order_wait_view(request: StaffRequest, pk: int) -> HttpResponse:
    """Say what an order waits for."""
    order = order_to_change(pk) if request.method == "POST" else order_or_404(pk)
    form = WaitForm(posted(request), waiting_for=order.waiting_for, initial={"waiting_for": ""})
    if request.method == "POST" and form.is_valid():
        try:
            order_wait(order=order, waiting_for=form.cleaned_data["waiting_for"], by=request.user)
        except Refused as refused:
            refuse(form, refused)
        else:
            return back_to(order, Question.WHEN)
    return render_page(request, "shop/order_wait.html", {"form": form, "order": order})


@role_required("writer", "technician")
@require_http_methods(["GET", "POST"])
def order_notes(request: StaffRequest, pk: int) -> HttpResponse:
    order = order_to_change(pk) if request.method == "POST" else order_or_404(pk)
    form = NotesForm(posted(request), initial={"technician_notes": order.technician_notes})
    if request.method == "POST" and form.is_valid():
        notes_change(order=order, by=request.user, notes=form.cleaned_data["technician_notes"])
        messages.success(request, _("Notes saved."))
        return back_to(order, "notes")
    return render_page(request, "shop/order_notes.html", {"form": form, "order": order})


@role_required("manager")
@require_http_methods(["GET", "POST"])
def gate_override(request: StaffRequest, pk: int) -> HttpResponse:
    """A manager decides, with a reason, on the very answer that the page shows."""
    order = order_or_404(pk)
    verdict = lead_of(v for v in gates_ask(order) if v.wants_override)
    if verdict is None and request.method == "GET":
        messages.info(request, _("No override is needed."))
        return redirect(order)
    digest = verdict.answer.digest if verdict else ""
    form = OverrideForm(posted(request), initial={"digest": digest})
    if request.method == "POST" and form.is_valid():
        try:
            do_override(order=order, by=request.user, **form.cleaned_data)
        except Refused as refused:
            refuse(form, refused)
            form.data = {**request.POST.dict(), "digest": digest}
        else:
            messages.success(request, _("Override recorded."))
            return back_to(order, Question.FITS)
    context = {
        "form": form,
        "order": order,
        "verdict": verdict,
        "cautions": cautions_at(job_of(order), Moment.OVERRIDE),
    }
    return render_page(request, "shop/gate_override.html", context)
