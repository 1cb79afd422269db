"""Addresses of surveys, and of measuring a corner reading by reading."""

from django.urls import URLPattern, URLResolver, path

from fitment.surveys import joint_views, session_views, views, withdraw_views

_SURVEY = "car-models/<int:pk>/surveys/<str:corner>/"

urlpatterns: list[URLPattern | URLResolver] = [
    path(_SURVEY, views.survey, name="survey"),
    path(f"{_SURVEY}edit/", views.survey_edit, name="survey_edit"),
    path(f"{_SURVEY}sheet/", joint_views.travel_sheet, name="travel_sheet"),
    path(f"{_SURVEY}joints/", joint_views.joint_fit, name="joint_fit"),
    path(f"{_SURVEY}mirror/", views.survey_mirror_view, name="survey_mirror"),
    path(f"{_SURVEY}copy/", views.survey_copy_view, name="survey_copy"),
    path(f"{_SURVEY}import/", views.survey_import, name="survey_import"),
    path(f"{_SURVEY}export/", views.survey_export_view, name="survey_export"),
    path(
        "car-models/<int:pk>/surveys/<str:corner>/measure/",
        session_views.survey_measure,
        name="survey_measure",
    ),
    path("survey-sessions/", withdraw_views.survey_sessions, name="survey_sessions"),
    path(
        "survey-sessions/<int:pk>/withdraw/",
        withdraw_views.session_withdraw,
        name="session_withdraw",
    ),
    path(
        "survey-sessions/<int:pk>/continue/",
        withdraw_views.session_continue,
        name="session_continue",
    ),
    path(
        "survey-versions/<int:pk>/withdraw/",
        withdraw_views.version_withdraw,
        name="version_withdraw",
    ),
    path("survey-sessions/<int:pk>/", session_views.survey_session, name="survey_session"),
]
