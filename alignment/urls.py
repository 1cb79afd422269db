"""Addresses of this app; the site includes them at the root."""

from django.urls import URLPattern, URLResolver, path

from alignment.adjustments import views as adjustments
from alignment.history import views as history
from alignment.plans import views as plans
from alignment.targets import views as targets
from alignment.visits import entry_views, table_views
from alignment.visits import views as visits

urlpatterns: list[URLPattern | URLResolver] = [
    path("orders/<int:pk>/plan/", plans.plan_edit, name="plan_edit"),
    path("orders/<int:pk>/adjustments/", adjustments.adjustments, name="adjustments"),
    path(
        "orders/<int:pk>/adjustments/accept/", adjustments.adjustments_take, name="adjustments_take"
    ),
    path("orders/<int:pk>/readings/new/", entry_views.visit_new, name="visit_new"),
    path("readings/understood/", visits.typed_read, name="typed_read"),
    path("readings/<int:pk>/", visits.visit, name="visit"),
    path("readings/<int:pk>/edit/", entry_views.visit_edit, name="visit_edit"),
    path("readings/<int:pk>/others/", entry_views.visit_others, name="visit_others"),
    path("readings/<int:pk>/readings.<slug:kind>", table_views.visit_export, name="visit_export"),
    path(
        "vehicles/<int:pk>/readings.<slug:kind>", table_views.vehicle_export, name="vehicle_export"
    ),
    path("vehicles/<int:pk>/readings/", history.vehicle_readings, name="vehicle_readings"),
    path("orders/<int:pk>/readings/table/", table_views.readings_import, name="readings_import"),
    path("readings/maps/", table_views.import_layout_list, name="import_layout_list"),
    path("readings/maps/new/", table_views.import_layout_new, name="import_layout_new"),
    path("readings/maps/<int:pk>/", table_views.import_layout, name="import_layout"),
    path("car-models/<int:pk>/targets/", targets.target_list, name="target_list"),
    path("car-models/<int:pk>/targets/new/", targets.target_new, name="target_new"),
    path("targets/<int:pk>/", targets.target, name="target"),
    path("targets/<int:pk>/edit/", targets.target_edit, name="target_edit"),
    path("orders/<int:pk>/target/", targets.target_take_view, name="target_take"),
]
