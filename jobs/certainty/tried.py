"""What was tried to bring a complaint about, out of a ticket's tests: when, how far, under what."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from jobs import words
from jobs.certainty import untried
from jobs.certainty.untried import Answer
from jobs.report.wording import day
from measurements.actions.runs import read
from measurements.core.readings import Readings, RowReadings
from measurements.core.units import show_value
from measurements.models import Run
from measurements.procedures import PROCEDURES
from measurements.procedures.make_it_happen import AS_TOLD

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
        as_told=any(_as_told(item.link.run) for item in tests),
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
    """What was said of road, weather, load and route."""
    if run.procedure != DRIVE:
        return
    readings, fields = read(run).readings, {one.key: one for one in PROCEDURES[DRIVE].given}
    for key in ("road", "weather", "load", "route"):
        said = str(readings.given(key) or "")
        yield str(getattr(fields[key], "choices", {}).get(said, said))


def _times(run: Run) -> Iterator[str]:
    """How often it was tried, row by row: "as told (5 times)"."""
    for row, times in _tries(run):
        yield ngettext("%(what)s (once)", "%(what)s (%(n)s times)", times) % {
            "what": row.label,
            "n": times,
        }


# --- what a test covers --------------------------------------------------------------------------


def _covers(run: Run) -> Iterator[Answer]:
    if run.state_of_car in ("hot", "cold"):
        yield "engine_temperature", run.state_of_car
    for row, _times in _tries(run):
        yield from untried.OF_A_TRY.get(row.code, ())
    if run.procedure == DRIVE:
        yield from _on_the_road(read(run).readings)


def _on_the_road(readings: Readings) -> Iterator[Answer]:
    if (road := readings.given("road")) in ("dry", "wet"):
        yield "weather", road
    if readings.given("load"):
        yield "loads_on", "laden"
    for row in readings.rows("points"):
        if row.value("noticed") in (None, "", "not_tried"):
            continue
        if (doing := untried.OF_A_PHASE.get(str(row.value("phase")))) is not None:
            yield "driving_state", doing
        if (speed := row.value("speed")) is not None:
            yield "speed_band", untried.speed_band(speed)
        if (rpm := row.value("rpm")) is not None:
            yield "engine_speed_band", untried.engine_speed_band(rpm)


def _as_told(run: Run) -> bool:
    return any(row.code == AS_TOLD for row, _times in _tries(run))


def _tries(run: Run) -> list[tuple[RowReadings, int]]:
    """Conditions under which it was tried, with how often, at least once."""
    if run.procedure != TRIES:
        return []
    return [
        (row, int(tried))
        for row in read(run).readings.rows("tries")
        if (tried := row.value("tried"))
    ]
