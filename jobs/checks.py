"""System checks of the jobs: the tables of suspects are whole."""

from __future__ import annotations

from typing import Any

from django.core.checks import CheckMessage, Error, register

from jobs.suspects.knowledge import faults


@register()
def tables_of_suspects(app_configs: Any, **options: Any) -> list[CheckMessage]:
    """Each fault in a table by file and line: a table with one is not used."""
    return [
        Error(str(fault), hint="Put it right in jobs/knowledge.", id="jobs.E001")
        for fault in faults()
    ]
