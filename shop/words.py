"""People's words for closed codes: what a technician reads, and what a customer reads.

A code is stored and never printed. This module holds what tables of words are made of, and the
tables of the shop, its customers and cars; `jobs.words` gathers them with its own.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _

Text = str | Promise


class UnknownCode(LookupError):
    """A code that its table doesn't list."""

    def __init__(self, table: str, code: object) -> None:
        self.table = table
        self.code = code
        super().__init__(f"{code!r} is no code of {table}")


@dataclass(frozen=True)
class Word:
    """One code and its words. `meaning` is the sentence that explains it where one is needed."""

    code: str
    technician: Text
    customer: Text
    meaning: Text = ""


@dataclass(frozen=True)
class Table:
    """A closed list of codes, in the order in which they are offered."""

    name: str
    words: tuple[Word, ...]

    def __post_init__(self) -> None:
        if len(set(self.codes)) != len(self.words):
            raise ValueError(f"{self.name} lists a code twice")

    @property
    def codes(self) -> tuple[str, ...]:
        """The codes in the order in which they are offered."""
        return tuple(word.code for word in self.words)

    def __iter__(self) -> Iterator[Word]:
        return iter(self.words)

    def __len__(self) -> int:
        return len(self.words)

    def __contains__(self, code: object) -> bool:
        return code in self.codes

    def __getitem__(self, code: str) -> Word:
        for word in self.words:
            if word.code == code:
                return word
        raise UnknownCode(self.name, code)

    def technician(self, code: str) -> str:
        """The technician's word for a code; raises UnknownCode."""
        return str(self[code].technician)

    def customer(self, code: str) -> str:
        """The customer's word for a code; raises UnknownCode."""
        return str(self[code].customer)

    def meaning(self, code: str) -> str:
        """The sentence that explains a code, or nothing; raises UnknownCode."""
        return str(self[code].meaning)

    def choices(self) -> list[tuple[str, Text]]:
        """Codes with technician's words, for a form."""
        return [(word.code, word.technician) for word in self.words]

    def customer_choices(self) -> list[tuple[str, Text]]:
        """Codes with customer's words, for a form that a customer sees."""
        return [(word.code, word.customer) for word in self.words]


def table(name: str, *rows: tuple[Text, ...]) -> Table:
    """A table out of rows: a code with one word for both, or two words, or two and a meaning."""
    return Table(name, tuple(_word(str(code), *words) for code, *words in rows))


def _word(code: str, technician: Text, customer: Text | None = None, meaning: Text = "") -> Word:
    return Word(code, technician, technician if customer is None else customer, meaning)


ROLE = table(
    "role",
    ("owner", _("owner"), _("owner of the workshop")),
    ("technician", _("technician"), _("technician")),
    ("counter", _("counter"), _("reception")),
)

CONTACT_WAY = table(
    "contact_way",
    ("call", _("by a call"), _("call me")),
    ("message", _("by a text message"), _("send me a text message")),
    ("mail", _("by e-mail"), _("send me an e-mail")),
    ("letter", _("by letter"), _("send me a letter")),
    ("in_person", _("when they come in"), _("I come in")),
)

FUEL = table(
    "fuel",
    ("petrol", _("petrol")),
    ("diesel", _("diesel")),
    ("petrol_hybrid", _("petrol hybrid")),
    ("diesel_hybrid", _("diesel hybrid")),
    ("plug_in_hybrid", _("plug-in hybrid")),
    ("electric", _("electric")),
    ("lpg", _("petrol and liquefied gas (LPG)"), _("petrol and liquefied gas")),
    ("cng", _("petrol and natural gas (CNG)"), _("petrol and natural gas")),
    ("ethanol", _("petrol or ethanol")),
    ("fuel_cell", _("hydrogen fuel cell")),
    ("other", _("another fuel")),
)
HIGH_VOLTAGE_FUELS = frozenset(
    {"petrol_hybrid", "diesel_hybrid", "plug_in_hybrid", "electric", "fuel_cell"}
)
FUELS_WITHOUT_ENGINE = frozenset({"electric", "fuel_cell"})

GEARBOX = table(
    "gearbox",
    ("manual", _("manual")),
    ("automatic", _("automatic, with torque converter"), _("automatic")),
    ("dual_clutch", _("dual clutch"), _("automatic, with two clutches")),
    ("automated_manual", _("automated manual"), _("manual gearbox that shifts by itself")),
    ("variator", _("continuously variable"), _("automatic without steps")),
    ("single_speed", _("single speed"), _("one speed")),
    ("other", _("another gearbox")),
)

DRIVE = table(
    "drive",
    ("front", _("front wheels")),
    ("rear", _("rear wheels")),
    ("all", _("all wheels, always"), _("all wheels")),
    ("all_selectable", _("all wheels, switched in"), _("all wheels, when switched on")),
)

TABLES = {t.name: t for t in (ROLE, CONTACT_WAY, FUEL, GEARBOX, DRIVE)}
