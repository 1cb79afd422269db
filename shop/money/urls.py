"""Addresses of lines and quotes."""

from django.urls import URLPattern, URLResolver, path

from shop.money import views

urlpatterns: list[URLPattern | URLResolver] = [
    path("orders/<int:pk>/lines/", views.order_lines, name="order_lines"),
    path("orders/<int:pk>/quote/", views.quote_send, name="quote_send"),
    path("quotes/<int:pk>/", views.quote, name="quote"),
    path("quotes/<int:pk>/quote.pdf", views.quote_pdf, name="quote_pdf"),
]
