"""Jobs: tickets and their record, from complaint to report."""

from django.apps import AppConfig


class JobsConfig(AppConfig):
    """The tickets."""

    name = "jobs"
    verbose_name = "Jobs"

    def ready(self) -> None:
        """Register the system checks."""
        from jobs import checks  # noqa: F401
