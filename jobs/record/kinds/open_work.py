"""Work still to do, or that the customer chose not to have done."""

from jobs.models import OpenWork
from jobs.record.kind import Data, Find, Kind, uid


def _rows(entry, data: Data, find: Find):
    yield OpenWork(
        entry=entry,
        uid=uid(data["uid"]),
        ticket_id=entry.ticket_id,
        what=data["what"],
        risk=data.get("risk", ""),
        until=data.get("until", ""),
        status=data["status"],
    )


KIND = Kind(code="open_work", needs=frozenset({"uid", "what", "status"}), rows=_rows)
