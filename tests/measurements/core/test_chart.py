"""Charts and marks: SVG by attributes only, the whole content told in the title."""

from __future__ import annotations

import math
import re
from typing import Any

import pytest

from measurements.core import chart
from measurements.core.charts.sheet import in_two_lines
from tests.measurements.svg import SVG, parsed

PATH: dict[str, Any] = {
    "kind": "path",
    "title": "Lost: 0.1 V, then 0.6 V. Limit 0.3 V.",
    "unit": "V",
    "axis": "lost",
    "stations": ["post", "clamp", "block"],
    "drops": [0.1, 0.6],
    "limit": 0.3,
    "note": "0.6 V here",
}
LINES: dict[str, Any] = {
    "kind": "lines",
    "title": "Pressure over time: 100 to 95 kPa.",
    "x": {"label": "time", "unit": "min"},
    "y": {"label": "pressure", "unit": "kPa", "from_zero": False},
    "series": [
        {"label": "read", "points": [[0, 100, 2], [5, 95, 2]]},
        {"label": "without leak", "points": [[0, 100], [5, 98]]},
    ],
    "limits": [{"label": "cap 110", "value": 110, "beyond": "above"}],
}
PAIRS: dict[str, Any] = {
    "kind": "pairs",
    "title": "Before 0.66 V, after 0.07 V.",
    "unit": "V",
    "axis": "drop",
    "rows": [{"label": "strap", "before": [0.66, 0.004], "after": [0.07, 0.002], "high": 0.2}],
}
CYLINDERS: dict[str, Any] = {
    "kind": "cylinders",
    "title": "Cylinder 3 oily.",
    "layout": "v",
    "unit": "mm",
    "low": 0.7,
    "high": 0.9,
    "rows": [
        {
            "label": str(n),
            "bank": n % 2,
            "word": "oily" if n == 3 else "tan",
            "value": 0.8,
            "marked": n == 3,
        }
        for n in range(1, 7)
    ],
}
LEVEL: dict[str, Any] = {
    "kind": "level",
    "title": "Oil 4 mm under the low mark.",
    "level": -4,
    "u": 0.6,
    "stick": {"low": 0, "high": 25, "unit": "mm"},
    "note": "1.7 L short",
}
ALL = [PATH, LINES, PAIRS, CYLINDERS, LEVEL]


@pytest.mark.parametrize("data", ALL, ids=lambda data: data["kind"])
def test_each_kind_draws_by_attributes_only(data: dict[str, Any]) -> None:
    svg = chart.draw(data, ground="#f1ebdd", name="c1")
    root = parsed(svg)
    assert root.find(f"{SVG}title").text == data["title"]
    assert root.get("aria-labelledby") == "c1-title"
    assert not re.search(r"style=|class=|<script|<pattern|<image|href|url\(", svg)
    assert "currentColor" in svg


@pytest.mark.parametrize("data", ALL, ids=lambda data: data["kind"])
def test_nothing_is_drawn_outside_the_sheet(data: dict[str, Any]) -> None:
    root = parsed(chart.draw(data))
    _, _, width, height = map(float, root.get("viewBox", "").split())
    for path in root.iter(f"{SVG}path"):
        numbers = [float(n) for n in re.findall(r"-?[0-9.]+", path.get("d", ""))]
        for x, y in zip(numbers[::2], numbers[1::2], strict=True):
            assert -1 <= x <= width + 1 and -1 <= y <= height + 1, path.get("d")
    for text in root.iter(f"{SVG}text"):
        assert 0 <= float(text.get("x", "0")) <= width
        assert 8 <= float(text.get("y", "0")) <= height


@pytest.mark.parametrize("data", [PATH, LINES, LEVEL], ids=lambda data: data["kind"])
def test_an_earlier_run_lies_under_it_hollow(data: dict[str, Any]) -> None:
    alone, both = chart.draw(data), chart.draw(data, earlier=data, ground="#abcdef")
    assert both.count("<circle") > alone.count("<circle")
    assert "#abcdef" in both


def test_no_data_draws_nothing() -> None:
    assert chart.draw({}) == ""


@pytest.mark.parametrize("bad", [math.nan, math.inf, -math.inf, "0.1", True])
def test_numbers_must_be_finite(bad: Any) -> None:
    with pytest.raises(chart.ChartError, match="not a finite number"):
        chart.draw({**PATH, "drops": [0.1, bad]})
    with pytest.raises(chart.ChartError, match="not a finite number"):
        chart.draw({**LEVEL, "level": bad})


