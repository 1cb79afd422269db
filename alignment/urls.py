"""Addresses of this app; the site includes them at the root."""

from django.urls import URLPattern, URLResolver, path

from alignment.views import entry, moves, plans, visits

urlpatterns: list[URLPattern | URLResolver] = [
    path("orders/<int:pk>/plan/", plans.plan_edit, name="plan_edit"),
    path("orders/<int:pk>/moves/", moves.moves, name="moves"),
    path("orders/<int:pk>/readings/new/", entry.visit_new, name="visit_new"),
    path("readings/understood/", visits.typed_read, name="typed_read"),
    path("readings/<int:pk>/", visits.visit, name="visit"),
    path("readings/<int:pk>/edit/", entry.visit_edit, name="visit_edit"),
    path("readings/<int:pk>/others/", entry.visit_others, name="visit_others"),
]
