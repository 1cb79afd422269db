"""Files where the record that they belong to is shown."""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest
from django.urls import reverse
from django.utils.translation import gettext as _

from shop.extensions.panels import Panel
from shop.files.data import Owner
from shop.files.services import files_for_customer, files_shown
from shop.models import CarModel, Corner, Vehicle, WorkOrder


def vehicle_panel(request: HttpRequest, vehicle: Vehicle) -> Panel:
    return _panel(Owner(vehicle=vehicle), reverse("vehicle_files", args=[vehicle.pk]))


def car_model_panel(request: HttpRequest, car_model: CarModel) -> Panel:
    """The corners with files, each leading to its own page."""
    rows = car_model.files.filter(removed_at=None)
    return Panel(
        _("Photos and files of the corners"),
        "shop/files/corners_panel.html",
        {"car_model": car_model, "corners": corners_of(car_model, rows)},
        "files",
    )


def corners_of(car_model: CarModel, rows: Any) -> list[dict[str, Any]]:
    counts: dict[str, int] = {}
    for corner in rows.values_list("corner", flat=True):
        counts[corner] = counts.get(corner, 0) + 1
    return [
        {
            "name": corner.label,
            "count": counts.get(corner.value, 0),
            "url": reverse("corner_files", args=[car_model.pk, corner.value]),
        }
        for corner in Corner
    ]


def customer_panel(order: WorkOrder) -> Panel | None:
    """What the shop marked for the customer."""
    files = list(files_for_customer(order))
    if not files:
        return None
    context = {"files": files, "token": order.token}
    return Panel(_("Photos and files"), "shop/files/customer_panel.html", context, "files")


def _panel(owner: Owner, url: str) -> Panel:
    context = {"files": files_shown(owner), "url": url}
    return Panel(_("Photos and files"), "shop/files/files_panel.html", context, "files")
