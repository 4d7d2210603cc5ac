"""Limits are told to the figures they were written with, in whichever unit they are shown."""

from __future__ import annotations

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobs.run_view import limit_text
from measurements.core import chart, units
from measurements.core.assessment import VerdictOutcome
from measurements.core.decision import limit_words, verdict_words
from measurements.core.explain import limits_of
from measurements.core.procedure import Source
from measurements.core.units import limit_texts
from measurements.forms.run_form import _limit_words
from measurements.procedures import PROCEDURES

GAP = "\N{NO-BREAK SPACE}"


def kpa(psi: float) -> float:
    return float(units.convert(psi, "gauge_pressure", "psi", "kPa"))


@pytest.mark.parametrize(
    ("high", "quantity", "unit", "text"),
    [
        (3.5, "gauge_pressure", "psi", "0.51"),
        (27, "vacuum", "inHg", "8.0"),
        (110, "torque", "lbf·ft", "81.1"),
        (100, "gauge_pressure", "psi", "14.5"),
        (1000, "gauge_pressure", "psi", "145"),
        (1.6, "length", "in", "0.063"),
        (0.5, "length", "in", "0.020"),
        (60, "distance", "mi", "37"),
        (85, "temperature", "°F", "185"),
        (-40, "temperature", "°F", "−40"),
        (37.5, "temperature", "°F", "99.5"),
    ],
)
def test_a_converted_limit_has_about_as_many_figures(
    high: float, quantity: str, unit: str, text: str
) -> None:
    assert limit_texts(None, high, quantity, unit) == ("", text)


@pytest.mark.parametrize(
    ("low", "high", "quantity", "unit", "texts"),
    [
        (None, 0.2, "voltage", "V", ("", "0.20")),
        (None, 0.2, "voltage", "mV", ("", "200")),
        (13.0, 14.8, "voltage", "V", ("13.0", "14.8")),
        (13.0, None, "voltage", "V", ("13", "")),
        (None, 250, "gauge_pressure", "kPa", ("", "250")),
        (None, 0.0, "voltage", "V", ("", "0")),
        (1.6, None, "length", "mm", ("1.6", "")),
        (12.7, None, "length", "mm", ("12.7", "")),
        (1.225, None, "density", "g/cm³", ("1.225", "")),
    ],
)
def test_a_limit_in_its_own_unit_stands_as_written(
    low: float | None, high: float | None, quantity: str, unit: str, texts: tuple[str, str]
) -> None:
    assert limit_texts(low, high, quantity, unit) == texts


def test_what_was_written_in_another_unit_stands_in_it_as_written() -> None:
    assert limit_texts(None, kpa(4), "gauge_pressure", "psi") == ("", "4")
    assert limit_texts(kpa(32), kpa(35.5), "gauge_pressure", "psi") == ("32.0", "35.5")


def test_what_was_written_in_another_unit_is_rounded_in_the_stored_one() -> None:
    assert limit_texts(None, kpa(35.5), "gauge_pressure", "kPa") == ("", "245")
    assert limit_texts(None, kpa(4), "gauge_pressure", "bar") == ("", "0.28")


def test_a_computed_limit_has_four_figures_at_most() -> None:
    assert limit_texts(13.632487, 14.79999999, "voltage", "V") == ("13.63", "14.80")


@given(
    st.floats(0.001, 5000),
    st.sampled_from([(key, unit) for key, kind in units.QUANTITIES.items() for unit in kind.units]),
)
def test_no_limit_is_told_falsely(bound: float, shown_as: tuple[str, str]) -> None:
    """Rounding to two figures moves a number by a twentieth of itself at most."""
    quantity, unit = shown_as
    exact = float(units.convert(bound, quantity, units.QUANTITIES[quantity].unit, unit))
    text = limit_texts(None, bound, quantity, unit)[1].replace("−", "-")
    most = 0.051 * abs(exact) if quantity != "temperature" else 0.51
    assert abs(float(text) - exact) <= most + 1e-6 * abs(exact)
    assert len(text.lstrip("-0.").replace(".", "")) <= 10


def verdict(high: float, quantity: str) -> VerdictOutcome:
    source = Source("C", "common practice")
    return VerdictOutcome("a.b.c", "x", "outside", quantity, 99, 0.1, high=high, source=source)


def test_all_places_tell_a_limit_alike() -> None:
    beyond = verdict(3.5, "gauge_pressure")
    assert limit_words(beyond, "us") == f"at most 0.51{GAP}psi"
    assert f"at most 0.51{GAP}psi" in verdict_words(beyond, "us")
    assert limit_text(None, 3.5, "gauge_pressure", "psi") == "at most 0.51"
    assert _limit_words(None, 3.5, "gauge_pressure", "psi") == ("0.51", "at most")


def test_a_window_has_the_same_decimals_at_both_ends() -> None:
    assert _limit_words(13.0, 14.8, "voltage", "V") == ("13.0–14.8", "")
    assert limit_text(13.0, 14.8, "voltage", "V") == "13.0 to 14.8"
    window = VerdictOutcome("a.b.c", "x", "within", "voltage", 14, 0.1, low=13.0, high=14.8)
    assert limit_words(window) == f"13.0{GAP}V to 14.8{GAP}V"


def test_a_chart_tells_its_limit_as_the_table_does() -> None:
    data = {"kind": "path", "title": "t", "unit": "V", "stations": ["a", "b"], "drops": [0.3]}
    assert "limit 0.20 V" in chart.draw({**data, "limit": 0.2})
    assert "limit 0.12 V" in chart.draw({**data, "limit": 0.12})


@pytest.mark.parametrize("system", ["metric", "us", "imperial"])
@pytest.mark.parametrize("name", PROCEDURES)
def test_no_limit_of_any_test_is_told_to_more_than_four_figures(name: str, system: str) -> None:
    for line in limits_of(PROCEDURES[name], system):
        for number in re.findall(r"\d+\.\d+", line.bounds):
            assert len(number.replace(".", "").lstrip("0")) <= units.LIMIT_FIGURES, line
