"""Addresses of mounting: the catalogue's measuring and tables, fitment tables, the law."""

from django.urls import path

from fitment.catalogue import measured_views
from fitment.mounting import guide_views
from fitment.mounting import views as mounting

urlpatterns = [
    path("tyres/<int:pk>/measure/", measured_views.tyre_measure, name="tyre_measure"),
    path(
        "measurements/<int:pk>/remove/",
        measured_views.measurement_remove_view,
        name="measurement_remove",
    ),
    path("wheels/<int:pk>/measure/", measured_views.wheel_measure, name="wheel_measure"),
    path(
        "wheel-measurements/<int:pk>/remove/",
        measured_views.wheel_measurement_remove_view,
        name="wheel_measurement_remove",
    ),
    path("tyres/import/", mounting.catalogue_import, {"what": "tyres"}, name="tyre_import"),
    path("wheels/import/", mounting.catalogue_import, {"what": "wheels"}, name="wheel_import"),
    path("orders/<int:pk>/mounting/", mounting.order_mounting, name="order_mounting"),
    path("orders/<int:pk>/mounting/check/", mounting.mounting_run, name="mounting_run"),
    path("mounting-checks/<int:pk>/", mounting.mounting_check, name="mounting_check"),
    path("law/", mounting.law, name="law"),
    path("law/take/", mounting.law_take, name="law_take"),
    path("guides/", guide_views.guide_list, name="guide_list"),
    path("guides/new/", guide_views.guide_edit, name="guide_new"),
    path("guides/<int:pk>/", guide_views.guide, name="guide"),
    path("guides/<int:pk>/edit/", guide_views.guide_edit, name="guide_edit"),
    path("guides/<int:pk>/revise/", guide_views.guide_revise_view, name="guide_revise"),
    path("guides/<int:pk>/rows/new/", guide_views.guide_row_new, name="guide_row_new"),
    path("guide-rows/<int:pk>/", guide_views.guide_row_edit, name="guide_row_edit"),
    path("orders/<int:pk>/guides/<int:row>/", guide_views.guide_rely_view, name="guide_rely"),
]
