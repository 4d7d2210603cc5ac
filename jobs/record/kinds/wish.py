"""Work that the customer asks for without a complaint."""

from jobs.models import Wish
from jobs.record.kind import Data, Find, Kind, uid
from shop.text import search_key


def _rows(entry, data: Data, find: Find):
    yield Wish(
        entry=entry,
        uid=uid(data["uid"]),
        ticket_id=entry.ticket_id,
        words=data["words"],
        words_key=search_key(data["words"]),
    )


KIND = Kind(code="wish", needs=frozenset({"uid", "words"}), rows=_rows)
