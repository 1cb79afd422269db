"""Addresses of checks: their pages, curves and maps, and the gaps of this car."""

from django.urls import URLPattern, URLResolver, path

from fitment.clearance import curve_views, gap_views, pose_views, views

_CORNER = "checks/<int:pk>/<str:corner>/"

urlpatterns: list[URLPattern | URLResolver] = [
    path("orders/<int:pk>/clearance/", views.clearance, name="clearance"),
    path("orders/<int:pk>/clearance/run/", views.clearance_run, name="clearance_run"),
    path("checks/<int:pk>/", views.clearance_check, name="clearance_check"),
    path("checks/<int:pk>/car/", curve_views.clearance_car, name="clearance_car"),
    path(f"{_CORNER}curves/", curve_views.clearance_curves, name="clearance_curves"),
    path(f"{_CORNER}curves.csv", curve_views.clearance_curves_csv, name="clearance_curves_csv"),
    path(f"{_CORNER}map/", curve_views.clearance_map, name="clearance_map"),
    path(f"{_CORNER}poses/", pose_views.clearance_poses, name="clearance_poses"),
    path(f"{_CORNER}tyre/", curve_views.clearance_tyre, name="clearance_tyre"),
    path("orders/<int:pk>/gaps/<str:corner>/", gap_views.gaps, name="gaps"),
]
