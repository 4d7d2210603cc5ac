"""The ticket moves to another state."""

from jobs.record.kind import Data, Find, Kind


def _columns(entry, data: Data, find: Find) -> dict:
    columns = {
        "state": data["state"],
        "state_since": entry.at,
        "waits_for": data.get("waits_for", ""),
    }
    if data["state"] == "handed_back":
        columns["handed_back_at"] = entry.at
    elif data.get("from_state") == "handed_back":
        columns["handed_back_at"] = None
    if data["state"] == "in_the_bay" and data.get("from_state") == "booked":
        columns["received_at"] = entry.at
    if data.get("odometer_out") is not None:
        columns["odometer_out"] = data["odometer_out"]
    if data.get("odometer_why"):
        columns["odometer_why"] = data["odometer_why"]
    return columns


KIND = Kind(code="state", needs=frozenset({"state", "from_state"}), ticket=_columns)
