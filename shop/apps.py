"""The app of people, vehicles, work orders and the site itself."""

from django.apps import AppConfig
from django.utils.translation import gettext_noop as _


class ShopConfig(AppConfig):
    name = "shop"
    verbose_name = "Shop"

    def ready(self) -> None:
        """Register the system checks, and what the shop itself plugs in."""
        from shop import demo
        from shop.background import in_process
        from shop.extensions.panels import NavigationLink
        from shop.extensions.points import (
            CLASS_JUDGES,
            DEMO_BUILDERS,
            NAVIGATION,
            ORDER_PANELS,
            TASK_WORKER,
            WAYS_OUT,
        )
        from shop.orders.services.class_rules import judge_parts
        from shop.parts.panels import parts_panel
        from shop.site import checks  # noqa: F401
        from shop.site.error_views import lead_out_by

        CLASS_JUDGES.register(judge_parts, position=10)
        ORDER_PANELS.register(parts_panel, position=75)
        DEMO_BUILDERS.register(demo.build, position=10)
        lead_out_by(lambda: [(way.address, way.words) for way in WAYS_OUT])
        TASK_WORKER.fill(in_process.begin)

        records, managers = _("Records"), ("manager",)
        # Positions: to 99 links by themselves, from 100 the group Records, from 210 the group Shop.
        NAVIGATION.register(NavigationLink("order_list", _("Orders")), position=10)
        NAVIGATION.register(NavigationLink("day_sheet", _("Day sheet")), position=20)
        NAVIGATION.register(NavigationLink("order_new", _("New order"), ("writer",)), position=40)
        NAVIGATION.register(
            NavigationLink("customer_list", _("Customers"), group=records), position=110
        )
        NAVIGATION.register(
            NavigationLink("vehicle_list", _("Vehicles"), group=records), position=120
        )
        NAVIGATION.register(
            NavigationLink("car_model_list", _("Car models"), group=records), position=130
        )
        NAVIGATION.register(NavigationLink("part_list", _("Parts"), group=records), position=160)
        NAVIGATION.register(
            NavigationLink("parts_expected", _("Parts expected"), group=records), position=165
        )
        NAVIGATION.register(NavigationLink("class_list", _("Classes"), group=records), position=180)
        NAVIGATION.register(
            NavigationLink("bay_list", _("Bays"), managers, _("Shop")), position=220
        )
        NAVIGATION.register(NavigationLink("staff", _("Staff"), managers, _("Shop")), position=230)
        NAVIGATION.register(
            NavigationLink("shop_settings", _("Shop settings"), managers, _("Shop")), position=250
        )
