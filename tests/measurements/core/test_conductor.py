"""Cross-sections as they are typed, and copper's resistance."""

from __future__ import annotations

import contextlib

import pytest
from hypothesis import given
from hypothesis import strategies as st

from measurements.core.conductor import SectionError, area_of, awg_area_mm2, resistance_ohm


@pytest.mark.parametrize(
    ("text", "area"),
    [
        ("0.75", 0.75),
        ("0,75", 0.75),
        ("1.5 mm2", 1.5),
        ("1.5mm²", 1.5),
        (" 2,5  MM2 ", 2.5),
        ("18", 18.0),
        ("AWG 18", awg_area_mm2(18)),
        ("awg18", awg_area_mm2(18)),
        ("18 AWG", awg_area_mm2(18)),
        ("16 ga", awg_area_mm2(16)),
        ("AWG 0", awg_area_mm2(0)),
        ("2/0 AWG", awg_area_mm2(-1)),
        ("AWG 00", awg_area_mm2(-1)),
        ("1/0 awg", awg_area_mm2(0)),
        ("AWG 0000", awg_area_mm2(-3)),
    ],
)
def test_what_is_typed_as_a_cross_section(text: str, area: float) -> None:
    assert area_of(text) == pytest.approx(area)


@pytest.mark.parametrize(
    "text",
    ["", "thick", "0", "-1", "0.75 m", "AWG", "AWG 45", "AWG 1.5", "1.5.5", "200", "٣", "1e3"],
)
def test_what_is_no_cross_section_is_refused_with_an_example(text: str) -> None:
    with pytest.raises(SectionError, match=r"write 0\.75 .* or AWG 18"):
        area_of(text)


@given(st.text(max_size=12))
def test_any_text_is_understood_or_refused(text: str) -> None:
    with contextlib.suppress(SectionError):
        assert 0 < area_of(text) < 1000


@given(st.floats(0.1, 50), st.floats(0.1, 30))
def test_twice_the_length_or_half_the_copper_resists_twice_as_much(area: float, m: float) -> None:
    once = resistance_ohm(area, m)
    assert resistance_ohm(area, 2 * m) == pytest.approx(2 * once)
    assert resistance_ohm(area / 2, m) == pytest.approx(2 * once)
