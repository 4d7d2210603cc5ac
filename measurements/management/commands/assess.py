"""Judge a file of readings from the command line."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser

from measurements.core.run_file import ReadingsFileError, as_text, run_file
from measurements.procedures import UnknownProcedureError, procedure_called


class Command(BaseCommand):
    """`assess voltage_drop readings.json`: the same judgement as on the page."""

    help = "Judge a file of readings by one procedure and print the assessment."
    requires_system_checks: list[str] = []

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("procedure", help="name of the procedure, for instance voltage_drop")
        parser.add_argument("file", type=Path, help="readings as JSON, by address")
        parser.add_argument("--json", action="store_true", help="print plain data instead of text")

    def handle(self, *args: Any, **options: Any) -> None:
        try:
            judged = run_file(procedure_called(options["procedure"]), options["file"])
        except (UnknownProcedureError, ReadingsFileError) as fault:
            raise CommandError(str(fault)) from fault
        if options["json"]:
            self.stdout.write(json.dumps(judged.assessment.to_dict(), ensure_ascii=False, indent=2))
        else:
            self.stdout.write(as_text(judged))
