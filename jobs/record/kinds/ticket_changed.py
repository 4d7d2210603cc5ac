"""Facts of the visit were added or changed: odometer, fuel, lamps, damage, promise, people."""

from datetime import datetime

from jobs.record.kind import Data, Find, Kind

PLAIN = (
    "allowance_minor",
    "odometer_in",
    "odometer_out",
    "odometer_unit",
    "odometer_why",
    "fuel_level",
    "lamps",
    "damage",
    "belongings",
    "arrival",
)


def columns(entry, data: Data, find: Find) -> dict:
    """The columns that a set of facts sets; a fact that is not named stays as it was."""
    found = {name: data[name] for name in PLAIN if name in data}
    if "promised_at" in data:
        promised = data["promised_at"]
        found["promised_at"] = datetime.fromisoformat(promised) if promised else None
    if "customer" in data:
        found["customer_id"] = find.customer(data["customer"])
    if "comeback_of" in data:
        found["comeback_of_id"] = find.ticket(data["comeback_of"])
    if "people" in data:
        found["people"] = [
            {
                "part": person["part"],
                "customer_id": find.customer(person["customer"]),
                "limit_minor": person.get("limit_minor"),
                "order_no": person.get("order_no", ""),
            }
            for person in data["people"]
        ]
    return found


KIND = Kind(code="ticket_changed", needs=frozenset(), ticket=columns)
