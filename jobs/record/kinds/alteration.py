"""A change left on the car that is not a normal repair, found or made."""

from jobs.models import Alteration
from jobs.record.kind import Data, Find, Kind, uid


def _rows(entry, data: Data, find: Find):
    yield Alteration(
        entry=entry,
        uid=uid(data["uid"]),
        ticket_id=entry.ticket_id,
        car_id=find.car(data["car"]),
        what=data["what"],
        where_on_car=data.get("where_on_car", ""),
        why=data.get("why_left", ""),
        found_so=data.get("found_so", False),
        affects=data.get("affects", []),
        put_back_how=data.get("put_back_how", ""),
        customer_told=data.get("customer_told", False),
        advice=data.get("advice", ""),
        advice_words=data.get("advice_words", ""),
    )


KIND = Kind(code="alteration", needs=frozenset({"uid", "car", "what"}), rows=_rows)
