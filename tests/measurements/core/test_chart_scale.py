"""Single values on a scale: marks, hatched limits, and the earlier value hollow."""

from __future__ import annotations

from typing import Any

import pytest

from measurements.core import chart
from tests.measurements.svg import SVG, parsed

DATA: dict[str, Any] = {
    "kind": "scale",
    "title": "Rest volts: battery 1 12.30 V.",
    "unit": "V",
    "axis": "volts at rest",
    "low": 12.45,
    "high": 12.9,
    "marks": [{"value": 11.89, "label": "0 %"}, {"value": 12.65, "label": "100 %"}],
    "rows": [{"label": "battery 1", "value": 12.30, "u": 0.05}],
}


def circles(svg: str) -> list[Any]:
    return list(parsed(svg).iter(f"{SVG}circle"))


def words(svg: str) -> str:
    return " ".join(text.text or "" for text in parsed(svg).iter(f"{SVG}text"))


def test_rows_marks_and_axis_are_named() -> None:
    drawn = words(chart.draw(DATA))
    for word in ("battery 1", "0 %", "100 %", "volts at rest, V"):
        assert word in drawn


def test_a_value_stands_left_of_a_higher_one() -> None:
    rows = [*DATA["rows"], {"label": "battery 2", "value": 12.6, "u": 0.0}]
    one, two = circles(chart.draw({**DATA, "rows": rows}))
    assert float(one.get("cx")) < float(two.get("cx"))


def test_the_earlier_value_is_hollow() -> None:
    earlier = {**DATA, "rows": [{"label": "battery 1", "value": 12.7, "u": 0.05}]}
    svg = chart.draw(DATA, earlier=earlier, ground="#123456")
    fills = [circle.get("fill") for circle in circles(svg)]
    assert fills.count("#123456") == 2 and "before" in words(svg)


def test_without_an_earlier_value_nothing_is_called_before() -> None:
    assert "before" not in words(chart.draw(DATA))


def test_marks_that_would_overlap_keep_their_line_and_lose_their_label() -> None:
    close = [{"value": 12.0, "label": "one"}, {"value": 12.001, "label": "two"}]
    drawn = words(chart.draw({**DATA, "marks": close}))
    assert "one" in drawn and "two" not in drawn


@pytest.mark.parametrize("rows", [[], [{"label": "x", "value": float("nan")}]])
def test_nothing_or_no_number_is_refused(rows: list[Any]) -> None:
    with pytest.raises(chart.ChartError):
        chart.draw({**DATA, "rows": rows})


def test_a_single_value_without_limits_is_drawn() -> None:
    bare = {**DATA, "low": None, "high": None, "marks": []}
    assert len(circles(chart.draw(bare))) == 1
