"""Addresses of the site. Each app keeps its own list; names have no prefix."""

from django.urls import include, path

from shop.views import accounts, health, worker

urlpatterns = [
    path("healthz/", health.healthz, name="healthz"),
    path("worker.js", worker.worker, name="worker"),
    path("accounts/login/", accounts.SignIn.as_view(), name="login"),
    path("accounts/logout/", accounts.SignOut.as_view(), name="logout"),
    path("accounts/password/", accounts.ChangePassword.as_view(), name="password"),
    path("", include("shop.routes")),
    path("", include("alignment.urls")),
    path("", include("fitment.urls")),
    path("", include("fitment.mounting_urls")),
    path("", include("fitment.measuring_urls")),
]

handler400 = "shop.views.errors.bad_request"
handler403 = "shop.views.errors.forbidden"
handler404 = "shop.views.errors.not_found"
handler500 = "shop.views.errors.broken"
