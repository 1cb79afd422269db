"""Addresses of parts on order, suppliers and price lists."""

from django.urls import URLPattern, URLResolver, path

from shop.parts import price_views, supplier_views, views

urlpatterns: list[URLPattern | URLResolver] = [
    path("orders/<int:pk>/parts/", views.parts_order, name="parts_order"),
    path("orders/<int:pk>/parts/on-order/", views.order_parts, name="order_parts"),
    path("orders/<int:pk>/parts/arrived/", views.parts_arrived, name="parts_arrived"),
    path("orders/<int:pk>/parts/labels/", views.parts_labels, name="parts_labels"),
    path("arrivals/<int:pk>/undo/", views.arrival_undo, name="arrival_undo"),
    path("part-orders/<int:pk>/undo/", views.part_order_undo, name="part_order_undo"),
    path("parts/expected/", views.parts_expected, name="parts_expected"),
    path("parts/prices/", price_views.price_list, name="price_list"),
    path("suppliers/", supplier_views.supplier_list, name="supplier_list"),
    path("suppliers/new/", supplier_views.supplier_edit, name="supplier_new"),
    path("suppliers/<int:pk>/", supplier_views.supplier_edit, name="supplier_edit"),
]
