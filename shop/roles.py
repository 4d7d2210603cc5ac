"""Who may do what: one table, read by the code, the page that says no, and the help page."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _

from shop.words import ROLE

OWNER, TECHNICIAN, COUNTER = "owner", "technician", "counter"
ROLES = ROLE.codes

_EVERYBODY = frozenset({OWNER, TECHNICIAN, COUNTER})
_AT_THE_CAR = frozenset({OWNER, TECHNICIAN})
_OWNER = frozenset({OWNER})

_ALLOWED = {
    _EVERYBODY: _("%(what)s is for everybody in the workshop."),
    _AT_THE_CAR: _("%(what)s is for the owner and technicians."),
    _OWNER: _("%(what)s is for the owner."),
}


class UnknownCapability(LookupError):
    """A capability that the table doesn't list: a slip in the code, not in what was typed."""

    def __init__(self, code: str) -> None:
        super().__init__(f"no capability is called {code!r}")


@dataclass(frozen=True)
class Capability:
    """One thing that can be done, in words that begin a sentence, and the roles that may."""

    code: str
    words: Promise
    group: Promise
    roles: frozenset[str]


_TICKETS, _EVIDENCE = _("Tickets"), _("Evidence and findings")
_CUSTOMERS, _SHOP = _("Customers, cars, money"), _("The workshop")

CAPABILITIES: tuple[Capability, ...] = tuple(
    Capability(code, words, group, roles)
    for group, roles, rows in (
        (
            _TICKETS,
            _EVERYBODY,
            (
                ("see_tickets", _("Looking at tickets and their record")),
                ("open_tickets", _("Opening a ticket")),
                (
                    "change_tickets",
                    _("Adding facts of a visit: odometer, lamps, damage, promised time"),
                ),
                ("move_tickets", _("Moving a ticket to another state")),
                ("hand_over", _("Handing a car back")),
                ("record_complaints", _("Writing down complaints and wishes")),
                ("write_notes", _("Writing notes, and work that stays open or was declined")),
            ),
        ),
        (
            _EVIDENCE,
            _EVERYBODY,
            (
                ("add_photos", _("Adding photos")),
                ("see_reports", _("Reading and handing out findings reports")),
            ),
        ),
        (
            _EVIDENCE,
            _AT_THE_CAR,
            (
                ("record_tests", _("Recording tests")),
                ("record_swaps", _("Recording swaps")),
                ("record_apart", _("Saying what is apart, and ticking it back")),
                ("record_alterations", _("Recording alterations and their putting back")),
                ("write_findings", _("Writing findings")),
                ("issue_reports", _("Issuing a findings report")),
                ("see_working_notes", _("Reading working notes and odds")),
                ("keep_instruments", _("Keeping the list of instruments")),
                ("keep_limits", _("Entering limits from a maker's data")),
            ),
        ),
        (
            _CUSTOMERS,
            _EVERYBODY,
            (
                ("keep_customers", _("Keeping customers and how to reach them")),
                ("keep_cars", _("Keeping cars and their owners")),
                ("record_consent", _("Writing down what a customer agreed to")),
                ("enter_prices", _("Entering costs and prices")),
            ),
        ),
        (_CUSTOMERS, _OWNER, (("erase_customers", _("Erasing a customer's data")),)),
        (
            _SHOP,
            _OWNER,
            (
                ("shop_profile", _("Changing the workshop's profile")),
                ("money_settings", _("Changing rates, currency and taxes")),
                ("people", _("Adding people and changing their roles")),
                ("check_record", _("Checking the whole record")),
                ("keep_odds", _("Changing the odds with which possible causes start")),
                ("see_parts_money", _("Seeing what parts that changed nothing have cost")),
            ),
        ),
    )
    for code, words in rows
)

_BY_CODE = {capability.code: capability for capability in CAPABILITIES}


def capability(code: str) -> Capability:
    """The capability with this code; raises UnknownCapability."""
    try:
        return _BY_CODE[code]
    except KeyError:
        raise UnknownCapability(code) from None


def can(person: Any, code: str) -> bool:
    """Whether a person's role has a capability. Nobody signed in, or one who has left, has none."""
    roles = capability(code).roles
    return bool(getattr(person, "is_active", False)) and getattr(person, "role", None) in roles


def explain(code: str) -> str:
    """Who may do it, as a sentence: Recording tests is for the owner and technicians."""
    asked = capability(code)
    return str(_ALLOWED[asked.roles]) % {"what": asked.words}


def access_table() -> list[dict[str, Any]]:
    """The table for a page: groups in order, each with rows of one capability and three roles."""
    groups: dict[str, list[dict[str, Any]]] = {}
    for entry in CAPABILITIES:
        row: dict[str, Any] = {"code": entry.code, "words": entry.words}
        row |= {role: role in entry.roles for role in ROLES}
        groups.setdefault(str(entry.group), []).append(row)
    return [{"group": group, "rows": rows} for group, rows in groups.items()]
