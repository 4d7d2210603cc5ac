"""The shop sets the weights with which a family's suspects start; in the shop's own chain."""

from jobs.models import StartingOdds
from jobs.record.kind import Data, Find, Kind


def _rows(entry, data: Data, find: Find):
    for suspect, start in data["starts"].items():
        yield StartingOdds(
            entry=entry,
            family=data["family"],
            suspect=suspect,
            start=start,
            counted=data.get("counted", False),
        )


KIND = Kind(code="starting_odds", needs=frozenset({"family", "starts", "why"}), rows=_rows)
