"""Comparisons, drives and tickets that the tests of proof share."""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Any

from jobs import words
from jobs.actions import runs, tickets
from jobs.proof.of_swap import Proof
from jobs.proof.outcome import Held, Pair, Side
from jobs.ticket_view import TicketView
from measurements.core.compare import Change, K
from shop.models import Profile
from tests.jobs.pictures import READINGS

LIMIT = 0.2


def change(before: float, after: float, u: float, address: str = "a") -> Change:
    """A point in both tests, judged as the comparison judges it."""
    delta = after - before
    direction = "no clear change"
    if abs(delta) > K * u:
        direction = "more" if delta > 0 else "less"
    return Change(address, address, "voltage", before, u, after, u, delta, u, direction)


def held(value: float, u: float, limit: float = LIMIT) -> Held:
    """A value against an upper limit, with k = 2 on the one side."""
    if value - 2 * u > limit:
        return Held("outside", value - limit)
    return Held("within" if value + 2 * u < limit else "cannot_tell")


def side(value: float, u: float, complaint: Any = "", *, seen: str = "", **more: Any) -> Side:
    """A test with one reading that should stay below the limit."""
    point = held(value, u)
    by_limit = {"outside": "unusual", "within": "sound", "cannot_tell": "undecided"}
    return Side(
        seen=seen or by_limit[point.outcome],  # type: ignore[arg-type]
        pattern=more.pop("pattern", point.outcome),
        complaint=complaint,
        held={"a": point},
        **more,
    )


def pair(before: Side, after: Side, values: tuple[float, float], u: float, **more: Any) -> Pair:
    """Two tests with the change of their one reading."""
    return Pair(before, after, changes=(change(*values, u),), **more)


def two(before: float, after: float, u: float = 0.01, *, complaint: Any = ("", ""), **more) -> Pair:
    """The same test with one reading before and one after."""
    first, second = (
        side(value, u, was) for value, was in zip((before, after), complaint, strict=True)
    )
    return pair(first, second, (before, after), u, **more)


def strap(ticket: Any, by: Any, case: str = "corroded_strap_hot", **how: Any) -> Any:
    """A voltage drop test with the readings of a stored case."""
    told = json.loads((READINGS / "voltage_drop" / f"{case}.json").read_text("utf-8"))
    return runs.record_test(
        ticket=ticket,
        procedure="voltage_drop",
        typed=told["typed"],
        by=by,
        **({"fault_present": "yes", "state_of_car": "hot"} | how),
    )


def renewed(ticket: Any, by: Any, **how: Any) -> Any:
    """The same test after the strap was changed, the complaint gone."""
    return strap(ticket, by, "strap_renewed_hot", **({"fault_present": "no"} | how))


def tried(ticket: Any, by: Any, times: int, came: int = 0, *, often: str = "") -> Any:
    """A "make it happen" with so many tries as told. often: how often it is told to come."""
    typed = {
        "given.came": "as_told" if came else "no",
        "given.driver": "technician",
        "ready.untouched": "yes",
        "given.often": often,
        "tries.as_told.tried": str(times),
        "tries.as_told.came": str(came),
    }
    return runs.record_test(
        ticket=ticket,
        procedure="make_it_happen",
        typed=typed,
        by=by,
        fault_present="yes" if came else "no",
    )


def comes_and_goes(ticket: Any, by: Any, how_often: str = "one_in_four") -> None:
    """The ticket's complaint comes so often."""
    from jobs.models import Complaint

    entry = Complaint.objects.current().get(ticket=ticket).entry
    tickets.add_complaint(
        ticket=ticket,
        words=entry.data["words"],
        family=entry.data["family"],
        conditions=words.read_conditions({"engine_temperature": ["hot"], "how_often": [how_often]}),
        corrects=entry,
        why="asked",
        by=by,
    )


def item_of(ticket: Any, entry: Any) -> Any:
    """A swap as its ticket's page shows it, in its latest version."""
    ticket.refresh_from_db()
    view = TicketView(ticket, Profile.current())
    return view.swap_of(entry.data["uid"])


def proof_of(ticket: Any, entry: Any) -> Proof:
    """What came of a swap."""
    return item_of(ticket, entry).proof


def reasons(proof: Proof) -> Mapping[str, tuple[str, ...]]:
    """Code of each reason -> what it is about."""
    return {reason.code: reason.about for reason in proof.by_tests.reasons}
