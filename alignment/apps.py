"""The app of planned settings and rack readings."""

from django.apps import AppConfig


class AlignmentConfig(AppConfig):
    name = "alignment"
    verbose_name = "Alignment"
