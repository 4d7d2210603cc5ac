"""What a procedure says of itself, for a reader: limits in words, and the whole for a terminal."""

from __future__ import annotations

import textwrap
from dataclasses import dataclass

from measurements.core.context import Context
from measurements.core.decision import bounds_in_words
from measurements.core.procedure import Choice, Formula, Free, Procedure
from measurements.core.readings import Slot, layout


@dataclass(frozen=True)
class LimitLine:
    """What one kind of reading is held against: where, how much, by whose word."""

    where: str
    bounds: str
    source: str


def limits_of(procedure: Procedure, system: str) -> tuple[LimitLine, ...]:
    """The limits of a 12 V car of which nothing else is known, for each way to do the test.

    system: the units to print, "metric", "us" or "imperial".
    """
    lines: dict[LimitLine, None] = {}
    context = Context(units=system)  # type: ignore[arg-type]
    for typed, way in _ways(procedure):
        for slot in layout(procedure, context, typed=typed).slots:
            if slot.limit is not None:
                where = ": ".join(part for part in (way, _place(slot)) if part)
                quantity = getattr(slot.field, "quantity", "count")
                bounds = bounds_in_words(slot.limit.low, slot.limit.high, quantity, system)
                lines[LimitLine(where, bounds, slot.limit.source.words)] = None
    return tuple(lines)


def _ways(procedure: Procedure) -> list[tuple[dict[str, str], str]]:
    """What is typed to choose each set of rows that stands ready, and the choice in words."""
    steering = {grid.axis.by for grid in procedure.grids if isinstance(grid.axis, Free)}
    for field in procedure.given:
        if field.key in steering and isinstance(field, Choice):
            return [({f"given.{field.key}": code}, str(w)) for code, w in field.choices.items()]
    return [({}, "")]


def _place(slot: Slot) -> str:
    row = slot.row.label if slot.row else ""
    return ", ".join(dict.fromkeys(part for part in (row, slot.label) if part))


def explained(procedure: Procedure, system: str = "metric") -> str:
    """Purpose, cautions, order, formulas, limits and outcomes, as text for a terminal."""
    lines = [procedure.title, "=" * len(procedure.title), ""]
    lines += _wrapped(procedure.purpose)
    lines += ["", *_wrapped(f"Proves nothing when: {procedure.proves_nothing_when}")]
    effort = procedure.effort
    tools = ", ".join(effort.tools) or "no tools"
    state = "" if effort.state == "any" else f"; the car {effort.state}"
    lines += ["", *_wrapped(f"About {effort.minutes} min; {tools}{state}.")]
    lines += ["", "First"]
    for number, caution in enumerate(procedure.cautions, start=1):
        said = caution.authority + (", from memory" if caution.from_memory else "")
        authority = f" ({said})" if said else ""
        lines += _wrapped(f"{number}. {caution.danger} {caution.text}{authority}", "   ")
    sections = (
        ("To tick before measuring", [item.text for item in procedure.preconditions]),
        ("Opens or unplugs", list(procedure.leaves_apart)),
        ("To be done before it", list(procedure.needs_before)),
        ("Makes worthless, so do them first", list(procedure.spoils)),
        ("Formulas", [_formula(item) for item in procedure.formulas]),
        (
            "Limits, where the maker gives none",
            [
                f"{line.where}: {line.bounds} ({line.source})"
                for line in limits_of(procedure, system)
            ],
        ),
        ("What it may say", [pattern.label for pattern in procedure.patterns]),
        ("What weakens it", [item.text for item in procedure.confounders]),
    )
    for title, items in sections:
        if items:
            lines += ["", title]
            for item in items:
                lines += _wrapped(f"- {item}", "  ")
    return "\n".join(lines)


def _formula(formula: Formula) -> str:
    told = f"{formula.name}: {formula.text}"
    return f"{told} ({formula.source})" if formula.source else told


def _wrapped(text: str, indent: str = "") -> list[str]:
    return textwrap.wrap(text, 96, subsequent_indent=indent)
