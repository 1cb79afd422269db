"""Addresses of adjustments at the rack."""

from django.urls import URLPattern, URLResolver, path

from alignment.adjustments import views

urlpatterns: list[URLPattern | URLResolver] = [
    path("orders/<int:pk>/adjustments/", views.adjustments, name="adjustments"),
    path("orders/<int:pk>/adjustments/accept/", views.adjustments_take, name="adjustments_take"),
]
