"""Addresses of the site. Each app keeps its own list; names have no prefix."""

from django.urls import include, path

from shop.people import account_views
from shop.site import health_views, worker_views

urlpatterns = [
    path("healthz/", health_views.healthz, name="healthz"),
    path("worker.js", worker_views.worker, name="worker"),
    path("accounts/login/", account_views.SignIn.as_view(), name="login"),
    path("accounts/logout/", account_views.SignOut.as_view(), name="logout"),
    path("accounts/", account_views.account, name="account"),
    path("accounts/password/", account_views.ChangePassword.as_view(), name="password"),
    path("", include("shop.site.routes")),
    path("", include("alignment.urls")),
    path("", include("fitment.urls")),
    path("", include("fitment.mounting.urls")),
    path("", include("fitment.surveys.session_urls")),
]

handler400 = "shop.site.error_views.bad_request"
handler403 = "shop.site.error_views.forbidden"
handler404 = "shop.site.error_views.not_found"
handler500 = "shop.site.error_views.broken"
