"""A visit to the rack as it is read, and fields understood as they are typed."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET

from alignment.fields.parsers import reader_of
from alignment.geometry import units
from alignment.models import PlannedSetting, RackVisit, ToePlace
from alignment.plans.services.order_targets import sheet_of
from alignment.text.labels import adjuster_here
from alignment.text.question_messages import confirmed_said
from alignment.visits.comparison import one_visit, positions_in_order
from alignment.visits.entry_views import visit_or_404
from alignment.visits.legal_limits_page import beyond_limits
from alignment.visits.order_readings_page import readings_of
from alignment.visits.services.derived_quantities import derived_of
from alignment.visits.services.sweeps import STEPS, SWEPT, sweep_of
from shop.models import Corner
from shop.orders.services.access import order_or_404
from shop.site.view_helpers import (
    StaffRequest,
    has_role,
    kept_on_device,
    render_page,
    role_required,
)

#: Characters that any field of a visit may have.
LONGEST = 80


@role_required()
@require_GET
@kept_on_device
def visit(request: HttpRequest, pk: int) -> HttpResponse:
    seen = visit_or_404(pk)
    plans = PlannedSetting.objects.filter(order=seen.order)
    context = {
        "visit": seen,
        "order": seen.order,
        "confirmed": confirmed_said(seen.accepted),
        "table": one_visit(seen, plans, sheet_of(seen.order)),
        "derived": derived_of(seen),
        "beyond_limits": beyond_limits(seen.order, seen),
        "pressures": [r for r in seen.readings.all() if r.quantity == "pressure"],
        "sweeps": [(Corner(c).label, sweep) for c, sweep in sorted(seen.sweeps.items())],
        "positions": [
            (Corner(p.corner).label, adjuster_here(p.adjuster), p.shown)
            for p in positions_in_order(seen)
        ],
    }
    return render_page(request, "alignment/visit.html", context)


@role_required()
@require_GET
def order_readings(request: StaffRequest, pk: int) -> HttpResponse:
    """All readings of an order: before, after, target and what is off, with its visits."""
    order = order_or_404(pk)
    visits = list(RackVisit.objects.filter(order=order).with_numbers())
    shown = readings_of(order, visits) if visits else None
    is_technician = has_role(request.user, "technician")
    context = {
        "order": order,
        "visits": visits,
        "table": shown.table if shown else None,
        "beyond_limits": shown.beyond_limits if shown else [],
        "may_enter": order.is_open and is_technician,
        "may_adjust": is_technician and shown is not None and shown.may_adjust,
    }
    return render_page(request, "alignment/order_readings.html", context)


@role_required()
@require_GET
def typed_read(request: HttpRequest) -> HttpResponse:
    """What the server understands of one field: the text shown beside it."""
    said, refused = "", ""
    try:
        typed = _sent(request, request.GET.get("field", ""))
        if typed:
            said = _said(request, request.GET.get("kind", ""), typed)
    except units.NotUnderstood as refusal:
        refused = str(refusal)
    context = {"said": said, "refused": refused}
    return render_page(request, "alignment/read_back.html", context)


def _sent(request: HttpRequest, name: str) -> str:
    """What was typed into one field. Raises NotUnderstood where that is longer than any takes."""
    typed = request.GET.get(name, "").strip()
    if len(typed) > LONGEST:
        too_long = _("Too long: at most {count} characters.")
        raise units.NotUnderstood(too_long.format(count=LONGEST))
    return typed


def _said(request: HttpRequest, kind: str, typed: str) -> str:
    corner = kind.removeprefix("sweep_")
    if kind.startswith("sweep_") and corner in SWEPT:
        return _sweep_said(request, corner)
    asked = request.GET
    place = asked.get("toe_place", ToePlace.STATED)
    diameter = None
    if kind.startswith("toe") and kind != "toe_diameter" and asked.get("toe_diameter"):
        reader, _say = reader_of("toe_diameter", "", None, place)
        diameter = reader(_sent(request, "toe_diameter")).value or None
    unit = asked.get("toe_unit", units.DEGREES)
    bare_unit = unit if unit in units.TOE_UNITS else units.DEGREES
    reader, say = reader_of(kind, bare_unit, diameter, place)
    number = reader(typed)
    return number.words or say(number.value)


def _sweep_said(request: HttpRequest, corner: str) -> str:
    """The caster of a sweep; empty until all four numbers are there."""
    texts = {step: _sent(request, f"sweep_{corner}_{step}") for step, *_rest in STEPS}
    if not all(texts.values()):
        return ""
    inclination = _sent(request, f"sai_{corner}")
    lean = units.parse_angle(inclination).value if inclination else None
    sweep, _wrong, reason = sweep_of(texts, lean)
    if sweep is None:
        raise units.NotUnderstood(reason)
    return sweep.words
