"""The engine of a car: how its cylinders lie, are numbered, and fire.

Numbering and firing order differ between makers; the presets are common practice (from memory)
to start from, and the maker's data wins.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from django.utils.functional import Promise
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from shop.words import FUEL

MOST_CYLINDERS = 16
MOST_CC = 30_000

LAYOUTS = {
    "line": gettext_lazy("in line"),
    "v": gettext_lazy("V"),
    "flat": gettext_lazy("flat"),
    "other": gettext_lazy("another layout"),
    "none": gettext_lazy("no combustion engine"),
}
NUMBERINGS = {
    "from_front": gettext_lazy("1 at the belt or chain end"),
    "from_flywheel": gettext_lazy("1 at the flywheel end"),
    "bank_by_bank": gettext_lazy("one bank first, then the other"),
    "alternating": gettext_lazy("to and fro between the banks"),
    "as_stated": gettext_lazy("as stated, bank by bank"),
}
_OF_LAYOUT = {
    "line": ("from_front", "from_flywheel"),
    "v": ("bank_by_bank", "alternating", "as_stated"),
    "flat": ("alternating", "bank_by_bank", "as_stated"),
    "other": ("as_stated",),
    "none": ("as_stated",),
}


class EngineError(ValueError):
    """Facts of an engine that can't be together."""


class LayoutUnknown(EngineError):
    """Not one of the layouts, or a numbering that the layout doesn't have."""

    def __init__(self, layout: str, numbering: str) -> None:
        super().__init__(
            _("“%(layout)s” with numbering “%(numbering)s” is no layout known here.")
            % {"layout": layout, "numbering": numbering}
        )


class CylindersImpossible(EngineError):
    """A number of cylinders that the layout can't have."""

    def __init__(self, cylinders: object, layout: str) -> None:
        super().__init__(
            _(
                "%(cylinders)s cylinders don't go with the layout “%(layout)s”. From 1 to "
                "%(most)d; V and flat engines have an even number."
            )
            % {"cylinders": cylinders, "layout": LAYOUTS[layout], "most": MOST_CYLINDERS}
        )


class BanksIncomplete(EngineError):
    """The banks don't name each cylinder once."""

    def __init__(self, banks: object, cylinders: int) -> None:
        super().__init__(
            _("The banks %(banks)s must name each of the cylinders 1 to %(cylinders)d once.")
            % {"banks": banks, "cylinders": cylinders}
        )


class FiringOrderIncomplete(EngineError):
    """The firing order doesn't name each cylinder once."""

    def __init__(self, order: Sequence[int], cylinders: int) -> None:
        self.missing = tuple(sorted(set(range(1, cylinders + 1)) - set(order)))
        self.unexpected = tuple(
            sorted({n for n in order if order.count(n) > 1 or not 1 <= n <= cylinders})
        )
        faults = []
        if self.missing:
            faults.append(_("%(numbers)s is missing") % {"numbers": _listed(self.missing)})
        if self.unexpected:
            faults.append(
                _("%(numbers)s is too much or twice") % {"numbers": _listed(self.unexpected)}
            )
        super().__init__(
            _(
                "The firing order %(order)s must name each of the cylinders 1 to %(cylinders)d "
                "once: %(faults)s."
            )
            % {
                "order": "-".join(map(str, order)),
                "cylinders": cylinders,
                "faults": "; ".join(faults),
            }
        )


class FiringOrderUnreadable(EngineError):
    """Typed text that is no firing order."""

    def __init__(self, typed: str) -> None:
        super().__init__(
            _("“%(typed)s” is no firing order. Numbers with hyphens, as in 1-3-4-2.")
            % {"typed": typed[:60]}
        )


class DisplacementOutside(EngineError):
    """A displacement that no engine of a car has."""

    def __init__(self, displacement_cc: object) -> None:
        super().__init__(
            _("A displacement of %(cc)s cm³ is outside 1 to %(most)d cm³.")
            % {"cc": displacement_cc, "most": MOST_CC}
        )


