"""The address of planned settings."""

from django.urls import URLPattern, URLResolver, path

from alignment.plans import views

urlpatterns: list[URLPattern | URLResolver] = [
    path("orders/<int:pk>/plan/", views.plan_edit, name="plan_edit"),
]
