"""Addresses of the customer's link, and of signing in person."""

from django.urls import URLPattern, URLResolver, path

from shop.customer_page import answer_views, quote_views, views

urlpatterns: list[URLPattern | URLResolver] = [
    path("orders/<int:pk>/sign/", views.quote_sign, name="quote_sign"),
    path("c/<str:token>/", views.customer_order, name="customer_order"),
    path("c/<str:token>/authorise/", views.customer_authorise, name="customer_authorise"),
    path("c/<str:token>/ask/", answer_views.customer_ask, name="customer_ask"),
    path("c/<str:token>/decline/", answer_views.customer_decline, name="customer_decline"),
    path("c/<str:token>/choose/", answer_views.customer_choose, name="customer_choose"),
    path("orders/<int:pk>/customer/", answer_views.customer_answers, name="customer_answers"),
    path("answers/<int:pk>/reply/", answer_views.customer_reply, name="customer_reply"),
    path("c/<str:token>/language/", views.customer_language, name="customer_language"),
    path("c/<str:token>/sheet.pdf", views.customer_sheet, name="customer_sheet"),
    path(
        "c/<str:token>/quotes/<int:pk>.pdf",
        quote_views.customer_quote_pdf,
        name="customer_quote_pdf",
    ),
]
