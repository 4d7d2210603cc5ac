"""A ticket is opened for a car and a customer, with what was seen at arrival."""

from jobs.record.kind import Data, Find, Kind
from jobs.record.kinds.ticket_changed import columns


def _opening(entry, data: Data, find: Find) -> dict:
    return {
        "number": data["number"],
        "car_id": find.car(data["car"]),
        "customer_id": find.customer(data["customer"]),
        "opened_at": entry.at,
        "state": data["state"],
        "state_since": entry.at,
        "received_at": entry.at if data["state"] == "in_the_bay" else None,
        "currency": data["currency"],
        "comeback_of_id": find.ticket(data.get("comeback_of")),
    } | columns(entry, data, find)


KIND = Kind(
    code="ticket_opened",
    needs=frozenset({"number", "car", "customer", "state", "currency"}),
    ticket=_opening,
)
