"""The app of surveys, wheels, tyres and room checks."""

from django.apps import AppConfig


class FitmentConfig(AppConfig):
    name = "fitment"
    verbose_name = "Fitment"