@dataclass(frozen=True)
class Engine:
    """An engine as a value. `banks` names each bank's cylinders from the front to the flywheel.

    The front is the belt or chain end. `firing_order` and `banks` may be empty: not known.
    """

    layout: str
    cylinders: int
    numbering: str
    banks: tuple[tuple[int, ...], ...] = ()
    firing_order: tuple[int, ...] = ()
    displacement_cc: int | None = None

    def __post_init__(self) -> None:
        if self.layout not in LAYOUTS or self.numbering not in _OF_LAYOUT[self.layout]:
            raise LayoutUnknown(self.layout, self.numbering)
        _check_cylinders(self.cylinders, self.layout)
        numbers = list(range(1, self.cylinders + 1))
        if self.banks and sorted(n for bank in self.banks for n in bank) != numbers:
            raise BanksIncomplete(self.banks, self.cylinders)
        if self.firing_order and sorted(self.firing_order) != numbers:
            raise FiringOrderIncomplete(self.firing_order, self.cylinders)
        cc = self.displacement_cc
        if cc is not None and (not _is_whole(cc) or not 1 <= cc <= MOST_CC):
            raise DisplacementOutside(cc)

    @classmethod
    def of(
        cls,
        layout: str,
        cylinders: int,
        numbering: str = "",
        *,
        firing_order: str | Sequence[int] = (),
        banks: Sequence[Sequence[int]] = (),
        displacement_cc: int | None = None,
    ) -> Engine:
        """An engine out of what is typed; the banks follow from the numbering where they can."""
        if layout not in LAYOUTS:
            raise LayoutUnknown(layout, numbering)
        numbering = numbering or _OF_LAYOUT[layout][0]
        _check_cylinders(cylinders, layout)
        if isinstance(firing_order, str):
            firing_order = parse_firing_order(firing_order, cylinders)
        rows = tuple(tuple(bank) for bank in banks)
        if numbering != "as_stated":
            rows = _banks(cylinders, numbering)
        return cls(layout, cylinders, numbering, rows, tuple(firing_order), displacement_cc)

    @classmethod
    def from_json(cls, stored: Mapping[str, Any]) -> Engine | None:
        """The engine that `as_json` gave; None for an empty record, which means: not known."""
        if not stored:
            return None
        try:
            return cls(
                stored["layout"],
                stored["cylinders"],
                stored["numbering"],
                tuple(tuple(bank) for bank in stored.get("banks", ())),
                tuple(stored.get("firing_order", ())),
                stored.get("displacement_cc"),
            )
        except (KeyError, TypeError) as fault:
            raise EngineError(
                _("The stored engine %(stored)s can't be read.") % {"stored": stored}
            ) from fault

    def as_json(self) -> dict[str, Any]:
        """The engine as plain data, for the car's record."""
        return {
            "layout": self.layout,
            "cylinders": self.cylinders,
            "numbering": self.numbering,
            "banks": [list(bank) for bank in self.banks],
            "firing_order": list(self.firing_order),
            "displacement_cc": self.displacement_cc,
        }

    def neighbours(self, cylinder: int) -> tuple[int, ...]:
        """The cylinders beside one in its bank, where a head gasket can give way between them."""
        for bank in self.banks:
            if cylinder in bank:
                place = bank.index(cylinder)
                return tuple(bank[i] for i in (place - 1, place + 1) if 0 <= i < len(bank))
        return ()

    def bank_of(self, cylinder: int) -> int | None:
        """Which bank, counted from 1, a cylinder is in; None where that isn't known."""
        for number, bank in enumerate(self.banks, start=1):
            if cylinder in bank:
                return number
        return None

    def cylinder_labels(self) -> tuple[str, ...]:
        """The cylinders as labels of readings, in the order of their numbers."""
        return tuple(str(number) for number in range(1, self.cylinders + 1))

    @property
    def firing_order_text(self) -> str:
        """The firing order as it is written, 1-3-4-2; empty where it isn't known."""
        return "-".join(map(str, self.firing_order))

    @property
    def words(self) -> str:
        """The engine in a few words: 4 in line, 1 at the belt or chain end."""
        if self.layout == "none":
            return str(LAYOUTS["none"])
        facts = {
            "cylinders": self.cylinders,
            "layout": LAYOUTS[self.layout],
            "numbering": NUMBERINGS[self.numbering],
        }
        if self.layout == "v":
            return _("V%(cylinders)d, %(numbering)s") % facts
        if self.layout == "other":
            return _("%(cylinders)d cylinders, %(layout)s") % facts
        return _("%(cylinders)d %(layout)s, %(numbering)s") % facts


def kind_of(stored: Mapping[str, Any], fuel: str) -> str:
    """A key of what tells the engines of one model apart: "diesel line 4 1968".

    Fuel, layout, cylinders, displacement in cm³. Empty while one of them is not known, or where
    there is no combustion engine: engines are the same only when all of it is. Numbering and firing
    order describe an engine and don't tell it from another; two that differ in power alone are one
    kind here.
    """
    parts = [fuel, *(stored.get(name) for name in ("layout", "cylinders", "displacement_cc"))]
    if stored.get("layout") not in LAYOUTS or stored["layout"] == "none" or not all(parts):
        return ""
    return " ".join(map(str, parts))


