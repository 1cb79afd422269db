"""Addresses of checks: their pages, curves and maps, and the gaps of this car."""

from django.urls import URLPattern, URLResolver, path

from fitment.clearance import curve_views, gap_views, views

_CORNER = "checks/<int:pk>/<str:corner>/"

urlpatterns: list[URLPattern | URLResolver] = [
    path("orders/<int:pk>/room/", views.room, name="room"),
    path("orders/<int:pk>/room/run/", views.room_run, name="room_run"),
    path("checks/<int:pk>/", views.room_check, name="room_check"),
    path("checks/<int:pk>/car/", curve_views.room_car, name="room_car"),
    path(f"{_CORNER}curves/", curve_views.room_curves, name="room_curves"),
    path(f"{_CORNER}curves.csv", curve_views.room_curves_csv, name="room_curves_csv"),
    path(f"{_CORNER}map/", curve_views.room_map, name="room_map"),
    path(f"{_CORNER}tyre/", curve_views.room_tyre, name="room_tyre"),
    path("orders/<int:pk>/gaps/<str:corner>/", gap_views.gaps, name="gaps"),
]
