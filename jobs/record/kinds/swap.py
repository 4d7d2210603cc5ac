"""A part was swapped: at the car in a few taps, completed at the desk by a later version."""

from datetime import date

from jobs.models import Swap, SwapRun
from jobs.record.kind import Data, Find, Kind, uid

PLAIN = (
    "reason",
    "part_out",
    "part_in",
    "maker",
    "number",
    "condition",
    "supplier",
    "old_part_kept",
    "outcome",
    "note",
)
NUMBERS = ("cost_minor", "price_minor", "core_minor", "warranty_months", "warranty_km", "agreed")


def _day(text: str | None) -> date | None:
    return date.fromisoformat(text) if text else None


def _rows(entry, data: Data, find: Find):
    swap = Swap(
        entry=entry,
        uid=uid(data["uid"]),
        ticket_id=entry.ticket_id,
        ours=data.get("ours", True),
        done_on=_day(data.get("done_on")),
        core_until=_day(data.get("core_until")),
        currency=data["currency"],
        **{name: data.get(name, "") for name in PLAIN},
        **{name: data.get(name) for name in NUMBERS},
    )
    yield swap
    for role in ("pointed", "before", "after"):
        for digest in data.get("runs", {}).get(role, []):
            yield SwapRun(entry=entry, swap=swap, run_id=find.run(digest), role=role)


KIND = Kind(code="swap", needs=frozenset({"uid", "reason", "currency"}), rows=_rows)
