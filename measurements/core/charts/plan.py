"""The car from above, nose up, with what was seen at each part of it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from measurements.core.charts.sheet import ChartError, Sheet, shortened

_LEFT, _RIGHT, _WORDS, _TOP = 12.0, 76.0, 92.0, 10.0
_LINE, _HEAD, _LEAST = 19.0, 21.0, 52.0
_LONGEST = 33


@dataclass(frozen=True)
class _Zone:
    """marks: what was seen there; gone: what only the earlier run saw; note: stands for none."""

    label: str
    marks: tuple[str, ...]
    gone: tuple[str, ...]
    note: str
    beneath: bool

    @property
    def height(self) -> float:
        lines = len(self.marks) + len(self.gone) or 1
        return max(_LEAST, _HEAD + _LINE * lines + 8)


def draw(data: Mapping[str, Any], earlier: Mapping[str, Any], ground: str) -> Sheet:
    """A band of the car for each zone, hatched where something was seen, its words beside it.

    zones: label, marks (words), note (where there are none), beneath (below the car, no band of
    it). What only an earlier run saw is hollow and struck out.
    """
    before = {
        str(zone["label"]): [str(mark) for mark in zone["marks"]]
        for zone in earlier.get("zones", ())
    }
    zones = [_read(zone, before) for zone in data["zones"]]
    if not any(not zone.beneath for zone in zones):
        raise ChartError("there is no part of the car to draw")
    body = _TOP + sum(zone.height for zone in zones if not zone.beneath)
    foot = _TOP + sum(zone.height for zone in zones)
    gone = any(zone.gone for zone in zones)
    sheet = Sheet(foot + (26 if gone else 6))
    _outline(sheet, body)
    y = _TOP
    for zone in zones:
        _zone(sheet, zone, y, ground)
        y += zone.height
    if gone:
        sheet.dot(_WORDS + 5, foot + 8, hollow=True, ground=ground)
        sheet.text(_WORDS + 15, foot + 12.5, "before")
    return sheet


def _read(zone: Mapping[str, Any], before: Mapping[str, list[str]]) -> _Zone:
    label = str(zone["label"])
    marks = tuple(str(mark) for mark in zone["marks"])
    gone = tuple(mark for mark in before.get(label, []) if mark not in marks)
    return _Zone(label, marks, gone, str(zone.get("note", "")), bool(zone.get("beneath")))


def _outline(sheet: Sheet, foot: float) -> None:
    """The body with a narrower nose and tail, and four wheels."""
    nose, tail = _TOP + 14, foot - 9
    sheet.line(
        [
            (_LEFT + 9, _TOP),
            (_RIGHT - 9, _TOP),
            (_RIGHT, nose),
            (_RIGHT, tail),
            (_RIGHT - 7, foot),
            (_LEFT + 7, foot),
            (_LEFT, tail),
            (_LEFT, nose),
            (_LEFT + 9, _TOP),
        ],
        1.6,
    )
    for y in (_TOP + 24, foot - 34):
        for x in (_LEFT - 3, _RIGHT + 3):
            sheet.line([(x, y), (x, y + 18)], 4)


def _zone(sheet: Sheet, zone: _Zone, top: float, ground: str) -> None:
    foot = top + zone.height
    if zone.beneath:
        sheet.line([(_LEFT - 6, foot - 6), (_RIGHT + 6, foot - 6)], 1.6)
    elif top > _TOP:
        sheet.line([(_LEFT, top), (_RIGHT, top)])
    if zone.marks:
        sheet.hatch(_LEFT + 8, top + 8, _RIGHT - 8, foot - 10)
    sheet.text(_WORDS, top + 15, shortened(zone.label, _LONGEST), weight=600)
    y = top + _HEAD + 13
    for words in zone.marks:
        sheet.dot(_WORDS + 5, y - 4.5)
        sheet.text(_WORDS + 15, y, shortened(words, _LONGEST))
        y += _LINE
    for words in zone.gone:
        said = shortened(words, _LONGEST)
        sheet.dot(_WORDS + 5, y - 4.5, hollow=True, ground=ground)
        sheet.text(_WORDS + 15, y, said)
        sheet.line([(_WORDS + 13, y - 4.5), (_WORDS + 17 + 5.4 * len(said), y - 4.5)], 1.6)
        y += _LINE
    if not zone.marks and not zone.gone:
        sheet.text(_WORDS + 15, y, shortened(zone.note, _LONGEST))
