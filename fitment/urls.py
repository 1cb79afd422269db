"""Addresses of this app; the site includes them at the root."""

from django.urls import include, path

from fitment.catalogue import views as wheels
from fitment.clearance import curve_views, gap_views
from fitment.clearance import views as room
from fitment.learning import views as comebacks
from fitment.surveys import joint_views
from fitment.surveys import views as surveys

_CORNER = "checks/<int:pk>/<str:corner>/"
_SURVEY = "car-models/<int:pk>/surveys/<str:corner>/"

urlpatterns = [
    path("", include("fitment.tryout.urls")),
    path("orders/<int:pk>/room/", room.room, name="room"),
    path("orders/<int:pk>/room/run/", room.clearance_run, name="clearance_run"),
    path("checks/<int:pk>/", room.clearance_check, name="clearance_check"),
    path("checks/<int:pk>/car/", curve_views.clearance_car, name="clearance_car"),
    path(f"{_CORNER}curves/", curve_views.clearance_curves, name="clearance_curves"),
    path(f"{_CORNER}curves.csv", curve_views.clearance_curves_csv, name="clearance_curves_csv"),
    path(f"{_CORNER}map/", curve_views.clearance_map, name="clearance_map"),
    path(f"{_CORNER}tyre/", curve_views.clearance_tyre, name="clearance_tyre"),
    path("orders/<int:pk>/gaps/<str:corner>/", gap_views.gaps, name="gaps"),
    path("orders/<int:pk>/wheels/", wheels.order_wheels, name="order_wheels"),
    path(_SURVEY, surveys.survey, name="survey"),
    path(f"{_SURVEY}edit/", surveys.survey_edit, name="survey_edit"),
    path(f"{_SURVEY}sheet/", joint_views.travel_sheet, name="travel_sheet"),
    path(f"{_SURVEY}joints/", joint_views.joint_fit, name="joint_fit"),
    path(f"{_SURVEY}mirror/", surveys.survey_mirror_view, name="survey_mirror"),
    path(f"{_SURVEY}copy/", surveys.survey_copy_view, name="survey_copy"),
    path(f"{_SURVEY}import/", surveys.survey_import, name="survey_import"),
    path(f"{_SURVEY}export/", surveys.survey_export_view, name="survey_export"),
    path("wheels/", wheels.wheel_list, name="wheel_list"),
    path("wheels/new/", wheels.wheel_edit, name="wheel_new"),
    path("wheels/<int:pk>/", wheels.wheel_edit, name="wheel_edit"),
    path("tyres/", wheels.tyre_list, name="tyre_list"),
    path("tyres/new/", wheels.tyre_edit, name="tyre_new"),
    path("tyres/<int:pk>/", wheels.tyre_edit, name="tyre_edit"),
    path("duties/", wheels.use_list, name="use_list"),
    path("duties/<int:pk>/", wheels.use_edit, name="use_edit"),
    path("comebacks/", comebacks.comeback_list, name="comeback_list"),
]
