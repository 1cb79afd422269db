"""Addresses of wheels, tyres, use profiles and their imports."""

from django.urls import URLPattern, URLResolver, path

from fitment.catalogue import import_views, measured_views, views

urlpatterns: list[URLPattern | URLResolver] = [
    path("wheels/", views.wheel_list, name="wheel_list"),
    path("wheels/new/", views.wheel_edit, name="wheel_new"),
    path("wheels/<int:pk>/", views.wheel_edit, name="wheel_edit"),
    path("tyres/", views.tyre_list, name="tyre_list"),
    path("tyres/new/", views.tyre_edit, name="tyre_new"),
    path("tyres/<int:pk>/", views.tyre_edit, name="tyre_edit"),
    path("uses/", views.use_list, name="use_list"),
    path("uses/<int:pk>/", views.use_edit, name="use_edit"),
    path("tyres/<int:pk>/measure/", measured_views.tyre_measure, name="tyre_measure"),
    path(
        "measurements/<int:pk>/remove/",
        measured_views.measurement_remove_view,
        name="measurement_remove",
    ),
    path("wheels/<int:pk>/measure/", measured_views.wheel_measure, name="wheel_measure"),
    path(
        "wheel-measurements/<int:pk>/remove/",
        measured_views.wheel_measurement_remove_view,
        name="wheel_measurement_remove",
    ),
    path("tyres/import/", import_views.catalogue_import, {"what": "tyres"}, name="tyre_import"),
    path("wheels/import/", import_views.catalogue_import, {"what": "wheels"}, name="wheel_import"),
]
