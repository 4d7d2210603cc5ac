"""The engine picture of a ticket: what its tests by cylinder say, on one drawing."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from jobs.models import Entry, RunLink
from measurements.actions.runs import read
from measurements.core import chart
from measurements.core.engine_picture import OF_TESTS, picture
from measurements.models import Run


@dataclass(frozen=True)
class EngineView:
    """chart: the drawing; tests: numbers of the entries that it was made from, in their order."""

    chart: str
    tests: list[int]


def engine_view(made: Iterable[tuple[int, Run]], *, ground: str, name: str) -> EngineView | None:
    """The picture out of tests by number of their entry; None for fewer than two kinds of test.

    Of each kind the last one measured counts. name: prefix of ids, one for each place on a page.
    """
    latest: dict[str, tuple[int, Run]] = {}
    for seq, run in sorted(made, key=lambda item: (item[1].measured_at, item[0])):
        if run.procedure in OF_TESTS:
            latest[run.procedure] = (seq, run)
    charts = {seq: dict(read(run).assessment.chart) for seq, run in latest.values()}
    charts = {seq: data for seq, data in charts.items() if data}
    if len(charts) < 2:
        return None
    return EngineView(
        chart.draw(picture(list(charts.values())), ground=ground, name=name), sorted(charts)
    )


def beside(entry: Entry, run: Run, *, ground: str) -> EngineView | None:
    """The picture for the page of one test: this one, and the others of its ticket that count.

    One query more, and only for the tests that can be in it. None for a test that was replaced.
    """
    if run.procedure not in OF_TESTS or getattr(entry, "replaced_by", None):
        return None
    others = (
        RunLink.objects.current()
        .filter(ticket=entry.ticket_id, run__procedure__in=OF_TESTS)
        .exclude(run__procedure=run.procedure)
        .select_related("run", "entry")
    )
    made = [(other.entry.seq, other.run) for other in others]
    return engine_view([(entry.seq, run), *made], ground=ground, name="engine")
