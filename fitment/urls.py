"""Addresses of this app, capability by capability; the site includes them at the root."""

from django.urls import URLPattern, URLResolver, include, path

urlpatterns: list[URLPattern | URLResolver] = [
    path("", include("fitment.catalogue.urls")),
    path("", include("fitment.clearance.urls")),
    path("", include("fitment.learning.urls")),
    path("", include("fitment.mounting.urls")),
    path("", include("fitment.surveys.urls")),
    path("", include("fitment.tryout.urls")),
    path("", include("fitment.walk_in.urls")),
]
