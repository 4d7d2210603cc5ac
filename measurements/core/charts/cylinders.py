"""Values by cylinder."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from measurements.core.charts.sheet import (
    WIDTH,
    ChartError,
    Sheet,
    limit_numbers,
    number,
    shortened,
    tick_words,
)


def draw(data: Mapping[str, Any], earlier: Mapping[str, Any], ground: str) -> Sheet:
    """Cylinders in the engine's own order, a row for each bank; marked ones have a heavy ring."""
    del earlier
    rows = list(data["rows"])
    if not rows:
        raise ChartError("there is no cylinder to draw")
    banks = sorted({int(row.get("bank", 0)) for row in rows})
    height = 92.0
    sheet = Sheet(height * len(banks) + 26)
    low = None if data.get("low") is None else number(data["low"], "low")
    high = None if data.get("high") is None else number(data["high"], "high")
    for number_of_bank, bank in enumerate(banks):
        members = [row for row in rows if int(row.get("bank", 0)) == bank]
        pitch = min(76.0, 304.0 / len(members))
        start = (WIDTH - pitch * len(members)) / 2 + pitch / 2
        y = 28 + height * number_of_bank
        for index, row in enumerate(members):
            x = start + pitch * index
            radius = min(18.0, pitch / 2 - 4)
            if row.get("marked"):
                sheet.dot(x, y, hollow=True, radius=radius, ground=ground)
                sheet.parts[-1] = sheet.parts[-1].replace('stroke-width="1.6"', 'stroke-width="4"')
                sheet.hatch(
                    x - radius * 0.7, y - radius * 0.7, x + radius * 0.7, y + radius * 0.7, 5
                )
            else:
                sheet.dot(x, y, hollow=True, radius=radius, ground=ground)
            sheet.text(
                x,
                y + 4.5,
                str(row["label"]),
                anchor="middle",
                weight=600,
                ground=ground if row.get("marked") else "",
            )
            words = shortened(str(row.get("word", "")), max(4, int(pitch / 6.2)))
            sheet.text(
                x, y + radius + 17, words, anchor="middle", weight=600 if row.get("marked") else 400
            )
            if row.get("value") is not None:
                value = number(row["value"])
                off = (low is not None and value < low) or (high is not None and value > high)
                sheet.text(
                    x,
                    y + radius + 32,
                    tick_words(value),
                    anchor="middle",
                    weight=600 if off else 400,
                )
        if number_of_bank < len(banks) - 1:
            sheet.line([(8, y + height - 34), (WIDTH - 8, y + height - 34)], 1, "2 4")
    window = window_words(low, high, str(data.get("unit", "")))
    if window:
        sheet.text(WIDTH - 4, height * len(banks) + 20, window, anchor="end")
    return sheet


def window_words(low: float | None, high: float | None, unit: str) -> str:
    least, most = limit_numbers(low, high, unit)
    if least and most:
        return f"limit {least} to {most} {unit}"
    if most:
        return f"limit at most {most} {unit}"
    return f"limit at least {least} {unit}" if least else ""
