"""Promises that hold for every procedure, whatever is typed within what is possible."""

from __future__ import annotations

import json
import math
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from measurements.core import units
from measurements.core.context import Car, Context, Engine
from measurements.core.judging import assess
from measurements.core.procedure import (
    Choice,
    Code,
    Count,
    Date,
    Field,
    Flag,
    Odometer,
    Procedure,
    Quantity,
)
from measurements.core.readings import layout, validate
from measurements.procedures import PROCEDURES
from tests.measurements.readings_files import Case, all_cases

NAMES = list(PROCEDURES)
EXAMPLES = 25
CALM = {"deadline": None, "suppress_health_check": list(HealthCheck), "derandomize": True}

CARS = (
    Car(fuel="petrol"),
    Car(fuel="diesel", volts=24, engine=Engine("v", 6, ((1, 3, 5), (2, 4, 6)))),
    Car(fuel="petrol", high_voltage=True, drive="all", engine=Engine("flat", 4, ((1, 3), (2, 4)))),
)


def anything_for(entry: Field, context: Context) -> st.SearchStrategy[Any]:
    """Something that the field takes, in the stored unit where it is a quantity."""
    if isinstance(entry, Quantity):
        low, high = entry.possible(context) if callable(entry.possible) else entry.possible
        numbers = st.floats(-1e4 if low is None else low, 1e4 if high is None else high)
        unit = units.QUANTITIES[entry.quantity].unit
        return st.one_of(
            numbers.map(lambda value: [shown(value, low, high), unit]),
            st.just(["OL", unit]),
            numbers.map(lambda value: ["> " + shown(value, low, high), unit]),
        )
    if isinstance(entry, Choice):
        return st.sampled_from(list(entry.choices) or [""])
    if isinstance(entry, Flag):
        return st.sampled_from(["yes", "no"])
    if isinstance(entry, Count):
        return st.integers(entry.low, min(entry.high, entry.low + 50)).map(str)
    if isinstance(entry, Date):
        return st.dates().map(lambda day: f"{day:%Y-%m-%d}".rjust(10, "0"))
    if isinstance(entry, Odometer):
        return st.integers(0, 400_000).map(lambda km: [str(km), "km"])
    if isinstance(entry, Code):
        return st.just(entry.example)
    return st.sampled_from(["3", "left", "F12", "\u00e9"])


def shown(value: float, low: float | None, high: float | None) -> str:
    """A number of at most three decimals that lies inside the bounds still."""
    text = f"{value:.3f}"
    if (low is not None and float(text) < low) or (high is not None and float(text) > high):
        text = f"{math.floor(value * 1000) / 1000 if value > 0 else 0:.3f}"
    return text


@st.composite
def typed_for(draw: st.DrawFn, procedure: Procedure, context: Context) -> dict[str, Any]:
    """A half-filled form: first what is given, which decides the rows, then the rows."""
    typed: dict[str, Any] = {}
    looked_at: set[str] = set()
    for _round in range(2):
        for slot in layout(procedure, context, typed).slots:
            if slot.address not in looked_at and draw(st.integers(0, 3)):
                typed[slot.address] = draw(anything_for(slot.field, context))
            looked_at.add(slot.address)
    return typed


@pytest.mark.parametrize("name", NAMES)
def test_no_readings_within_what_is_possible_stop_the_judgement(name: str) -> None:
    procedure = PROCEDURES[name]

    @settings(max_examples=EXAMPLES, **CALM)
    @given(st.data(), st.sampled_from(CARS))
    def holds(data: st.DataObject, car: Car) -> None:
        context = Context(car=car, measured_on="2026-03-31")
        typed = data.draw(typed_for(procedure, context))
        result = assess(procedure, validate(procedure, typed, context).readings, context)
        assert result.pattern in {pattern.code for pattern in procedure.patterns}
        assert result.customer and result.technician
        json.dumps(result.to_dict(), allow_nan=False)

    holds()


@pytest.mark.parametrize("name", NAMES)
def test_units_of_the_shop_change_no_verdict(name: str) -> None:
    procedure = PROCEDURES[name]

    @settings(max_examples=EXAMPLES, **CALM)
    @given(st.data())
    def holds(data: st.DataObject) -> None:
        metric = Context(car=CARS[0], measured_on="2026-03-31")
        typed = data.draw(typed_for(procedure, metric))
        told = []
        for system in ("metric", "us", "imperial"):
            context = replace(metric, units=system)
            result = assess(procedure, validate(procedure, typed, context).readings, context)
            told.append(
                (result.pattern, [(v.address, v.outcome, v.low, v.high) for v in result.verdicts])
            )
        assert told[0] == told[1] == told[2]

    holds()


ORDER = {"within": 0, "cannot_tell": 1, "outside": 2}
ONE_SIDED = list(all_cases())[::3]


@pytest.mark.parametrize("case", ONE_SIDED, ids=str)
def test_further_beyond_a_one_sided_limit_is_never_better(case: Case) -> None:
    judged = case.judged()
    for verdict in judged.assessment.verdicts:
        reading = judged.checked.readings.get(verdict.address)
        if (
            reading is None
            or verdict.value is None
            or (verdict.low is None) == (verdict.high is None)
        ):
            continue
        limit = verdict.high if verdict.high is not None else verdict.low
        worse = 1 if verdict.high is not None else -1
        if not limit or verdict.value < 0:
            continue
        seen = []
        for share in (0.9, 0.98, 1.0, 1.02, 1.1):
            value = limit * (1 + worse * (share - 1))
            unit = units.QUANTITIES[reading.quantity].unit
            typed = dict(case.data["typed"]) | {verdict.address: [f"{value:.6f}", unit]}
            readings = validate(judged.procedure, typed, judged.context).readings
            found = assess(judged.procedure, readings, judged.context).verdict(verdict.address)
            same = found is not None and (found.low, found.high) == (verdict.low, verdict.high)
            if found is not None and found.outcome in ORDER and same:
                seen.append(ORDER[found.outcome])
        assert seen == sorted(seen), verdict.address
