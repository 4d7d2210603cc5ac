"""Something is open, unplugged, pulled or slack from now on."""

from jobs.models import Apart
from jobs.record.kind import Data, Find, Kind, uid


def _rows(entry, data: Data, find: Find):
    yield Apart(
        entry=entry,
        uid=uid(data["uid"]),
        ticket_id=entry.ticket_id,
        what=data["what"],
        run_id=find.run(data.get("run")),
        swap_uid=uid(data.get("swap")),
    )


KIND = Kind(code="apart", needs=frozenset({"uid", "what"}), rows=_rows)
