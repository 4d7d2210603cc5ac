"""The odds of a complaint's suspects as worked out at that moment: each with what moved it, what
was left out and why, and the digest of the tables that they came from."""

from jobs.models import Judgement
from jobs.record.kind import Data, Find, Kind, uid


def _rows(entry, data: Data, find: Find):
    yield Judgement(
        entry=entry,
        ticket_id=entry.ticket_id,
        complaint_uid=uid(data["complaint"]),
        knowledge_digest=data["knowledge"],
    )


KIND = Kind(
    code="judgement", needs=frozenset({"complaint", "family", "knowledge", "suspects"}), rows=_rows
)
