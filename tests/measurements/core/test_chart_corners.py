"""The picture of a small panel at each corner of the car."""

from __future__ import annotations

import re
from typing import Any

import pytest

from measurements.core.chart import ChartError, draw
from tests.measurements.svg import SVG, parsed

TITLE = "Tread by corner."


def panel(row: int, side: int, *values: float, low: float | None = 1.6) -> dict[str, Any]:
    points = [{"label": f"p{n}", "value": value, "u": 0.0} for n, value in enumerate(values)]
    return {"row": row, "side": side, "label": f"{row}{side}", "low": low, "points": points}


def corners(*panels: dict[str, Any]) -> dict[str, Any]:
    return {"kind": "corners", "title": TITLE, "unit": "mm", "panels": list(panels)}


def dots(svg: str) -> list[tuple[float, float]]:
    return [
        (float(dot.get("cx")), float(dot.get("cy"))) for dot in parsed(svg).iter(f"{SVG}circle")
    ]


def test_left_stands_left_and_front_above() -> None:
    found = dots(draw(corners(*(panel(row, side, 5.0) for row in (0, 1) for side in (0, 1)))))
    (fl, fr, rl, rr) = found
    assert fl[0] == rl[0] < 160 < fr[0] == rr[0]
    assert fl[1] == fr[1] < rl[1] == rr[1]


def test_all_panels_share_one_scale_from_nought() -> None:
    (low, high, other) = dots(draw(corners(panel(0, 0, 2.0), panel(0, 1, 4.0), panel(1, 0, 8.0))))
    foot = 96.0
    assert foot - high[1] == pytest.approx(2 * (foot - low[1]), abs=0.2)
    assert 128 + foot - other[1] == pytest.approx(4 * (foot - low[1]), abs=0.3)


def test_one_axle_alone_takes_no_empty_room() -> None:
    both = parsed(draw(corners(panel(0, 0, 5.0), panel(1, 0, 5.0))))
    rear = parsed(draw(corners(panel(1, 0, 5.0))))
    assert float(rear.get("height")) < 0.7 * float(both.get("height"))


def test_below_its_limit_a_value_is_bold() -> None:
    svg = draw(corners(panel(0, 0, 1.2, 3.0)))
    assert re.search(r'font-weight="600">1\.2<', svg)
    assert re.search(r'font-weight="400">3\.0<', svg)


def test_earlier_values_are_hollow_beside_their_own_point() -> None:
    now, before = corners(panel(0, 0, 5.0), panel(0, 1, 5.0)), corners(panel(0, 1, 7.0))
    svg = draw(now, earlier=before, ground="#ffffff")
    hollow = [dot for dot in parsed(svg).iter(f"{SVG}circle") if dot.get("fill") == "#ffffff"]
    assert len(hollow) == 2  # the point's and the key's
    assert float(hollow[0].get("cx")) > 160
    assert "before" in svg


def test_without_a_limit_nothing_is_hatched() -> None:
    assert "stroke-opacity" in draw(corners(panel(0, 0, 5.0)))
    assert "stroke-opacity" not in draw(corners(panel(0, 0, 5.0, low=None)))


@pytest.mark.parametrize("panels", [[], [panel(0, 0)], [panel(0, 0, float("nan"))]])
def test_nothing_to_draw_is_refused(panels: list[dict[str, Any]]) -> None:
    with pytest.raises(ChartError):
        draw(corners(*panels))
