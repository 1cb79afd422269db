"""The app of planned settings and rack readings."""

from django.apps import AppConfig


class AlignmentConfig(AppConfig):
    name = "alignment"
    verbose_name = "Alignment"

    def ready(self) -> None:
        from alignment.text.messages import MESSAGES
        from alignment.text.render import register

        register(MESSAGES)
