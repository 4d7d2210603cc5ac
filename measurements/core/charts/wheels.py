"""The car from above: four wheels at their angles, drawn larger than they are, and the thrust."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

from measurements.core.charts.sheet import WIDTH, ChartError, Sheet, number, shortened

_MIDDLE = WIDTH / 2
_AXLE = {"f": 88.0, "r": 232.0}
_SIDE = {"l": 112.0, "r": 208.0}
_LENGTH, _BREADTH = 60.0, 16.0
_TOP, _FOOT = 26.0, 286.0
_TIMES = (50, 20, 10, 5, 2, 1)
_STEEPEST = 16.0
"""Degrees on paper that the largest angle may reach."""
_MOST_LETTERS = 14


def draw(data: Mapping[str, Any], earlier: Mapping[str, Any], ground: str) -> Sheet:
    """Front at the top. Latest solid, the run before dashed; a marked wheel has thick lines.

    wheels: code (fl, fr, rl, rr), label, toe in degrees (in +) or None, lines of words, marked;
    thrust, lead: degrees, right +, or None; notes: lines under the drawing.
    """
    wheels = {str(one["code"]): one for one in data["wheels"]}
    before = {str(one["code"]): one for one in earlier.get("wheels", ())}
    if not wheels:
        raise ChartError("there is no wheel to draw")
    for code in (*wheels, *before):
        if len(code) != 2 or code[0] not in _AXLE or code[1] not in _SIDE:
            raise ChartError(f"wheel {code!r} is none of fl, fr, rl, rr")
    angles = [one.get("toe") for one in (*wheels.values(), *before.values())]
    angles += [part.get(key) for part in (data, earlier) for key in ("thrust", "lead")]
    largest = max((abs(number(a, "angle")) for a in angles if a is not None), default=0.0)
    times = next((n for n in _TIMES if largest * n <= _STEEPEST), 1)
    notes = [str(note) for note in data.get("notes", ())]
    said = f"Angles drawn {times} times as large." if times > 1 else "Angles drawn as they are."
    sheet = Sheet(_FOOT + 22 + 17 * len(notes))
    sheet.line([(_MIDDLE, _TOP), (_MIDDLE, _FOOT - 8)], 1, "14 4 3 4")
    sheet.strokes([((_SIDE["l"], y), (_SIDE["r"], y)) for y in _AXLE.values()], 1)
    sheet.text(_MIDDLE, _TOP - 12, "front", anchor="middle")
    for code, one in before.items():
        if one.get("toe") is not None:
            sheet.line(_outline(code, number(one["toe"], "toe") * times), 1.6, "5 3")
    for code, one in wheels.items():
        _wheel(sheet, code, one, times)
    _heading(sheet, "r", earlier.get("thrust"), times, old=True)
    _heading(sheet, "r", data.get("thrust"), times)
    _heading(sheet, "f", data.get("lead"), times)
    sheet.text(2, _FOOT + 14, said)
    if before:
        sheet.line([(236, _FOOT + 10), (262, _FOOT + 10)], 1.6, "5 3")
        sheet.text(268, _FOOT + 14, "before")
    for index, note in enumerate(notes):
        sheet.text(2, _FOOT + 14 + 17 * (index + 1), shortened(note, 52))
    return sheet


def _outline(code: str, degrees: float) -> list[tuple[float, float]]:
    """The tread from above, turned by its toe: in is to the right on the left side."""
    x, y = _SIDE[code[1]], _AXLE[code[0]]
    turn = math.radians(degrees if code[1] == "l" else -degrees)
    ahead = (math.sin(turn), -math.cos(turn))
    across = (math.cos(turn), math.sin(turn))
    corners = []
    for along, aside in ((1, -1), (1, 1), (-1, 1), (-1, -1), (1, -1)):
        corners.append(
            (
                x + along * ahead[0] * _LENGTH / 2 + aside * across[0] * _BREADTH / 2,
                y + along * ahead[1] * _LENGTH / 2 + aside * across[1] * _BREADTH / 2,
            )
        )
    return corners


def _wheel(sheet: Sheet, code: str, one: Mapping[str, Any], times: int) -> None:
    marked, toe = bool(one.get("marked")), one.get("toe")
    if toe is None:
        sheet.line(_outline(code, 0.0), 1, "2 4")
    else:
        sheet.line(_outline(code, number(toe, "toe") * times), 4.5 if marked else 2.6)
    left = code[1] == "l"
    x = 92.0 if left else WIDTH - 92.0
    y = _AXLE[code[0]] - 24
    for index, words in enumerate((str(one["label"]), *one.get("lines", ()))):
        weight = 500 if index == 0 else 600 if marked and index == 1 else 400
        anchor = "end" if left else "start"
        words = shortened(str(words), _MOST_LETTERS)
        sheet.text(x, y + 16 * index, words, anchor=anchor, weight=weight)


def _heading(sheet: Sheet, axle: str, degrees: Any, times: int, *, old: bool = False) -> None:
    """Where a pair of wheels points: a line from the middle of its axle, with a head."""
    if degrees is None:
        return
    turn = math.radians(number(degrees, "thrust or lead") * times)
    reach = 132.0 if axle == "r" else 46.0
    start = (_MIDDLE, _AXLE[axle])
    ahead = (math.sin(turn), -math.cos(turn))
    end = (start[0] + ahead[0] * reach, start[1] + ahead[1] * reach)
    sheet.line([start, end], 1.6 if old else 2.2, "5 3" if old else "")
    if old:
        return
    wings = []
    for side in (1, -1):
        wing = turn + side * math.radians(155)
        wings.append((end, (end[0] + 9 * math.sin(wing), end[1] - 9 * math.cos(wing))))
    sheet.strokes(wings, 2.2)
