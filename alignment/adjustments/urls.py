"""Addresses of adjustments at the rack."""

from django.urls import URLPattern, URLResolver, path

from alignment.adjustments import views

urlpatterns: list[URLPattern | URLResolver] = [
    path("orders/<int:pk>/moves/", views.moves, name="moves"),
    path("orders/<int:pk>/moves/accept/", views.moves_take, name="moves_take"),
]
