"""Addresses of measuring a corner reading by reading."""

from django.urls import path

from fitment.surveys import session_views

urlpatterns = [
    path(
        "car_models/<int:pk>/surveys/<str:corner>/measure/",
        session_views.survey_measure,
        name="survey_measure",
    ),
    path("survey-sessions/<int:pk>/", session_views.survey_session, name="survey_session"),
]
