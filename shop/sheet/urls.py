"""The address of the spec sheet."""

from django.urls import URLPattern, URLResolver, path

from shop.sheet import views

urlpatterns: list[URLPattern | URLResolver] = [
    path("orders/<int:pk>/sheet.pdf", views.order_sheet, name="order_sheet"),
]