@pytest.mark.parametrize(
    ("data", "says"),
    [
        ({"kind": "pie", "title": "t"}, "none of"),
        ({**PATH, "drops": [0.1]}, "3 stations need 2 drops"),
        ({**PATH, "title": ""}, "needs a title"),
        ({**LINES, "series": []}, "no point"),
        ({**LEVEL, "stick": {"low": 5, "high": 5, "unit": "mm"}}, "must lie above"),
    ],
)
def test_data_that_cannot_be_drawn_says_why(data: dict[str, Any], says: str) -> None:
    with pytest.raises(chart.ChartError, match=says):
        chart.draw(data)


def test_words_are_escaped() -> None:
    svg = chart.draw({**PATH, "title": "a < b & c", "stations": ["<b>", "x", "y"]})
    assert parsed(svg).find(f"{SVG}title").text == "a < b & c"
    assert "<b>" not in svg


def test_a_step_not_read_breaks_the_line() -> None:
    root = parsed(chart.draw({**PATH, "drops": [0.1, None]}))
    assert len(list(root.iter(f"{SVG}circle"))) == 2


def test_beyond_the_limit_is_hatched_with_lines() -> None:
    with_limit, without = chart.draw(PATH), chart.draw({**PATH, "limit": None})
    assert with_limit.count('stroke-opacity="0.45"') == 1
    assert 'stroke-opacity="0.45"' not in without


@pytest.mark.parametrize(
    ("low", "high", "expected"),
    [(0, 1, [0, 0.2, 0.4, 0.6, 0.8, 1]), (12.3, 15.1, [13, 14, 15]), (-3, 3, [-2, 0, 2])],
)
def test_ticks_are_round(low: float, high: float, expected: list[float]) -> None:
    assert chart.ticks(low, high) == pytest.approx(expected)


@pytest.mark.parametrize("outcome", ["within", "outside", "cannot_tell", "no_limit"])
@pytest.mark.parametrize("side", ["upper", "lower", "both"])
def test_glyph_is_small_and_hidden_from_readers(outcome: str, side: Any) -> None:
    root = parsed(chart.verdict_glyph(outcome, side))
    assert (root.get("width"), root.get("height"), root.get("aria-hidden")) == ("34", "14", "true")


def test_a_lower_limit_mirrors_the_glyph() -> None:
    assert "scale(-1 1)" in chart.verdict_glyph("within", "lower")
    assert "scale(-1 1)" not in chart.verdict_glyph("within", "upper")


def test_four_outcomes_look_different_in_black_and_white() -> None:
    drawn = {chart.verdict_glyph(o) for o in ("within", "outside", "cannot_tell", "no_limit")}
    assert len(drawn) == 4


@pytest.mark.parametrize(
    "certainty", ["confirmed", "probable", "suspected", "ruled out", "ruled_out", "not tested"]
)
def test_certainty_has_its_line(certainty: str) -> None:
    assert parsed(chart.certainty_line(certainty)).get("aria-hidden") == "true"


def test_unknown_marks_are_refused() -> None:
    with pytest.raises(chart.ChartError):
        chart.verdict_glyph("fine")
    with pytest.raises(chart.ChartError):
        chart.certainty_line("sure")


@pytest.mark.parametrize("high", [0.05, 0.2, 500])
def test_the_limit_of_a_strip_stands_at_the_same_place(high: float) -> None:
    svg = chart.limit_strip(high / 2, high / 50, None, high, "within")
    assert "M43.7 0 L43.7 26" in svg


def test_off_the_strip_is_an_arrow() -> None:
    assert 'stroke-width="2.2"' in chart.limit_strip(0.9, 0.01, None, 0.2, "outside")
    assert 'stroke-width="2.2"' not in chart.limit_strip(0.1, 0.01, None, 0.2, "within")


def test_doubt_is_a_hollow_dot() -> None:
    assert 'fill="#fff"' in chart.limit_strip(0.2, 0.01, None, 0.2, "cannot_tell", ground="#fff")


@pytest.mark.parametrize(
    ("value", "low", "high"),
    [(13.9, 13.8, 14.8), (5.0, 4.0, None), (-3, -2, None), (0.0, None, 0.0), (7.0, None, None)],
)
def test_strips_of_every_kind_draw(value: float, low: float | None, high: float | None) -> None:
    assert parsed(chart.limit_strip(value, 0.1, low, high, "within")) is not None


def test_a_long_name_takes_two_lines_before_it_is_cut() -> None:
    assert in_two_lines("strap", 17) == ["strap"]
    assert in_two_lines("front left, toe over the rim span", 17) == [
        "front left, toe",
        "over the rim span",
    ]
    assert in_two_lines("rear right, rolled on half a turn of the wheel", 17)[1].endswith("…")
    row = PAIRS["rows"][0] | {"label": "battery plus post to clamp"}
    svg = chart.draw(PAIRS | {"rows": [row]}, ground="#fff", name="c1")
    assert "battery plus post" in svg and "to clamp" in svg
