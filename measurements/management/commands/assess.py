"""Judge readings from the command line, without a database."""

from __future__ import annotations

import json
import sys
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandParser

from measurements.core.explain import explained
from measurements.core.run_file import (
    FaultsError,
    Judged,
    ReadingsFileError,
    as_text,
    read_json,
    run_data,
    run_file,
)
from measurements.core.schema import file_schema_of
from measurements.procedures import PROCEDURES, UnknownProcedureError, procedure_called

BAD_INPUT = 2


class Command(BaseCommand):
    """`assess voltage_drop readings.json`: the same judgement as on the page."""

    help = (
        "Judge readings (JSON, from a file or standard input) by one procedure and print the "
        "assessment as JSON. Bad input ends with status 2 and names each fault by its place. A "
        "data log is named by its path beside the readings."
    )
    requires_system_checks: list[str] = []

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("procedure", nargs="?", help="its name, for instance voltage_drop")
        parser.add_argument(
            "file", nargs="?", type=Path, help="readings; standard input if left out"
        )
        parser.add_argument("--text", action="store_true", help="print sentences instead of JSON")
        parser.add_argument("--list", action="store_true", help="list the procedures")
        parser.add_argument(
            "--schema", metavar="PROCEDURE", help="print the JSON Schema of its input"
        )
        parser.add_argument(
            "--explain", metavar="PROCEDURE", help="cautions, formulas, limits, sources"
        )

    def handle(self, *args: Any, **options: Any) -> None:
        try:
            if options["list"]:
                for procedure in PROCEDURES.values():
                    self.stdout.write(f"{procedure.name}: {procedure.title} ({procedure.group})")
            elif options["schema"]:
                self._plain(file_schema_of(procedure_called(options["schema"])))
            elif options["explain"]:
                self.stdout.write(explained(procedure_called(options["explain"])))
            elif not options["procedure"]:
                self._refuse("name a procedure; --list shows them")
            else:
                judged = self._judge(options["procedure"], options["file"])
                if options["text"]:
                    self.stdout.write(as_text(judged))
                else:
                    self._plain(judged.assessment.to_dict())
        except FaultsError as fault:
            self._refuse(*fault.lines)
        except (UnknownProcedureError, ReadingsFileError) as fault:
            self._refuse(str(fault))

    def _judge(self, name: str, file: Path | None) -> Judged:
        procedure = procedure_called(name)
        if file is not None:
            judged = run_file(procedure, file)
        else:
            data = read_json(sys.stdin.read(), "input")
            judged = run_data(procedure, data, "input", Path.cwd())
        if not judged.checked.ok:
            raise FaultsError(judged)
        return judged

    def _plain(self, data: dict[str, Any]) -> None:
        self.stdout.write(json.dumps(data, ensure_ascii=False, indent=2, allow_nan=False))

    def _refuse(self, *lines: str) -> None:
        for line in lines:
            self.stderr.write(line)
        sys.exit(BAD_INPUT)
