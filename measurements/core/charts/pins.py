"""Two connectors side by side, with what leads from pin to pin as far as it is proven."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any

from measurements.core.charts.sheet import WIDTH, ChartError, Sheet, shortened

_LEFT, _RIGHT = 104.0, 216.0
_MIDDLE = WIDTH / 2
_TOP, _STEP = 40.0, 24.0
_STUB = 30.0
_LONGEST = 13

Point = tuple[float, float]


def draw(data: Mapping[str, Any], earlier: Mapping[str, Any], ground: str) -> Sheet:
    """Pins as dots in two columns; a proven wire is a line, an open pin a dashed stub with a stop.

    left, right: label, and pins with name and open (bool); wires: from, to (places in the lists)
    and high (bool: two strokes across); groups: left, right (places of pins that hang together).
    What is not proven has no line. Wires of the earlier drawing, found by the names of their pins,
    are dashed.
    """
    left, right = _column(data["left"]), _column(data["right"])
    if not left[1] and not right[1]:
        raise ChartError("there is no pin to draw")
    foot = _TOP + _STEP * max(len(left[1]), len(right[1]))
    key = _key(data, earlier)
    sheet = Sheet(foot + 8 + 18 * len(key))
    sheet.text(_LEFT, 16, shortened(left[0], _LONGEST), anchor="end", weight=600)
    sheet.text(_RIGHT, 16, shortened(right[0], _LONGEST), weight=600)
    for before, after in _earlier_wires(earlier, left[1], right[1]):
        sheet.line([_at(_LEFT, before), _at(_RIGHT, after)], 1.4, "6 4")
    for wire in data.get("wires", []):
        start, end = _at(_LEFT, int(wire["from"])), _at(_RIGHT, int(wire["to"]))
        sheet.line([start, end], 2.4)
        if wire.get("high"):
            _strokes_across(sheet, start, end)
    for number, group in enumerate(data.get("groups", [])):
        _joined(sheet, group, number, ground)
    for x, column, inward, anchor in ((_LEFT, left, 1.0, "end"), (_RIGHT, right, -1.0, "start")):
        for place, (name, is_open) in enumerate(column[1]):
            _x, y = _at(x, place)
            if is_open:
                stop = x + inward * _STUB
                sheet.line([(x, y), (stop, y)], 1.6, "4 4")
                sheet.line([(stop, y - 6), (stop, y + 6)], 1.6)
            sheet.dot(x, y)
            sheet.text(x - inward * 12, y + 4.5, shortened(name, _LONGEST), anchor=anchor)
    for row, (sample, words) in enumerate(key):
        y = foot + 16 + 18 * row
        sample(sheet, y - 4, ground)
        sheet.text(50, y, words)
    return sheet


def _column(side: Mapping[str, Any]) -> tuple[str, list[tuple[str, bool]]]:
    pins = [(str(pin["name"]), bool(pin.get("open"))) for pin in side["pins"]]
    return str(side.get("label", "")), pins


def _at(x: float, place: int) -> Point:
    return x, _TOP + _STEP * place


def _strokes_across(sheet: Sheet, start: Point, end: Point) -> None:
    x, y = (start[0] + end[0]) / 2, (start[1] + end[1]) / 2
    sheet.strokes([((x - 6 + d, y + 7), (x + d, y - 7)) for d in (0.0, 6.0)], 1.6)


def _joined(sheet: Sheet, group: Mapping[str, Any], number: int, ground: str) -> None:
    """All pins of a group meet in one hollow dot."""
    ends = [_at(_LEFT, int(n)) for n in group.get("left", [])]
    ends += [_at(_RIGHT, int(n)) for n in group.get("right", [])]
    # Pins of one side only meet near them; several groups do not meet in one place.
    one_side = len({x for x, _y in ends}) == 1
    x = ends[0][0] + (30 if ends[0][0] == _LEFT else -30) if one_side else _MIDDLE
    x += 8.0 * (number % 3)
    y = sum(y for _x, y in ends) / len(ends)
    for end in ends:
        sheet.line([end, (x, y)], 2.4)
    sheet.dot(x, y, hollow=True, radius=5, ground=ground)


def _earlier_wires(
    earlier: Mapping[str, Any],
    left: Sequence[tuple[str, bool]],
    right: Sequence[tuple[str, bool]],
) -> list[tuple[int, int]]:
    """Places of the pins that the earlier drawing joins, where both are still there."""
    if not earlier:
        return []
    ours = {name: n for n, (name, _open) in enumerate(left)}
    theirs = {name: n for n, (name, _open) in enumerate(right)}
    old_left, old_right = _column(earlier["left"])[1], _column(earlier["right"])[1]
    found = []
    for wire in earlier.get("wires", []):
        start, end = old_left[int(wire["from"])][0], old_right[int(wire["to"])][0]
        if start in ours and end in theirs:
            found.append((ours[start], theirs[end]))
    return found


def _key(
    data: Mapping[str, Any], earlier: Mapping[str, Any]
) -> list[tuple[Callable[[Sheet, float, str], None], str]]:
    """Samples of the lines that occur, with their meaning."""
    wires = data.get("wires", [])
    opens = any(pin.get("open") for side in ("left", "right") for pin in data[side]["pins"])
    rows: list[tuple[bool, Callable[[Sheet, float, str], None], str]] = [
        (bool(wires), lambda s, y, _g: s.line([(10, y), (42, y)], 2.4), "proven"),
        (any(w.get("high") for w in wires), _high_sample, "proven, resists too much"),
        (opens, _open_sample, "leads to none of the other pins"),
        (bool(data.get("groups")), _group_sample, "hangs together with more than one"),
        (bool(earlier), lambda s, y, _g: s.line([(10, y), (42, y)], 1.4, "6 4"), "before"),
    ]
    return [(sample, words) for occurs, sample, words in rows if occurs]


def _high_sample(sheet: Sheet, y: float, ground: str) -> None:
    del ground
    sheet.line([(10, y), (42, y)], 2.4)
    _strokes_across(sheet, (10, y), (42, y))


def _open_sample(sheet: Sheet, y: float, ground: str) -> None:
    del ground
    sheet.line([(10, y), (38, y)], 1.6, "4 4")
    sheet.line([(38, y - 6), (38, y + 6)], 1.6)


def _group_sample(sheet: Sheet, y: float, ground: str) -> None:
    sheet.line([(10, y), (42, y)], 2.4)
    sheet.dot(26, y, hollow=True, radius=5, ground=ground)
