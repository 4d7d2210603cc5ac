"""A statement about the car, its certainty, driving advice, and the evidence it rests on."""

from jobs.models import Finding, FindingBasis
from jobs.record.kind import Data, Find, Kind, uid

WORDS = (
    "for_technician",
    "advice_words",
    "to_do",
    "waiting_risk",
    "why_it_failed",
    "cause",
    "overruled",
)


def _rows(entry, data: Data, find: Find):
    finding = Finding(
        entry=entry,
        uid=uid(data["uid"]),
        ticket_id=entry.ticket_id,
        complaint_uid=uid(data.get("complaint")),
        certainty=data["certainty"],
        sentence=data["sentence"],
        advice=data["advice"],
        **{name: data.get(name, "") for name in WORDS},
    )
    yield finding
    for position, basis in enumerate(data.get("rests_on", [])):
        yield FindingBasis(
            entry=entry,
            finding=finding,
            position=position,
            run_id=find.run(basis.get("run")),
            photo_id=find.photo(basis.get("photo")),
            swap_uid=uid(basis.get("swap")),
        )


KIND = Kind(code="finding", needs=frozenset({"uid", "certainty", "sentence", "advice"}), rows=_rows)
