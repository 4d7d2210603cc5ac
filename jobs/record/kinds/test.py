"""A test: the run of a procedure, named by the digest of its content."""

from jobs.models import RunLink
from jobs.record.kind import Data, Find, Kind, uid


def _rows(entry, data: Data, find: Find):
    yield RunLink(
        entry=entry,
        ticket_id=entry.ticket_id,
        run_id=find.run(data["run"]),
        complaint_uid=uid(data.get("complaint")),
        again_of_id=find.run(data.get("again_of")),
        fault_present=data["fault_present"],
    )


KIND = Kind(code="test", needs=frozenset({"run", "fault_present"}), rows=_rows)
