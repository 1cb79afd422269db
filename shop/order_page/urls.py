"""Addresses of an order's page, of its questions in full length, its log and its job sheet."""

from django.urls import URLPattern, URLResolver, path

from shop.order_page import views

urlpatterns: list[URLPattern | URLResolver] = [
    path("orders/<int:pk>/", views.order, name="order"),
    path("orders/<int:pk>/cost/", views.order_cost, name="order_cost"),
    path("orders/<int:pk>/when/", views.order_when, name="order_when"),
    path("orders/<int:pk>/done/", views.order_done, name="order_done"),
    path("orders/<int:pk>/held/", views.order_held, name="order_held"),
    path("orders/<int:pk>/class-rules/", views.order_class_rules, name="order_class_rules"),
    path("orders/<int:pk>/log/", views.order_log, name="order_log"),
    path("orders/<int:pk>/job-sheet/", views.job_sheet, name="job_sheet"),
]
