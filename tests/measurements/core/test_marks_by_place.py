"""Two kinds of charts: marks place by place, and a measured value beside its candidates."""

from __future__ import annotations

from typing import Any

import pytest

from measurements.core import chart
from tests.measurements.svg import SVG, parsed


def tally(*rows: tuple[str, list[str]], firm: bool = True) -> dict[str, Any]:
    return {
        "kind": "tally",
        "title": "Marks by place.",
        "firm": "stored",
        "loose": "pending",
        "rows": [
            {"label": label, "marks": [{"label": name, "firm": firm} for name in names]}
            for label, names in rows
        ],
    }


def candidates(*values: float, measured: float | None = None) -> dict[str, Any]:
    return {
        "kind": "candidates",
        "title": "Candidates.",
        "axis": "times a second",
        "unit": "Hz",
        "measured": None if measured is None else [measured, 0.3],
        "rows": [{"label": f"thing {n}", "value": v, "u": 0.1} for n, v in enumerate(values)],
    }


def words(svg: str) -> list[str]:
    return [element.text or "" for element in parsed(svg).iter(f"{SVG}text")]


@pytest.mark.parametrize("data", [tally(), candidates()])
def test_nothing_to_draw_is_said(data: dict[str, Any]) -> None:
    with pytest.raises(chart.ChartError):
        chart.draw(data)


@pytest.mark.parametrize("value", [float("nan"), float("inf"), "15.9", None])
def test_a_candidate_that_is_no_number_is_refused(value: Any) -> None:
    with pytest.raises(chart.ChartError):
        chart.draw(candidates(value))


def test_many_marks_take_more_lines_and_stay_on_the_sheet() -> None:
    names = [f"P0{n:03d}-1C" for n in range(14)]
    svg = chart.draw(tally(("engine", names)))
    places = [float(e.get("x", "0")) for e in parsed(svg).iter(f"{SVG}text") if e.text in names]
    assert len(places) == 14
    assert len(set(places)) == 3
    assert max(places) + 8 * 6.3 < 320


def test_only_what_went_is_struck_out_and_places_are_matched_in_any_case() -> None:
    before = tally(("Engine", ["P0562", "P0480"]), ("brakes", ["C0035"]))
    found = words(chart.draw(tally(("engine", ["P0562"])), earlier=before))
    assert [word for word in found if word[:1] in "PC"] == ["P0562", "P0480", "C0035"]
    assert "Engine" not in found
    assert "brakes" in found


def test_a_mark_that_is_not_firm_is_hollow() -> None:
    def solid(svg: str) -> int:
        return sum(c.get("fill") == "currentColor" for c in parsed(svg).iter(f"{SVG}circle"))

    row = ("engine", ["P0562"])
    assert solid(chart.draw(tally(row))) == solid(chart.draw(tally(row, firm=False))) + 1


def test_a_measured_value_beyond_all_candidates_is_still_on_the_sheet() -> None:
    svg = chart.draw(candidates(10.0, 20.0, measured=300.0), earlier=candidates(12.0, measured=400))
    assert "before" in words(svg)
    assert "400" in words(svg)
