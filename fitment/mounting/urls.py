"""Addresses of what an order mounts, of mounting checks, fitment tables and the law."""

from django.urls import URLPattern, URLResolver, path

from fitment.mounting import dry_fit_views, guide_views, order_views, views, wheel_views

urlpatterns: list[URLPattern | URLResolver] = [
    path("orders/<int:pk>/wheels/", wheel_views.order_wheels, name="order_wheels"),
    path("orders/<int:pk>/mounting/", views.order_mounting, name="order_mounting"),
    path(
        "orders/<int:pk>/mounting/checks/",
        order_views.order_mounting_checks,
        name="order_mounting_checks",
    ),
    path("orders/<int:pk>/tables/", order_views.order_guides, name="order_guides"),
    path(
        "orders/<int:pk>/earlier-jobs/", order_views.order_earlier_jobs, name="order_earlier_jobs"
    ),
    path("orders/<int:pk>/mounting/check/", views.mounting_run, name="mounting_run"),
    path("orders/<int:pk>/dry-fit/", dry_fit_views.dry_fit, name="dry_fit"),
    path("mounting-checks/<int:pk>/", views.mounting_check, name="mounting_check"),
    path("law/", views.law, name="law"),
    path("law/take/", views.law_take, name="law_take"),
    path("guides/", guide_views.guide_list, name="guide_list"),
    path("guides/new/", guide_views.guide_edit, name="guide_new"),
    path("guides/<int:pk>/", guide_views.guide, name="guide"),
    path("guides/<int:pk>/edit/", guide_views.guide_edit, name="guide_edit"),
    path("guides/<int:pk>/revise/", guide_views.guide_revise_view, name="guide_revise"),
    path("guides/<int:pk>/rows/new/", guide_views.guide_row_new, name="guide_row_new"),
    path("guide-rows/<int:pk>/", guide_views.guide_row_edit, name="guide_row_edit"),
    path("orders/<int:pk>/guides/<int:row>/", guide_views.guide_rely_view, name="guide_rely"),
]
