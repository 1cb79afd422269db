"""Addresses of lines and quotes."""

from django.urls import URLPattern, URLResolver, path

from shop.money import deposit_views, package_views, views

urlpatterns: list[URLPattern | URLResolver] = [
    path("orders/<int:pk>/lines/", views.order_lines, name="order_lines"),
    path("orders/<int:pk>/lines/fill/", views.lines_from_plan, name="lines_from_plan"),
    path("orders/<int:pk>/deposits/new/", deposit_views.deposit_new, name="deposit_new"),
    path("deposits/<int:pk>/", deposit_views.deposit_edit, name="deposit_edit"),
    path("packages/", package_views.package_list, name="package_list"),
    path("packages/new/", package_views.package_edit, name="package_new"),
    path("packages/<int:pk>/", package_views.package_edit, name="package_edit"),
    path("orders/<int:pk>/quote.pdf", views.quote_preview_pdf, name="quote_preview_pdf"),
    path("orders/<int:pk>/quote/", views.quote_send, name="quote_send"),
    path("quotes/<int:pk>/", views.quote, name="quote"),
    path("quotes/<int:pk>/quote.pdf", views.quote_pdf, name="quote_pdf"),
]
