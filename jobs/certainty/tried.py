"""What was tried to bring a complaint about, out of a ticket's tests: when, how far, under what."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from django.utils.translation import gettext as _

from jobs import words
from jobs.certainty import untried
from jobs.certainty.untried import Answer
from jobs.report.wording import day
from measurements.core.procedure import Fixed, Grid
from measurements.core.units import show_value
from measurements.models import Run
from measurements.procedures import PROCEDURES

if TYPE_CHECKING:
    from jobs.ticket_view import EntryView, TicketView

TRIES, DRIVE = "make_it_happen", "road_test"
"""Procedures that are made to bring a complaint about."""


@dataclass(frozen=True)
class Tried:
    """All that was tried for one complaint. lines: each test in words, with the digest of its run;
    untried: what was told and no test covered, in the customer's words; there: entries of tests
    during which it was happening after all."""

    lines: list[dict[str, str]]
    untried: list[str]
    there: list[int]


def tried_for(view: TicketView, complaint: EntryView) -> Tried:
    """What the ticket's tests tried for a complaint, oldest first."""
    tests = [item for item in view.tests if _is_of(view, complaint, item)]
    covered = {answer for item in tests for answer in _covers(item.link.run)}
    open_answers = untried.untried(
        complaint.data.get("conditions", {}),
        covered,
        as_told=any(_tries(item.link.run).get("as_told") for item in tests),
    )
    return Tried(
        lines=[
            {"run": item.link.run.digest, "words": _line(item)}
            for item in tests
            if item.link.fault_present == "no"
        ],
        untried=[words.CONDITIONS[name].answers.customer(code) for name, code in open_answers],
        there=[item.entry.seq for item in tests if item.link.fault_present == "yes"],
    )


def appeared_since(view: TicketView, item: EntryView) -> list[int]:
    """Tests made after the fault was said not to have appeared, during which it was there."""
    uid = item.data["complaint"]
    complaint = next((one for one in view.complaints if one.data["uid"] == uid), None)
    if complaint is None:
        return []
    return [no for no in tried_for(view, complaint).there if no > item.entry.seq]


def _is_of(view: TicketView, complaint: EntryView, test: EntryView) -> bool:
    named = str(test.link.complaint_uid or "")
    return named == complaint.data["uid"] or (not named and len(view.complaints) == 1)


# --- in words ----------------------------------------------------------------------------------


def _line(item: EntryView) -> str:
    """ "Test 5 on 3 May 2026, road test: engine hot, 31 km, dry"."""
    run = item.link.run
    heat = {"hot": _("engine hot"), "cold": _("engine cold"), "driving": _("driving")}
    told = [heat.get(run.state_of_car, ""), _distance(run), *_said(run), *_times(run)]
    line = _("Test %(no)s on %(day)s, %(title)s") % {
        "no": item.entry.seq,
        "day": day(run.measured_at),
        "title": item.run.title,
    }
    under = ", ".join(part for part in told if part)
    return f"{line}: {under}" if under else line


def _distance(run: Run) -> str:
    driven = next((f.value for f in run.figures.all() if f.key == "driven"), None)
    return "" if driven is None else show_value(driven, "distance", places=0)


def _said(run: Run) -> Iterator[str]:
    """What was said of road, weather and load."""
    if run.procedure != DRIVE:
        return
    typed, given = run.data["typed"], {one.key: one for one in PROCEDURES[DRIVE].given}
    for key in ("road", "weather", "load", "route"):
        text = _text(typed.get(f"given.{key}"))
        yield str(getattr(given[key], "choices", {}).get(text, text))


def _times(run: Run) -> Iterator[str]:
    """How often it was tried, row by row: "as told (5 times)"."""
    counts = _tries(run)
    for row in _rows(run.procedure):
        if times := counts.get(row[0]):
            yield _("%(what)s (%(n)s times)") % {"what": row[1], "n": times}


def _rows(procedure: str) -> list[tuple[str, str]]:
    if procedure != TRIES:
        return []
    grid: Grid = PROCEDURES[TRIES].grids[0]
    return [(row.code, row.label) for row in grid.axis.rows] if isinstance(grid.axis, Fixed) else []


# --- what a test covers --------------------------------------------------------------------------


def _covers(run: Run) -> Iterator[Answer]:
    if run.state_of_car in ("hot", "cold"):
        yield "engine_temperature", run.state_of_car
    for code in _tries(run):
        yield from untried.OF_A_TRY.get(code, ())
    if run.procedure == DRIVE:
        yield from _on_the_road(run)


def _on_the_road(run: Run) -> Iterator[Answer]:
    typed = run.data["typed"]
    road = _text(typed.get("given.road"))
    if road in ("dry", "wet"):
        yield "weather", road
    if _text(typed.get("given.load")):
        yield "loads_on", "laden"
    values = {(r.row, r.column): r for r in run.readings.all()}
    for point, reading in {row: r for (row, column), r in values.items() if column == "noticed"}.items():
        if reading.typed == "not_tried":
            continue
        phase = _phase(values, point)
        if phase in untried.OF_A_PHASE:
            yield "driving_state", untried.OF_A_PHASE[phase]
        if (speed := _value(values, point, "speed")) is not None:
            yield "speed_band", untried.speed_band(speed)
        if (rpm := _value(values, point, "rpm")) is not None:
            yield "engine_speed_band", untried.engine_speed_band(rpm)


def _tries(run: Run) -> dict[str, int]:
    """Row -> how often it was tried, at least once."""
    if run.procedure != TRIES:
        return {}
    return {
        reading.row: int(reading.value)
        for reading in run.readings.all()
        if reading.column == "tried" and reading.value
    }


def _text(typed: Any) -> str:
    """What was typed, with or without its unit beside it."""
    return str(typed[0] if isinstance(typed, (list, tuple)) else typed or "").strip()
