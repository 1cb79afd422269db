"""The app of people, vehicles, work orders and the site itself."""

from django.apps import AppConfig
from django.utils.translation import gettext_noop as _


class ShopConfig(AppConfig):
    name = "shop"
    verbose_name = "Shop"

    def ready(self) -> None:
        """Register the system checks, and what the shop itself plugs in."""
        from django.core.signals import request_finished

        from shop import demo
        from shop.background import in_process
        from shop.background.services import look_now_and_then
        from shop.customer_page.answers import answered
        from shop.extensions.panels import NavigationLink
        from shop.extensions.points import (
            CAR_MODEL_PANELS,
            CHORES,
            CLASS_JUDGES,
            CUSTOMER_NOTES,
            CUSTOMER_PANELS,
            DEMO_BUILDERS,
            FIRST_STEPS,
            NAVIGATION,
            ORDER_ANSWERS,
            PAGE_HELP,
            PARTS_NOTES,
            QUOTE_ANSWERED,
            QUOTE_PAPER,
            SEARCH_GROUPS,
            TASK_WORKER,
            VEHICLE_PANELS,
            WAYS_OUT,
        )
        from shop.extensions.shop_help import OF_SHOP
        from shop.files import panels as files
        from shop.money.services import quote_pdf
        from shop.orders.services.class_rules import judge_parts
        from shop.outbox.panels import seen_notes
        from shop.outbox.services.delivery import DELIVERY
        from shop.outbox.services.following import is_authorised
        from shop.outbox.services.reminders import REMINDERS
        from shop.parts.panels import parts_answers, parts_notes
        from shop.site import checks  # noqa: F401
        from shop.site.error_views import lead_out_by

        CLASS_JUDGES.register(judge_parts, position=10)
        ORDER_ANSWERS.register(parts_answers, position=75)
        PARTS_NOTES.register(parts_notes, position=10)
        DEMO_BUILDERS.register(demo.build, position=10)
        lead_out_by(lambda: [(way.address, way.words) for way in WAYS_OUT])
        TASK_WORKER.fill(in_process.begin)
        VEHICLE_PANELS.register(files.vehicle_panel, position=910)
        CAR_MODEL_PANELS.register(files.car_model_panel, position=910)
        CUSTOMER_PANELS.register(files.customer_panel, position=910)
        QUOTE_PAPER.fill(quote_pdf)
        QUOTE_ANSWERED.register(is_authorised, position=10)
        QUOTE_ANSWERED.register(answered, position=20)
        CUSTOMER_NOTES.register(seen_notes, position=10)
        CHORES.register(REMINDERS, position=10)
        CHORES.register(DELIVERY, position=20)
        request_finished.connect(look_now_and_then)

        from shop.search import groups as found
        from shop.today import steps

        of_shop = (found.ORDERS, found.VEHICLES, found.CUSTOMERS, found.CAR_MODELS, found.PARTS)
        for position, group in enumerate(of_shop, start=1):
            SEARCH_GROUPS.register(group, position=10 * position)

        for position, page in enumerate(OF_SHOP, start=1):
            PAGE_HELP.register(page, position=position)
        for position, step in enumerate(steps.OF_SHOP, start=1):
            FIRST_STEPS.register(step, position=10 * position)

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
            NavigationLink("parts_expected", _("Parts expected"), group=records), position=162
        )
        NAVIGATION.register(NavigationLink("class_list", _("Classes"), group=records), position=180)
        NAVIGATION.register(
            NavigationLink("package_list", _("Packages"), ("writer",), records), position=165
        )
        NAVIGATION.register(
            NavigationLink("bay_list", _("Bays"), managers, _("Shop")), position=220
        )
        NAVIGATION.register(
            NavigationLink("opening_hours", _("Opening hours"), managers, _("Shop")), position=225
        )
        NAVIGATION.register(NavigationLink("staff", _("Staff"), managers, _("Shop")), position=230)
        NAVIGATION.register(
            NavigationLink("shop_settings", _("Shop settings"), managers, _("Shop")), position=250
        )
