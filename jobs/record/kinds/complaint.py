"""What the customer reports, in their own words, with conditions as closed codes."""

from jobs.models import Complaint
from jobs.record.kind import Data, Find, Kind, uid
from shop.text import search_key


def _rows(entry, data: Data, find: Find):
    yield Complaint(
        entry=entry,
        uid=uid(data["uid"]),
        ticket_id=entry.ticket_id,
        words=data["words"],
        words_key=search_key(data["words"]),
        family=data.get("family", ""),
        conditions=data.get("conditions", {}),
    )


KIND = Kind(code="complaint", needs=frozenset({"uid", "words"}), rows=_rows)
