"""Something that was apart is back, or has become an alteration."""

from jobs.models import TickedBack
from jobs.record.kind import Data, Find, Kind, uid


def _rows(entry, data: Data, find: Find):
    yield TickedBack(
        entry=entry,
        uid=uid(data["uid"]),
        ticket_id=entry.ticket_id,
        apart_uid=uid(data["apart"]),
        alteration_uid=uid(data.get("alteration")),
        note=data.get("note", ""),
    )


KIND = Kind(code="ticked_back", needs=frozenset({"uid", "apart"}), rows=_rows)
