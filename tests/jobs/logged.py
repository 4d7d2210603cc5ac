"""Recorded data logs, for tests of the pages that show them."""

from __future__ import annotations

from typing import Any

from django.core.files.uploadedfile import SimpleUploadedFile

from measurements.procedures import PROCEDURES
from tests.measurements.readings_files import Case


def with_stored_files(case: Case) -> dict[str, Any]:
    """What is typed in a readings file, the files that it names in the store and typed by key."""
    from jobs import logs

    typed = dict(case.data["typed"])
    for address in logs.addresses(PROCEDURES[case.procedure]):
        if name := typed.get(address):
            data = case.path.with_name(name).read_bytes()
            upload = SimpleUploadedFile(name.replace("_", " "), data, "text/csv")
            taken = logs.take(upload)
            typed |= {address: taken.sha256, address.replace(".file", ".called"): taken.name}
    return typed


def logged_test(ticket: Any, by: Any) -> Any:
    """The entry of a data log that is beyond its limit at idle."""
    from jobs.actions import runs

    typed = with_stored_files(Case("data_log", "low_at_idle"))
    return runs.record_test(
        ticket=ticket, procedure="data_log", typed=typed, by=by, fault_present="yes"
    )
