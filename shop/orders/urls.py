"""Addresses of work orders."""

from django.urls import URLPattern, URLResolver, path

from shop.orders import copy_views, views

urlpatterns: list[URLPattern | URLResolver] = [
    path("orders/", views.order_list, name="order_list"),
    path("orders/new/", views.order_new, name="order_new"),
    path("orders/<int:pk>/edit/", views.order_edit, name="order_edit"),
    path("orders/<int:pk>/copy/", copy_views.order_copy_view, name="order_copy"),
    path("orders/<int:pk>/move/", views.order_move, name="order_move"),
    path("orders/<int:pk>/wait/", views.order_wait_view, name="order_wait"),
    path("orders/<int:pk>/notes/", views.order_notes, name="order_notes"),
    path("orders/<int:pk>/override/", views.gate_override, name="gate_override"),
]
