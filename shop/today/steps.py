"""The shop's own first steps, in the order in which each serves the next."""

from __future__ import annotations

from django.utils.translation import gettext_noop as _

from shop.extensions.first_steps import FirstStep
from shop.models import Bay, CarModel, ShopSettings, User, WorkOrder


def _settings_said() -> bool:
    """Whether the shop's own row was ever saved by a person: a fresh one has version 1."""
    return ShopSettings.objects.filter(version__gt=1).exists()


OF_SHOP = (
    FirstStep(
        _("Enter the shop's settings"),
        _("Its name, address, hourly rate and tax stand on every quote."),
        "shop_settings",
        _settings_said,
    ),
    FirstStep(
        _("Add staff"),
        _("Each person signs for their own work."),
        "staff",
        lambda: User.objects.filter(is_active=True)[:2].count() > 1,
    ),
    FirstStep(
        _("Add the bays"),
        _("An appointment is booked in a bay."),
        "bay_list",
        lambda: Bay.objects.exists(),
    ),
    FirstStep(
        _("Add the first car model"),
        _("What is measured on one car serves all of its model."),
        "car_model_new",
        lambda: CarModel.objects.exists(),
        ("writer", "technician"),
    ),
    FirstStep(
        _("Open the first order"),
        _("An order starts with a customer, a vehicle and a request."),
        "order_new",
        lambda: WorkOrder.objects.exists(),
        ("writer",),
    ),
)
