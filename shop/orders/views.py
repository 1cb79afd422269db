"""Work orders: the list of open ones, the page of one, and its moves."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse, QueryDict
from django.shortcuts import get_object_or_404, redirect
from django.views.decorators.http import require_GET, require_http_methods

from shop.models import OrderKind, State, Vehicle, WorkOrder
from shop.orders.forms import MoveForm, NotesForm, OrderForm, OverrideForm, WaitForm
from shop.orders.gates import gate_override as do_override
from shop.orders.gates import gates_ask
from shop.orders.next_step import next_words
from shop.orders.page import order_page_context
from shop.orders.refusals import Refused
from shop.orders.services import move_between, notes_change, order_change, order_create, order_wait
from shop.orders.services import order_move as do_move
from shop.site.view_helpers import render_page, role_required

PAGE = 25


def order_or_404(request: HttpRequest, pk: int) -> WorkOrder:
    """The order, if this person may see it, with what its pages show."""
    orders = WorkOrder.objects.visible_to(request.user).select_related(
        "customer",
        "vehicle",
        "vehicle__car_model",
        "first_order",
        "parts_ordered_by",
        "class_record",
    )
    return get_object_or_404(orders, pk=pk)


def refuse(form: Any, refused: Refused) -> None:
    """Put a refusal onto its field of the form, or on top of the form."""
    field = refused.field if refused.field in form.fields else None
    form.add_error(field, refused.reason)


def posted(request: HttpRequest) -> QueryDict | None:
    """What was sent, also when it is empty; None for a page that is only looked at."""
    return request.POST if request.method == "POST" else None


def page_of(request: HttpRequest, rows: Any) -> Any:
    return Paginator(rows, PAGE).get_page(request.GET.get("page"))


def with_next_words(orders: Any) -> list[WorkOrder]:
    """Orders out of ``for_list()``, each with its next act in words."""
    rows = list(orders)
    for row in rows:
        row.next_words = next_words(row)
    return rows


@role_required()
@require_GET
def home(request: HttpRequest) -> HttpResponse:
    """Open orders by date, each with its next act in words."""
    orders = with_next_words(WorkOrder.objects.visible_to(request.user).open().for_list())
    for order in orders:
        booked = order.next_start if order.state == State.BOOKED else None
        order.due = booked or order.state_since
    orders.sort(key=lambda order: order.due)
    page = page_of(request, orders)
    return render_page(request, "shop/home.html", {"page": page})


@role_required()
@require_GET
def order_list(request: HttpRequest) -> HttpResponse:
    """Every order, newest first, with a search and a choice of state."""
    words = request.GET.get("q", "").strip()
    state = request.GET.get("state", "")
    orders = WorkOrder.objects.visible_to(request.user).for_list().search(words)
    if state in State.values:
        orders = orders.filter(state=state)
    page = page_of(request, orders)
    page.object_list = with_next_words(page.object_list)
    context = {"page": page, "q": words, "state": state, "states": State.choices}
    return render_page(request, "shop/order_list.html", context)


@role_required("writer")
@require_http_methods(["GET", "POST"])
def order_new(request: HttpRequest) -> HttpResponse:
    """Choose a vehicle first, then write down the wish."""
    vehicles = Vehicle.objects.visible_to(request.user).select_related("customer", "car_model")
    chosen = request.GET.get("vehicle", "")
    if not chosen.isdigit():
        words = request.GET.get("q", "").strip()
        page = page_of(request, vehicles.search(words))
        return render_page(request, "shop/order_vehicle.html", {"page": page, "q": words})
    vehicle = get_object_or_404(vehicles, pk=int(chosen))
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
            messages.success(request, f"{order.number} is open.")
            return redirect(order)
    context = {"form": form, "vehicle": vehicle, "first_order": first_order}
    return render_page(request, "shop/order_form.html", context)


def _first_values(request: HttpRequest, vehicle: Vehicle) -> dict[str, Any]:
    """What a link may fill in: the kind, and the mileage that is known."""
    kind = request.GET.get("kind", OrderKind.INSTALL)
    values: dict[str, Any] = {"mileage_km": vehicle.mileage_km}
    if kind in (OrderKind.INSTALL, OrderKind.SURVEY_VISIT, OrderKind.OTHER):
        values["kind"] = kind
    if kind == OrderKind.SURVEY_VISIT:
        values["request_text"] = "Measure the car, so that its room is known."
        values["moves_wheel_or_height"] = False
    return values


def _first_order(request: HttpRequest, vehicle: Vehicle) -> WorkOrder | None:
    """The order of the same car that a survey visit is made for."""
    number = request.GET.get("first_order", "")
    if not number.isdigit():
        return None
    return (
        WorkOrder.objects.visible_to(request.user).filter(pk=int(number), vehicle=vehicle).first()
    )


@role_required()
@require_GET
def order(request: HttpRequest, pk: int) -> HttpResponse:
    context = order_page_context(request, order_or_404(request, pk))
    return render_page(request, "shop/order.html", context)


@role_required("writer")
@require_http_methods(["GET", "POST"])
def order_edit(request: HttpRequest, pk: int) -> HttpResponse:
    order = order_or_404(request, pk)
    form = OrderForm(posted(request), instance=WorkOrder.objects.get(pk=pk))
    if request.method == "POST" and form.is_valid():
        try:
            order_change(order=order, by=request.user, values=form.cleaned_data)
        except Refused as refused:
            refuse(form, refused)
        else:
            messages.success(request, "Saved.")
            return redirect(order)
    context = {"form": form, "order": order, "vehicle": order.vehicle}
    return render_page(request, "shop/order_form.html", context)


@role_required()
@require_http_methods(["GET", "POST"])
def order_move(request: HttpRequest, pk: int) -> HttpResponse:
    """Move an order; a move that wants a reason asks for it on a page of its own."""
    order = order_or_404(request, pk)
    to = request.POST.get("to") or request.GET.get("to", "")
    move = move_between(order.state, to) if to in State.values else None
    if move is None:
        messages.error(request, "This step is not possible from where the order is now.")
        return redirect(order)
    asked = request.method == "POST" and (not move.wants_reason or "reason" in request.POST)
    form = MoveForm(request.POST if asked else None, wants_reason=move.wants_reason)
    if asked and form.is_valid():
        try:
            do_move(order=order, to=to, by=request.user, reason=form.cleaned_data["reason"])
        except Refused as refused:
            refuse(form, refused)
        else:
            messages.success(request, f"{order.number}: {order.state_words.lower()}.")
            return redirect(order)
    context = {"form": form, "order": order, "move": move}
    return render_page(request, "shop/order_move.html", context)


@role_required("writer", "technician")
@require_http_methods(["GET", "POST"])
def order_wait_view(request: HttpRequest, pk: int) -> HttpResponse:
    """Say what an order waits for."""
    order = order_or_404(request, pk)
    form = WaitForm(posted(request), initial={"waiting_for": ""})
    if request.method == "POST" and form.is_valid():
        try:
            order_wait(order=order, waiting_for=form.cleaned_data["waiting_for"], by=request.user)
        except Refused as refused:
            refuse(form, refused)
        else:
            return redirect(order)
    return render_page(request, "shop/order_wait.html", {"form": form, "order": order})


@role_required("writer", "technician")
@require_http_methods(["GET", "POST"])
def order_notes(request: HttpRequest, pk: int) -> HttpResponse:
    order = order_or_404(request, pk)
    form = NotesForm(posted(request), initial={"technician_notes": order.technician_notes})
    if request.method == "POST" and form.is_valid():
        notes_change(order=order, by=request.user, notes=form.cleaned_data["technician_notes"])
        messages.success(request, "Notes saved.")
        return redirect(order)
    return render_page(request, "shop/order_notes.html", {"form": form, "order": order})


@role_required("manager")
@require_http_methods(["GET", "POST"])
def gate_override(request: HttpRequest, pk: int) -> HttpResponse:
    """A manager decides, with a reason, on the very answer that the page shows."""
    order = order_or_404(request, pk)
    verdict = next((v for v in gates_ask(order) if v.wants_override), None)
    if verdict is None and request.method == "GET":
        messages.info(request, "No decision of a manager is asked for.")
        return redirect(order)
    digest = verdict.answer.digest if verdict else ""
    form = OverrideForm(posted(request), initial={"digest": digest})
    if request.method == "POST" and form.is_valid():
        try:
            do_override(order=order, by=request.user, **form.cleaned_data)
        except Refused as refused:
            refuse(form, refused)
            form.data = {**form.data.dict(), "digest": digest}
        else:
            messages.success(request, "Your decision is on record.")
            return redirect(order)
    context = {"form": form, "order": order, "verdict": verdict}
    return render_page(request, "shop/gate_override.html", context)
