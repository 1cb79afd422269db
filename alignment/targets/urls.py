"""Addresses of target sheets."""

from django.urls import URLPattern, URLResolver, path

from alignment.targets import views

urlpatterns: list[URLPattern | URLResolver] = [
    path("car-models/<int:pk>/targets/", views.target_list, name="target_list"),
    path("car-models/<int:pk>/targets/new/", views.target_new, name="target_new"),
    path("targets/<int:pk>/", views.target, name="target"),
    path("targets/<int:pk>/edit/", views.target_edit, name="target_edit"),
    path("orders/<int:pk>/target/", views.target_take_view, name="target_take"),
]
