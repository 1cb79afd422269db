"""Addresses of this app, capability by capability; the site includes them at the root."""

from django.urls import URLPattern, URLResolver, include, path

urlpatterns: list[URLPattern | URLResolver] = [
    path("", include("alignment.adjustments.urls")),
    path("", include("alignment.history.urls")),
    path("", include("alignment.plans.urls")),
    path("", include("alignment.targets.urls")),
    path("", include("alignment.visits.urls")),
]
