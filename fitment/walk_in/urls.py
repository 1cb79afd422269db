"""Addresses of the page for a walk-in."""

from django.urls import URLPattern, URLResolver, path

from fitment.walk_in import views

urlpatterns: list[URLPattern | URLResolver] = [
    path("walk-in/", views.walk_in, name="walk_in"),
    path("walk-in/known/", views.walk_in_known, name="walk_in_known"),
]
