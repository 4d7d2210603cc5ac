"""Makes the tables that are read from the record again."""

from typing import Any

from django.core.management.base import BaseCommand

from jobs.record.rebuild import rebuild


class Command(BaseCommand):
    help = "Reads every table anew from the record. The record itself is not changed."

    def handle(self, *args: Any, **options: Any) -> None:
        self.stdout.write(f"Read {rebuild()} entries.")
