"""Addresses of visits, their readings, and tables of readings."""

from django.urls import URLPattern, URLResolver, path

from alignment.visits import entry_views, table_views, views

urlpatterns: list[URLPattern | URLResolver] = [
    path("orders/<int:pk>/readings/new/", entry_views.visit_new, name="visit_new"),
    path("orders/<int:pk>/readings/", views.order_readings, name="order_readings"),
    path("readings/understood/", views.typed_read, name="typed_read"),
    path("readings/<int:pk>/", views.visit, name="visit"),
    path("readings/<int:pk>/edit/", entry_views.visit_edit, name="visit_edit"),
    path("readings/<int:pk>/others/", entry_views.visit_others, name="visit_others"),
    path("readings/<int:pk>/readings.<slug:kind>", table_views.visit_export, name="visit_export"),
    path(
        "vehicles/<int:pk>/readings.<slug:kind>", table_views.vehicle_export, name="vehicle_export"
    ),
    path("orders/<int:pk>/readings/table/", table_views.readings_import, name="readings_import"),
    path("readings/layouts/", table_views.import_layout_list, name="import_layout_list"),
    path("readings/layouts/new/", table_views.import_layout_new, name="import_layout_new"),
    path("readings/layouts/<int:pk>/", table_views.import_layout, name="import_layout"),
]
