"""An alteration is off the car."""

from jobs.models import PutBack
from jobs.record.kind import Data, Find, Kind, uid


def _rows(entry, data: Data, find: Find):
    yield PutBack(
        entry=entry,
        uid=uid(data["uid"]),
        ticket_id=entry.ticket_id,
        alteration_uid=uid(data["alteration"]),
        how=data.get("how", ""),
    )


KIND = Kind(code="put_back", needs=frozenset({"uid", "alteration"}), rows=_rows)
