"""Addresses of the customer's link, and of signing in person."""

from django.urls import URLPattern, URLResolver, path

from shop.customer_page import quote_views, views

urlpatterns: list[URLPattern | URLResolver] = [
    path("orders/<int:pk>/sign/", views.quote_sign, name="quote_sign"),
    path("c/<str:token>/", views.customer_order, name="customer_order"),
    path("c/<str:token>/authorise/", views.customer_authorise, name="customer_authorise"),
    path("c/<str:token>/language/", views.customer_language, name="customer_language"),
    path("c/<str:token>/sheet.pdf", views.customer_sheet, name="customer_sheet"),
    path(
        "c/<str:token>/quotes/<int:pk>.pdf",
        quote_views.customer_quote_pdf,
        name="customer_quote_pdf",
    ),
]
