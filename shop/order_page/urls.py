"""The address of the page of one order."""

from django.urls import URLPattern, URLResolver, path

from shop.order_page import views

urlpatterns: list[URLPattern | URLResolver] = [
    path("orders/<int:pk>/", views.order, name="order"),
]
