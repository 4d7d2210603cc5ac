"""One picture of an engine out of the charts of its tests by cylinder.

Pressures, leak-down and the look of the plugs, each from its own test, laid on the engine as it
stands. Nothing is judged here: what is marked was marked by its test.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from measurements.core.units import show_value

Chart = Mapping[str, Any]

OF_TESTS = ("compression", "leak_down", "spark_plugs")
"""Procedures whose charts make the picture."""

_SENTENCES = {
    "title": "The engine by cylinder. {cylinders}.",
    "cylinder": "Cylinder {number}: {seen}",
    "dry": "{pressure} dry",
    "wet": "{pressure} with oil",
    "leak": "leaks {percent}",
    "air": "air heard at {where}",
    "plug": "plug {look}",
    "nothing": "nothing noted",
    "note.pressure": "Solid line dry{oiled}; {unit} from nought at the foot.",
    "note.oiled": ", dotted oiled",
    "note.limit": "Hatched: below {share} of the highest.",
}


def picture(charts: Sequence[Chart]) -> dict[str, Any]:
    """Chart data of kind "engine" out of those of single tests, the oldest first.

    Takes charts of kind "engine" (compression, leak-down) and "cylinders" (plugs: `word`). Where
    two tell the same of a cylinder the later one counts; the latest test's engine is drawn.
    """
    layout = next((c for c in reversed(charts) if c.get("kind") in ("engine", "cylinders")), None)
    if layout is None:
        return {}
    told: dict[str, dict[str, Any]] = {}
    for chart in charts:
        for one in _cylinders_of(chart):
            known = told.setdefault(str(one["label"]), {"label": str(one["label"]), "bank": 0})
            known |= {key: value for key, value in one.items() if value not in (None, "", [])}
            known["marked"] = bool(known.get("marked")) or bool(one.get("marked"))
    order = {str(one["label"]): int(one.get("bank", 0)) for one in _cylinders_of(layout)}
    drawn = [told[label] | {"bank": bank} for label, bank in order.items()]
    drawn += [one for label, one in told.items() if label not in order]
    pressures = next((c for c in reversed(charts) if c.get("unit") and "share" in c), {})
    return engine_chart(
        drawn,
        layout=str(layout.get("layout", "")),
        unit=str(pressures.get("unit", "")),
        limit=pressures.get("limit"),
        share=str(pressures.get("share", "")),
    )


def engine_chart(
    cylinders: Iterable[Mapping[str, Any]],
    *,
    layout: str,
    unit: str = "",
    limit: float | None = None,
    share: str = "",
) -> dict[str, Any]:
    """Chart data of kind "engine" with a title that tells the whole of it.

    cylinders: in block order, each with `label`, `bank` from 0 and `marked`, and as far as known
    `dry`, `dry_u`, `wet` (in `unit`), `leak` (per cent), `air` (codes of the drawing), `air_word`
    and `air_more` (short), `air_said`, and `plug`; limit: pressure in `unit` below which a bore is
    hatched, which is `share` of the highest.
    """
    drawn = [dict(one) for one in cylinders]
    oiled = any(one.get("wet") is not None for one in drawn)
    notes = []
    if any(one.get("dry") is not None for one in drawn):
        notes.append(_say("note.pressure", oiled=_say("note.oiled") if oiled else "", unit=unit))
    if limit is not None:
        notes.append(_say("note.limit", share=share))
    return {
        "kind": "engine",
        "title": _say("title", cylinders="; ".join(_told(one, unit) for one in drawn)),
        "layout": layout,
        "unit": unit,
        "limit": limit,
        "share": share,
        "notes": notes,
        "cylinders": drawn,
    }


def _cylinders_of(chart: Chart) -> list[dict[str, Any]]:
    if chart.get("kind") == "engine":
        return [dict(one) for one in chart["cylinders"]]
    if chart.get("kind") != "cylinders":
        return []
    return [
        {
            "label": str(row["label"]),
            "bank": int(row.get("bank", 0)),
            "plug": str(row.get("word", "")),
            "marked": bool(row.get("marked")),
        }
        for row in chart["rows"]
    ]


def _told(one: Mapping[str, Any], unit: str) -> str:
    seen = [
        _say(key, pressure=f"{one[key]:.4g} {unit}".strip())
        for key in ("dry", "wet")
        if one.get(key) is not None
    ]
    if one.get("leak") is not None:
        seen.append(_say("leak", percent=show_value(one["leak"], "ratio", places=0)))
    if one.get("air_said"):
        seen.append(_say("air", where=one["air_said"]))
    if one.get("plug"):
        seen.append(_say("plug", look=one["plug"]))
    return _say("cylinder", number=one["label"], seen=", ".join(seen) or _say("nothing"))


def _say(id: str, **params: str) -> str:
    return _SENTENCES[id].format(**params)
