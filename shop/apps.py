"""The app of people, vehicles, work orders and the site itself."""

from django.apps import AppConfig


class ShopConfig(AppConfig):
    name = "shop"
    verbose_name = "Shop"

    def ready(self) -> None:
        """Register the system checks, and what the shop itself plugs in."""
        from shop import demo
        from shop.extensions.panels import NavigationLink
        from shop.extensions.points import CLASS_JUDGES, DEMO_BUILDERS, NAVIGATION
        from shop.orders.services.class_rules import judge_parts
        from shop.site import checks  # noqa: F401

        CLASS_JUDGES.register(judge_parts, at=10)
        DEMO_BUILDERS.register(demo.build, at=10)

        records, managers = "Records", ("manager",)
        NAVIGATION.register(NavigationLink("order_list", "Orders"), at=10)
        NAVIGATION.register(NavigationLink("day_sheet", "Day sheet"), at=20)
        NAVIGATION.register(NavigationLink("order_new", "New order", ("writer",)), at=40)
        NAVIGATION.register(NavigationLink("customer_list", "Customers", group=records), at=110)
        NAVIGATION.register(NavigationLink("vehicle_list", "Vehicles", group=records), at=120)
        NAVIGATION.register(NavigationLink("car_model_list", "Patterns", group=records), at=130)
        NAVIGATION.register(NavigationLink("part_list", "Parts", group=records), at=160)
        NAVIGATION.register(NavigationLink("class_list", "Classes", group=records), at=180)
        NAVIGATION.register(NavigationLink("bay_list", "Bays", managers, "Shop"), at=220)
        NAVIGATION.register(NavigationLink("staff", "Staff", managers, "Shop"), at=230)
        NAVIGATION.register(
            NavigationLink("shop_settings", "Shop settings", managers, "Shop"), at=250
        )
