"""Addresses of measuring a corner reading by reading."""

from django.urls import path

from fitment.views import measuring

urlpatterns = [
    path(
        "patterns/<int:pk>/surveys/<str:corner>/measure/",
        measuring.survey_measure,
        name="survey_measure",
    ),
    path("survey-sessions/<int:pk>/", measuring.survey_session, name="survey_session"),
]
