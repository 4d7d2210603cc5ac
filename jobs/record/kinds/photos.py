"""Photos: one or more frames, each with its subject and what it belongs to."""

from jobs.models import Photo
from jobs.record.kind import Data, Find, Kind, uid


def _rows(entry, data: Data, find: Find):
    for frame in data["frames"]:
        yield Photo(
            entry=entry,
            letter=frame["letter"],
            ticket_id=entry.ticket_id,
            blob_id=frame["sha256"],
            subject=frame["subject"],
            place=frame.get("place", ""),
            caption=frame.get("caption", ""),
            alt=frame.get("alt", ""),
            claimed_at=frame.get("claimed_at", ""),
            had_location=frame.get("had_location", False),
            complaint_uid=uid(frame.get("complaint")),
            run_id=find.run(frame.get("run")),
            swap_uid=uid(frame.get("swap")),
            alteration_uid=uid(frame.get("alteration")),
        )


KIND = Kind(code="photos", needs=frozenset({"frames"}), rows=_rows)
