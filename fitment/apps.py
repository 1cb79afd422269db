"""The app of surveys, wheels, tyres and room checks."""

from django.apps import AppConfig


class FitmentConfig(AppConfig):
    name = "fitment"
    verbose_name = "Fitment"

    def ready(self) -> None:
        from alignment.text.render import register
        from fitment.text.messages import MESSAGES

        register(MESSAGES)
