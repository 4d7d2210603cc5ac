"""Jobs: tickets and their record, from complaint to report."""

from django.apps import AppConfig


class JobsConfig(AppConfig):
    """The tickets."""

    name = "jobs"
    verbose_name = "Jobs"
