"""Which pages edit what is on record, and two sessions at one of them.

A form edits where a value that was sent to it stands in the same field when the page is opened
again. That is tried, not declared.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Any

from django.db import transaction
from django.test import Client
from django.urls import reverse

from alignment.geometry import units
from alignment.models.import_layouts import ImportLayout
from fitment.models import OrderMounting, PresentCorner, ShopLaw
from shop.site.sending import is_taken
from tests import factories
from tests.alignment.factories import make_plan, make_visit
from tests.fitment.factories import make_ready_order, make_survey, make_tyre, make_wheel
from tests.page_forms import Control, PageForm, forms_of
from tests.routes import TABLE


def _planned() -> dict[str, Any]:
    return {"pk": make_plan().order_id}


def _lined() -> dict[str, Any]:
    factories.make_shop()
    order = factories.make_order()
    factories.make_line(order)
    factories.make_line(order, description="Set camber and toe")
    return {"pk": order.pk}


def _mounted() -> dict[str, Any]:
    order = make_ready_order()
    OrderMounting.objects.create(
        order=order, axle="front", ring_outer_mm=70, ring_inner_mm=60, length_mm=28
    )
    return {"pk": order.pk}


def _ruled() -> dict[str, Any]:
    figures = {
        "cover_ahead_deg": {"value": 30.0, "source": "a paper"},
        "cover_behind_deg": {"value": 50.0, "source": "a paper"},
    }
    ShopLaw.objects.create(pk=1, figures=figures)
    return {}


def _laid_out() -> dict[str, Any]:
    def column(name: str, what: str, corner: str = "", unit: str = "") -> dict[str, Any]:
        return {"name": name, "what": what, "corner": corner, "unit": unit, "turned": False}

    columns = [
        column("stage", "stage"),
        column("VL camber", "camber", "LF", units.DEGREES),
        column("VR camber", "camber", "RF", units.DEGREES),
    ]
    kept = ImportLayout.objects.create(name="Rack by the door", columns=columns)
    return {"pk": kept.pk}


def _standing() -> dict[str, Any]:
    order = make_ready_order()
    values = {"by": factories.make_user(), "toe_deg": 0.1, "spacer_mm": 3.0, "ride_height_mm": -4.0}
    PresentCorner.objects.create(
        order=order, corner="LF", wheel=make_wheel(), tyre=make_tyre(), **values
    )
    return {"pk": order.pk, "corner": "LF"}


def _sheeted() -> dict[str, Any]:
    survey = make_survey(factories.make_car_model())
    rows = [
        {"travel_mm": mm, "camber_deg": mm / 100, "toe_deg": mm / 400} for mm in (-20.0, 0.0, 20.0)
    ]
    survey.document["suspension"]["measured"] = {"use": "correct", "rows": rows}
    survey.save()
    return {"pk": survey.car_model_id, "corner": "LF"}


def _part_ordered() -> dict[str, Any]:
    factories.make_supplier()
    order = factories.make_order()
    factories.make_part_order(order, supplier=factories.make_supplier())
    return {"pk": order.pk}


def _waiting() -> dict[str, Any]:
    return {"pk": factories.make_order(waiting_for="parts").pk}


#: Rows that hold something to edit, where those of the walk are empty.
ROWS: dict[str, Callable[[], dict[str, Any]]] = {
    "plan_edit": _planned,
    "order_lines": _lined,
    "order_mounting": _mounted,
    "law": _ruled,
    "import_layout": _laid_out,
    "gaps": _standing,
    "travel_sheet": _sheeted,
    "order_parts": _part_ordered,
    "order_wait": _waiting,
    "order_wheels": lambda: {"pk": make_ready_order().pk},
    "visit_edit": lambda: {"pk": make_visit(factories.make_order()).pk},
}
#: Fields that begin with the reader's name or today's date, and are no record.
NO_RECORD = {"measured_on", "measured_by"}


@dataclass(frozen=True)
class Change:
    """A field of the form with this index on the page. ``kept`` are values that it takes: each as
    it was sent and as the page shows it afterwards."""

    form: int
    field: str
    kept: tuple[tuple[list[str], list[str]], ...]


@contextmanager
def taken_back() -> Iterator[None]:
    with transaction.atomic():
        yield
        transaction.set_rollback(True)


def url_of(name: str) -> str:
    parts = ROWS.get(name, TABLE[name].parts)()
    return reverse(name, kwargs=parts)


def opened(browser: Client, url: str) -> list[PageForm]:
    response = browser.get(url)
    return forms_of(response, url) if response.status_code == 200 else []


def on_record(browser: Client, url: str, form: int, field: str) -> list[str] | None:
    """What a field holds when the page is opened now."""
    forms = opened(browser, url)
    control = forms[form].control(field) if form < len(forms) else None
    return control.values if control else None


def _kept_values(
    browser: Client, url: str, index: int, form: PageForm, control: Control, wanted: int
) -> Iterator[tuple[list[str], list[str]]]:
    found = 0
    for values in list(control.others())[:8]:
        if found == wanted:
            return
        with taken_back():
            sent = browser.post(url, form.data(**{control.name: values}))
            shown = on_record(browser, url, index, control.name) if is_taken(sent) else None
            if shown is not None and shown != control.values:
                found += 1
                yield values, shown


def changes(browser: Client, url: str, *, wanted: int = 3) -> Iterator[Change]:
    """Fields of the page whose values are kept when they are sent, up to so many a form."""
    for index, form in enumerate(opened(browser, url)):
        found = 0
        # Texts first: two people can type three different ones.
        for control in sorted(form.seen, key=lambda one: not one.is_typed):
            if found == wanted:
                break
            if control.name in NO_RECORD:
                continue
            kept = tuple(_kept_values(browser, url, index, form, control, 2))
            if kept:
                found += 1
                yield Change(index, control.name, kept)
