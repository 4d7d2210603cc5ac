"""Measurements: quantities, uncertainty, procedures, recorded runs."""

from django.apps import AppConfig


class MeasurementsConfig(AppConfig):
    """The measuring bench."""

    name = "measurements"
    verbose_name = "Measurements"
