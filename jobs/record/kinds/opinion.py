"""A technician's judgement on a possible cause of a complaint: its strength in a word, and why."""

from jobs.models import Opinion
from jobs.record.kind import Data, Find, Kind, uid


def _rows(entry, data: Data, find: Find):
    yield Opinion(
        entry=entry,
        uid=uid(data["uid"]),
        ticket_id=entry.ticket_id,
        complaint_uid=uid(data["complaint"]),
        suspect=data["suspect"],
        label=data.get("label", ""),
        strength=data["strength"],
        reason=data["reason"],
    )


KIND = Kind(
    code="opinion",
    needs=frozenset({"uid", "complaint", "suspect", "strength", "reason"}),
    rows=_rows,
)
