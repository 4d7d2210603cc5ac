"""JSON Schema (draft 2020-12) of what may be typed for a procedure; made from its declaration."""

from __future__ import annotations

from typing import Any

from measurements.core import units
from measurements.core.context import Context
from measurements.core.procedure import (
    Choice,
    Code,
    Count,
    Date,
    Field,
    Flag,
    Free,
    Odometer,
    Procedure,
    Quantity,
    Text,
)
from measurements.core.readings import EXTRA, layout
from measurements.core.typed import LONGEST


def schema_of(procedure: Procedure, context: Context | None = None) -> dict[str, Any]:
    """The schema of a readings file's `typed` part: addresses, each a text or a text with its unit.

    It says what a field takes; whether a value is possible is said by `readings.validate`.
    """
    from measurements.core.procedure import fields_of
    from measurements.core.readings import rows_of

    context = context or Context()
    properties: dict[str, Any] = {}
    patterns: dict[str, Any] = {}
    for slot in layout(procedure, context).slots:
        properties[slot.address] = _entry(slot.field, slot.label)
    for grid in procedure.grids:
        fields = fields_of(grid)
        rows = list(rows_of(grid, context, {}))
        if isinstance(grid.axis, Free):
            rows += [row for preset in grid.axis.presets.values() for row in preset]
        for row in rows:
            for field in fields:
                # the plain declaration: which rows can be referred to depends on what is typed
                label = f"{row.label}, {field.label}"
                properties[f"{grid.key}.{row.code}.{field.key}"] = _entry(field, label)
        letter = EXTRA.get(type(grid.axis))
        if letter:
            for field in fields:
                patterns[f"^{grid.key}\\.{letter}[1-9][0-9]?\\.{field.key}$"] = _entry(
                    field, f"{grid.label}, {field.label}"
                )
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": procedure.title,
        "description": procedure.purpose,
        "type": "object",
        "properties": properties,
        "patternProperties": patterns,
        "additionalProperties": False,
    }


def _entry(field: Field, label: str) -> dict[str, Any]:
    text: dict[str, Any] = {"type": "string", "maxLength": LONGEST}
    entry: dict[str, Any] = {"title": label}
    if isinstance(field, (Quantity, Odometer)):
        quantity = field.quantity if isinstance(field, Quantity) else "distance"
        with_unit = {
            "type": "array",
            "minItems": 2,
            "maxItems": 2,
            "prefixItems": [text, {"enum": ["", *units.QUANTITIES[quantity].units]}],
        }
        return {**entry, "anyOf": [text, with_unit]}
    if isinstance(field, Choice):
        return {**entry, "enum": ["", *field.choices, *field.choices.values()]}
    if isinstance(field, Flag):
        return {**entry, "enum": ["", "yes", "no", "on", "off"]}
    if isinstance(field, Count):
        return {**entry, "type": "string", "pattern": "^([0-9]{1,15}|-)?$"}
    if isinstance(field, Date):
        return {**entry, "type": "string", "pattern": "^([0-9]{4}-[0-9]{2}-[0-9]{2})?$"}
    if isinstance(field, Code):
        return {**entry, **text}
    if isinstance(field, Text):
        return {**entry, "type": "string", "maxLength": field.longest}
    return {**entry, **text}
