"""The engine from above its banks: every cylinder as a bore with what was measured and seen."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from measurements.core.charts.sheet import (
    WIDTH,
    ChartError,
    Scale,
    Sheet,
    error_bar,
    number,
    shortened,
    tick_words,
)

_LEFT = 40.0
_BORE, _EMPTY_BORE = 66.0, 30.0
_ABOVE, _BELOW, _LINE = 24.0, 16.0, 16.0
_BESIDE = 6.0  # a letter, as wide as it is on average

# What a line of words under a bore is called, and the key that it shows.
_LINES = (
    ("dry", "dry"),
    ("oiled", "wet"),
    ("leak", "leak"),
    ("air", "air_word"),
    ("and at", "air_more"),
    ("plug", "plug"),
)


def draw(data: Mapping[str, Any], earlier: Mapping[str, Any], ground: str) -> Sheet:
    """A row of bores for each bank, as they stand in the block; odd cylinders have thick walls.

    Inside a bore the pressure: solid line and dot dry, dotted line oiled, hollow dot the run
    before; hatched is what lies below the share of the highest that is asked for. Arrows and
    bubbles show where air leaves. Under it the same in figures and words.
    """
    cylinders = list(data["cylinders"])
    if not cylinders:
        raise ChartError("there is no cylinder to draw")
    banks = sorted({int(one.get("bank", 0)) for one in cylinders})
    members = {b: [c for c in cylinders if int(c.get("bank", 0)) == b] for b in banks}
    before = {str(one["label"]): one for one in earlier.get("cylinders", ())}
    pressures = [
        number(one[key], key)
        for one in (*cylinders, *before.values())
        for key in ("dry", "wet")
        if one.get(key) is not None
    ]
    lines = [(words, key) for words, key in _LINES if any(c.get(key) for c in cylinders)]
    bore = _BORE if pressures else _EMPTY_BORE
    bank_height = _ABOVE + bore + _BELOW + 18 + _LINE * len(lines)
    notes = [str(note) for note in data.get("notes", ())]
    sheet = Sheet(bank_height * len(banks) + 8 * (len(banks) - 1) + 18 * len(notes) + 6)
    pitch = min(72.0, (WIDTH - _LEFT - 4) / max(len(row) for row in members.values()))
    for place, bank in enumerate(banks):
        top = place * (bank_height + 8) + _ABOVE
        scale = Scale(0.0, 1.08 * max([*pressures, 1e-9]), top + bore, top)
        if len(banks) > 1:
            sheet.text(2, top - 8, f"bank {place + 1}", weight=500)
        limit = None if data.get("limit") is None else number(data["limit"], "limit")
        _bank(sheet, members[bank], before, scale, (pitch, top, bore), limit, ground)
        foot = top + bore + _BELOW + 12
        for index, (words, key) in enumerate(lines):
            y = foot + _LINE * (index + 1)
            sheet.text(2, y, words)
            for n, one in enumerate(members[bank]):
                shown = _words(one.get(key), key)
                most = max(4, int(pitch / _BESIDE))
                weight = 600 if one.get("marked") else 400
                x = _LEFT + pitch * (n + 0.5)
                sheet.text(x, y, shortened(shown, most), anchor="middle", weight=weight)
        if place < len(banks) - 1:
            sheet.line(
                [(2, foot + _LINE * len(lines) + 8), (WIDTH - 2, foot + _LINE * len(lines) + 8)],
                1,
                "2 4",
            )
    for index, note in enumerate(notes):
        sheet.text(2, sheet.height - 6 - 18 * (len(notes) - 1 - index), note)
    return sheet


def _words(value: Any, key: str) -> str:
    if value is None or value == "":
        return "–"
    if isinstance(value, str):
        return value
    if key == "leak":
        return f"{number(value):.0f} %".replace("-", "−")
    return f"{number(value):.0f}" if abs(value) >= 10 else tick_words(round(number(value), 1))


def _bank(
    sheet: Sheet,
    members: Sequence[Mapping[str, Any]],
    before: Mapping[str, Mapping[str, Any]],
    scale: Scale,
    box: tuple[float, float, float],
    limit: float | None,
    ground: str,
) -> None:
    pitch, top, bore = box
    half = min(15.0, pitch / 2 - 5)
    foot = top + bore
    for n, one in enumerate(members):
        x = _LEFT + pitch * (n + 0.5)
        left, right = x - half, x + half
        marked = bool(one.get("marked"))
        if limit is not None:
            sheet.hatch(left, scale(limit), right, foot)
        # Head and walls; open below, where the piston runs.
        walls = [(left, foot), (left, top), (right, top), (right, foot)]
        sheet.line(walls, 4 if marked else 1.6)
        old = before.get(str(one["label"]), {}).get("dry")
        if old is not None:
            sheet.line([(left, scale(number(old))), (right, scale(number(old)))], 1.6, "5 3")
            sheet.dot(x, scale(number(old)), hollow=True, ground=ground)
        if one.get("wet") is not None:
            sheet.line(
                [(left, scale(number(one["wet"]))), (right, scale(number(one["wet"])))], 2, "2 3"
            )
        if one.get("dry") is not None:
            dry = number(one["dry"], "dry")
            wide = abs(scale(dry) - scale(dry + 2 * number(one.get("dry_u", 0.0), "dry_u")))
            sheet.line([(left, scale(dry)), (right, scale(dry))], 2.6)
            error_bar(sheet, x, scale(dry), wide, upright=True)
            sheet.dot(x, scale(dry))
        for code in one.get("air", ()):
            _air(
                sheet, str(code), (left, x, right), (top, foot), n > 0, n < len(members) - 1, ground
            )
        label = str(one["label"])
        sheet.text(x, foot + _BELOW + 10, label, anchor="middle", weight=600 if marked else 500)
    if limit is not None:
        end = _LEFT + pitch * len(members)
        sheet.line([(_LEFT, scale(limit)), (end, scale(limit))], 1.6)


def _air(
    sheet: Sheet,
    code: str,
    across: tuple[float, float, float],
    upright: tuple[float, float],
    has_left: bool,
    has_right: bool,
    ground: str,
) -> None:
    """Where air leaves the bore: up to the throttle, up to the tailpipe, down, across, bubbles."""
    (left, x, right), (top, foot) = across, upright
    if code == "throttle":
        _arrow(sheet, (left + 5, top), (left - 3, top - 12))
    elif code == "tailpipe":
        _arrow(sheet, (right - 5, top), (right + 3, top - 12))
    elif code == "filler":
        _arrow(sheet, (x, foot - 2), (x, foot + 11))
    elif code == "coolant":
        for step, radius in ((5, 1.8), (10, 2.4), (16, 3.0)):
            sheet.dot(
                x + (2 if step == 10 else -1), top - step, hollow=True, radius=radius, ground=ground
            )
    elif code == "neighbour":
        y = top + (foot - top) * 0.6
        if has_left:
            _arrow(sheet, (left, y), (left - 8, y))
        if has_right:
            _arrow(sheet, (right, y), (right + 8, y))


def _arrow(sheet: Sheet, start: tuple[float, float], end: tuple[float, float]) -> None:
    (a, b), (c, d) = start, end
    length = ((c - a) ** 2 + (d - b) ** 2) ** 0.5
    dx, dy = (c - a) / length * 4.5, (d - b) / length * 4.5
    heads = [((c, d), (c - dx + s * dy * 0.7, d - dy - s * dx * 0.7)) for s in (1, -1)]
    sheet.strokes([((a, b), (c, d)), *heads], 1.8)
