"""Addresses of background tasks."""

from django.urls import URLPattern, URLResolver, path

from shop.background import views

urlpatterns: list[URLPattern | URLResolver] = [
    path("tasks/<int:pk>/cancel/", views.task_cancel, name="task_cancel"),
]