def kind_words(kind: str) -> str:
    """What `kind_of` gave, for people: diesel, 4 in line, 1968 cm³."""
    fuel, layout, cylinders, displacement_cc = kind.split(" ")
    facts = {"cylinders": cylinders, "layout": LAYOUTS[layout]}
    if layout == "v":
        shape = f"V{cylinders}"
    elif layout == "other":
        shape = _("%(cylinders)s cylinders") % facts
    else:
        shape = _("%(cylinders)s %(layout)s") % facts
    return f"{FUEL.technician(fuel)}, {shape}, {displacement_cc}\u00a0cm³"


def parse_firing_order(typed: str, cylinders: int) -> tuple[int, ...]:
    """A firing order out of typed text: 1-3-4-2, 1 3 4 2, 1,3,4,2, or 1342 below ten cylinders.

    Empty text is an unknown order. Raises FiringOrderUnreadable or FiringOrderIncomplete.
    """
    text = typed.strip()
    if not text:
        return ()
    if not re.fullmatch(r"[0-9]{1,2}([ ,;.\u2010-\u2013-]+[0-9]{1,2})*|[0-9]{1,9}", text):
        raise FiringOrderUnreadable(typed)
    figures = re.findall(r"[0-9]+", text)
    if len(figures) == 1 and cylinders < 10:
        figures = list(text)
    order = tuple(int(figure) for figure in figures)
    if sorted(order) != list(range(1, cylinders + 1)):
        raise FiringOrderIncomplete(order, cylinders)
    return order


def _banks(cylinders: int, numbering: str) -> tuple[tuple[int, ...], ...]:
    numbers = range(1, cylinders + 1)
    if numbering == "from_front":
        return (tuple(numbers),)
    if numbering == "from_flywheel":
        return (tuple(reversed(numbers)),)
    if numbering == "bank_by_bank":
        half = cylinders // 2
        return (tuple(numbers[:half]), tuple(numbers[half:]))
    return (tuple(numbers[::2]), tuple(numbers[1::2]))


def _check_cylinders(cylinders: int, layout: str) -> None:
    if not _is_whole(cylinders):
        raise CylindersImpossible(cylinders, layout)
    if layout == "none":
        possible = cylinders == 0
    elif layout in ("v", "flat"):
        possible = 2 <= cylinders <= MOST_CYLINDERS and cylinders % 2 == 0
    else:
        possible = 1 <= cylinders <= MOST_CYLINDERS
    if not possible:
        raise CylindersImpossible(cylinders, layout)


def _is_whole(value: object) -> bool:
    return isinstance(value, int) and not isinstance(value, bool)


def _listed(numbers: Sequence[int]) -> str:
    return ", ".join(map(str, numbers))


@dataclass(frozen=True)
class Preset:
    """A common engine to start from; its firing order is the most usual one, not the maker's."""

    words: Promise
    engine: Engine


PRESETS: dict[str, Preset] = {
    "line_2": Preset(gettext_lazy("2 in line"), Engine.of("line", 2, firing_order="1-2")),
    "line_3": Preset(gettext_lazy("3 in line"), Engine.of("line", 3, firing_order="1-2-3")),
    "line_4": Preset(gettext_lazy("4 in line"), Engine.of("line", 4, firing_order="1-3-4-2")),
    "line_5": Preset(gettext_lazy("5 in line"), Engine.of("line", 5, firing_order="1-2-4-5-3")),
    "line_6": Preset(gettext_lazy("6 in line"), Engine.of("line", 6, firing_order="1-5-3-6-2-4")),
    "v_6": Preset(
        gettext_lazy("V6, bank by bank"),
        Engine.of("v", 6, "bank_by_bank", firing_order="1-4-2-5-3-6"),
    ),
    "v_6_alternating": Preset(
        gettext_lazy("V6, to and fro"),
        Engine.of("v", 6, "alternating", firing_order="1-2-3-4-5-6"),
    ),
    "v_8": Preset(
        gettext_lazy("V8, bank by bank"),
        Engine.of("v", 8, "bank_by_bank", firing_order="1-5-4-8-6-3-7-2"),
    ),
    "v_8_alternating": Preset(
        gettext_lazy("V8, to and fro"),
        Engine.of("v", 8, "alternating", firing_order="1-8-4-3-6-5-7-2"),
    ),
    "flat_4": Preset(
        gettext_lazy("4 flat"), Engine.of("flat", 4, "alternating", firing_order="1-3-2-4")
    ),
    "flat_6": Preset(
        gettext_lazy("6 flat"), Engine.of("flat", 6, "bank_by_bank", firing_order="1-6-2-4-3-5")
    ),
    "none": Preset(gettext_lazy("electric, no combustion engine"), Engine.of("none", 0)),
}
