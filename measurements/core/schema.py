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
    Handed,
    Odometer,
    Procedure,
    Quantity,
    QuantityBy,
    Text,
)
from measurements.core.readings import EXTRA, LONGEST_KEY, layout, range_words
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
        properties[slot.address] = _entry(slot.field, slot.label, context)
    for grid in procedure.grids:
        fields = fields_of(grid)
        rows = list(rows_of(grid, context, {}))
        if isinstance(grid.axis, Free):
            rows += [row for preset in grid.axis.presets.values() for row in preset]
        for row in rows:
            for field in fields:
                # the plain declaration: which rows can be referred to depends on what is typed
                label = f"{row.label}, {field.label}"
                properties[f"{grid.key}.{row.code}.{field.key}"] = _entry(field, label, context)
        letter = EXTRA.get(type(grid.axis))
        if letter:
            for field in fields:
                patterns[f"^{grid.key}\\.{letter}[1-9][0-9]?\\.{field.key}$"] = _entry(
                    field, f"{grid.label}, {field.label}", context
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


def file_schema_of(procedure: Procedure, context: Context | None = None) -> dict[str, Any]:
    """The schema of a whole readings file as `manage.py assess` takes it, with an example."""
    typed = schema_of(procedure, context)
    schema: dict[str, Any] = {
        "$schema": typed.pop("$schema"),
        "title": typed.pop("title"),
        "description": typed.pop("description"),
        "type": "object",
        "properties": {
            "procedure": {"const": procedure.name},
            "about": {"type": "string", "description": "where the readings come from"},
            "context": {
                "type": "object",
                "description": "car, ambient air, instruments, limits chosen for the car",
            },
            "typed": typed,
        },
        "required": ["typed"],
        "additionalProperties": False,
    }
    if procedure.example:
        schema["examples"] = [{"procedure": procedure.name, "typed": dict(procedure.example)}]
    return schema


def _entry(field: Field, label: str, context: Context) -> dict[str, Any]:
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
        return {**entry, **_range(field, context), "anyOf": [text, with_unit]}
    if isinstance(field, QuantityBy):
        with_any = {"type": "array", "minItems": 2, "maxItems": 2, "items": text}
        described = f"in the shop's unit of what {field.by} says, where none is written"
        return {**entry, "description": described, "anyOf": [text, with_any]}
    if isinstance(field, Handed):
        described = "a file: its path beside the readings file"
        return {**entry, "type": "string", "maxLength": LONGEST_KEY, "description": described}
    if isinstance(field, Choice):
        return {**entry, "enum": list(dict.fromkeys(("", *field.choices, *field.choices.values())))}
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


def _range(field: Quantity | Odometer, context: Context) -> dict[str, Any]:
    """What a bare number means, and what is possible: in words, and as numbers in that unit."""
    if isinstance(field, Odometer):
        return {"description": "in " + units.shop_unit("distance", context.units)}
    unit = field.unit or units.shop_unit(field.quantity, context.units)
    bounds = field.possible(context) if callable(field.possible) else field.possible
    range_said = range_words(bounds, field.quantity, unit)
    found: dict[str, Any] = {
        "description": f"in {unit} where none is written; {range_said}",
        "x-unit": unit,
    }
    stored = units.QUANTITIES[field.quantity].unit
    for name, bound in zip(("x-least", "x-most"), bounds, strict=True):
        if bound is not None:
            found[name] = float(units.convert(bound, field.quantity, stored, unit))
    return found
