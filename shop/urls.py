"""Addresses of the site. Each capability keeps its own list; names have no prefix."""

from django.urls import URLPattern, URLResolver, include, path

from shop.site import health_views, worker_views

urlpatterns: list[URLPattern | URLResolver] = [
    path("healthz/", health_views.healthz, name="healthz"),
    path("worker.js", worker_views.worker, name="worker"),
    path("", include("shop.background.urls")),
    path("", include("shop.calendar.urls")),
    path("", include("shop.customer_page.urls")),
    path("", include("shop.files.urls")),
    path("", include("shop.money.urls")),
    path("", include("shop.order_page.urls")),
    path("", include("shop.orders.urls")),
    path("", include("shop.parts.urls")),
    path("", include("shop.outbox.urls")),
    path("", include("shop.people.urls")),
    path("", include("shop.search.urls")),
    path("", include("shop.sheet.urls")),
    path("", include("shop.today.urls")),
    path("", include("shop.work.urls")),
    path("", include("alignment.urls")),
    path("", include("fitment.urls")),
]

handler400 = "shop.site.error_views.bad_request"
handler403 = "shop.site.error_views.forbidden"
handler404 = "shop.site.error_views.not_found"
handler500 = "shop.site.error_views.broken"
