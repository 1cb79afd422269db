"""Addresses of email: what an order sent, and the shop's words and server."""

from django.urls import URLPattern, URLResolver, path

from shop.outbox import settings_views, views

urlpatterns: list[URLPattern | URLResolver] = [
    path("orders/<int:pk>/mail/", views.order_mail, name="order_mail"),
    path("mails/<int:pk>/again/", views.mail_again, name="mail_again"),
    path("mails/<int:pk>/withdraw/", views.mail_withdraw, name="mail_withdraw"),
    path("mails/<int:pk>/returned/", views.mail_returned, name="mail_returned"),
    path("settings/mail/", settings_views.mail_settings, name="mail_settings"),
    path("settings/mail/try/", settings_views.mail_try, name="mail_try"),
    path("settings/mail/<slug:kind>/<slug:language>/", settings_views.mail_text, name="mail_text"),
]
