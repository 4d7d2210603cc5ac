"""The form page of one test: its two forms, the context that they give, and what may be carried."""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import cached_property
from typing import Any

from django.urls import reverse
from django.utils import timezone
from django.utils.formats import date_format

from jobs import logs
from jobs.actions import runs
from jobs.forms.conditions import NO_COMPLAINT, ConditionsForm
from jobs.models import Entry, RunLink, Ticket
from jobs.templatetags.record import NO_BREAK_SPACE, spaced
from jobs.waiting_photos import Waiting, by_row, waiting_in
from measurements.actions.runs import read
from measurements.core.context import Context
from measurements.core.logs.file import Files
from measurements.core.procedure import Choice, Flag, Free, Procedure, Quantity
from measurements.core.typed import with_unit
from measurements.forms.run_form import RunForm, form_for
from measurements.models import Run

LIVE_BYTES = 5_000_000
"""A larger log is judged when the form is saved, or when it is asked for: not while typing."""


class RunPage:
    """Build it once a request: `data` of a form to be saved, or `shown` to show or judge."""

    def __init__(
        self,
        ticket: Ticket,
        procedure: Procedure,
        *,
        data: Mapping[str, Any] | None = None,
        shown: Mapping[str, Any] | None = None,
        corrects: Entry | None = None,
        again: Run | None = None,
        judges_all: bool = False,
    ) -> None:
        self.judges_all = judges_all or data is not None
        self.upload_refused = ""
        self._prepared: runs.Prepared | None = None
        self.ticket, self.procedure = ticket, procedure
        self.corrects, self.again = corrects, again
        self.data, self.shown = data, dict(shown or {})

    @cached_property
    def conditions(self) -> ConditionsForm:
        """Which complaint, was it there, engine, instruments."""
        return ConditionsForm(
            self.ticket,
            self.procedure,
            self.data,
            initial=self.shown,
            corrects=self.corrects is not None,
        )

    @cached_property
    def context(self) -> Context:
        """What judging may use beside the readings, as the form stands."""
        asked = self.conditions
        return runs.context_for(
            ticket=self.ticket,
            procedure=self.procedure,
            instruments=asked.instruments,
            complaint_uid=asked.complaint_uid,
            fault_present=asked.fault_present,
            state_of_car=asked.state_of_car,
            but=self.corrects.run_link.run if self.corrects else None,
        )

    @cached_property
    def form(self) -> RunForm:
        """The readings."""
        return form_for(
            self.procedure,
            self.context,
            self.data,
            initial=self.shown,
            carry=self.carry,
            files=self.files,
            reads_files=not self.waits,
            waiting=by_row(self.waiting_photos),
        )

    @cached_property
    def files(self) -> Files:
        """The logs that stand in the form."""
        return logs.files_for(self.procedure, self.shown if self.data is None else self.data)

    @cached_property
    def waits(self) -> bool:
        """A log stands in the form that is too large to be judged while somebody types."""
        return not self.judges_all and logs.size_of(self.files) > LIVE_BYTES

    @property
    def waiting_photos(self) -> list[Waiting]:
        """Photos that are stored and go with this test once it is saved."""
        return waiting_in(self.shown if self.data is None else self.data)

    @property
    def forms(self) -> list[Any]:
        """Both, for the list of faults."""
        return [self.conditions, self.form]

    @property
    def faults(self) -> list[dict[str, str]]:
        """What stops the form, each with its row's name and the address of its field."""
        from shop.templatetags.look import faults_of

        if self.data is None:
            return []
        return faults_of(self.conditions) + self.form.named_faults

    def is_valid(self) -> bool:
        """Nothing is refused in either form."""
        valid = [form.is_valid() for form in self.forms]  # both, so that all faults are listed
        return all(valid)

    @property
    def fault_present(self) -> str:
        """Whether the complaint was there during the test, as asked or as the readings say."""
        shown = self.procedure.fault_shown
        return shown(self.form.checked.readings) if shown else self.conditions.fault_present

    def prepare(self) -> None:
        """Judge what will be recorded: before the transaction, since a long log takes seconds."""
        asked = self.conditions
        self._prepared = runs.prepare(
            ticket=self.ticket,
            procedure=self.procedure,
            typed=self.form.typed,
            files=self.files,
            instruments=asked.instruments,
            complaint_uid=asked.complaint_uid,
            fault_present=self.fault_present,
            state_of_car=asked.state_of_car,
            but=self.corrects.run_link.run if self.corrects else None,
            measured_at=asked.cleaned_data["measured_at"] or self._measured_before,
        )

    def save(self, by: Any) -> Entry:
        """Record the test, as it was prepared."""
        asked = self.conditions
        return runs.record_test(
            ticket=self.ticket,
            procedure=self.procedure.name,
            typed=self.form.typed,
            by=by,
            complaint_uid=asked.complaint_uid,
            fault_present=self.fault_present,
            state_of_car=asked.state_of_car,
            again_of=self.again,
            prepared=self._prepared,
            instruments=asked.instruments,
            subject=asked.cleaned_data.get("subject", ""),
            measured_at=asked.cleaned_data["measured_at"] or self._measured_before,
            corrects=self.corrects,
            why=asked.cleaned_data.get("why", ""),
            **asked.sending,
        )

    @property
    def _measured_before(self) -> Any:
        """A correction does not move a test in time."""
        return self.corrects.run_link.run.measured_at if self.corrects else None

    # --- what earlier tests offer ---------------------------------------------------------------

    @cached_property
    def _earlier(self) -> list[Run]:
        """The latest tests of this procedure on this car that count."""
        found = Run.objects.of(self.ticket.car, self.procedure.name).filter(
            link__entry__replaced_by=None
        )
        if self.corrects:
            found = found.exclude(pk=self.corrects.run_link.run_id)
        return list(found.select_related("link")[:5])

    @cached_property
    def carry(self) -> dict[str, dict[str, str]]:
        """Values of the last test that may be taken over with one tap: facts, never readings.

        What was told (a rating, a maker's figure) holds for the car; what was measured beside the
        readings is offered from this visit only.
        """
        found: dict[str, dict[str, str]] = {}
        if self.corrects:
            return found
        entries = {f"given.{e.key}": e for e in self.procedure.given if isinstance(e, Quantity)}
        for run in self._earlier:
            here = run.link.ticket_id == self.ticket.pk
            for item in run.data["readings"]:
                address, entry = item["address"], entries.get(item["address"])
                if entry is None or address in found or self.shown.get(address):
                    continue
                if entry.origin != "measured" or (here and not self._closes(entry)):
                    local = timezone.localtime(run.measured_at)
                    at = date_format(local, "H:i" if here else "j F Y")
                    value = _with_unit(item)
                    found[address] = {"value": value, "shown": _spaced(value), "at": at}
        return found

    def _closes(self, entry: Quantity) -> bool:
        """A whole that is measured with its parts is a reading, not a fact."""
        columns = [column for grid in self.procedure.grids for column in grid.columns]
        return any(getattr(column, "quantity", "") == entry.quantity for column in columns)

    # --- what a new form starts with ------------------------------------------------------------

    def start(self) -> dict[str, Any]:
        """What stands in a form that nobody has typed in.

        Instruments and complaint of the visit's last test, but not the engine's state, which
        changes by itself; the facts of the test that is repeated; or all of the one corrected.
        """
        if self.corrects:
            return self._of_corrected(self.corrects.run_link)
        started = self._inherited()
        if self.again is not None:
            started |= self._of_repeated(self.again)
        return started

    def _inherited(self) -> dict[str, Any]:
        last = (
            self.ticket.run_links.current().select_related("run").order_by("-run__measured_at")
        ).first()
        if last is None:
            return {}
        found = {f"tool_{kind}": pk for kind, pk in last.run.data.get("instruments", {}).items()}
        if last.complaint_uid:
            found["complaint"] = str(last.complaint_uid)
        return found

    def _of_repeated(self, run: Run) -> dict[str, Any]:
        """Choices, names and told facts; what is measured is measured again."""
        keep = {
            f"given.{e.key}"
            for e in self.procedure.given
            if isinstance(e, Choice) or (e.origin != "measured" and not isinstance(e, Flag))
        }
        named = {
            (grid.key, column)
            for grid in self.procedure.grids
            for column in (grid.axis.own if isinstance(grid.axis, Free) else ())
        }
        found = _fields(
            run,
            lambda a: a in keep or (a.split(".")[0], a.rsplit(".", 1)[-1]) in named,
        )
        return (
            found
            | {"state_of_car": run.state_of_car, "subject": _subject(run)}
            | {f"tool_{kind}": pk for kind, pk in run.data.get("instruments", {}).items()}
        )

    def _of_corrected(self, link: RunLink) -> dict[str, Any]:
        run = link.run
        return (
            _fields(run, lambda _address: True)
            | {
                "state_of_car": run.state_of_car,
                "fault_present": link.fault_present,
                "complaint": str(link.complaint_uid) if link.complaint_uid else NO_COMPLAINT,
                "subject": _subject(run),
            }
            | {f"tool_{kind}": pk for kind, pk in run.data.get("instruments", {}).items()}
        )

    # --- for the template -----------------------------------------------------------------------

    @property
    def draft_kind(self) -> str:
        """Under which a half-filled form is kept."""
        if self.corrects:
            return f"{self.procedure.name[:40]} {self.corrects.seq}"
        return self.procedure.name

    @property
    def cautions(self) -> list[Any]:
        """Before the first field."""
        return list(self.procedure.cautions_for(self.context))

    @property
    def not_for(self) -> str:
        """Why the test does not apply to this car, "" if it does."""
        return self.procedure.not_for(self.context) if self.procedure.not_for else ""

    @property
    def draft_url(self) -> str:
        """Where the form is kept while it is typed."""
        return reverse("test-draft", args=[self.ticket.number, self.procedure.name])

    @property
    def so_far(self) -> dict[str, Any]:
        """What the readings say as the form stands: pattern, sentences, chart; never recorded."""
        from jobs.run_view import ON_PAGE
        from measurements.core import chart

        form, judged = self.form, self.form.assessment
        pattern = self.procedure.pattern(judged.pattern)
        begun = any(not a.startswith("ready.") for a in form.checked.readings.by_address)
        return {
            "begun": begun,
            "waits": self.waits,
            "pattern": pattern.label,
            "sentences": [sentence.text for sentence in judged.technician],
            "confounders": [self.procedure.confounder(code).text for code in judged.confounders],
            "next": form.proposals,
            "chart": chart.draw(judged.chart, ground=ON_PAGE, name="sofar"),
            "sources": list(
                dict.fromkeys(v.source.words for v in judged.verdicts if v.source is not None)
            ),
        }


def _with_unit(reading: Mapping[str, Any]) -> str:
    """A stored reading as typed, with its unit where the text has none."""
    return with_unit(reading["typed"].strip(), reading["typed_unit"] or reading["unit"])


def _spaced(value: str) -> str:
    """A typed value as numbers are printed: 30 000 km. What is filled in stays as typed, since the
    parser takes no spaces inside a number."""
    found = re.match(r"([0-9]+)([^0-9.,].*)?\Z", value)
    if found is None:
        return value
    unit = (found[2] or "").strip()
    return NO_BREAK_SPACE.join(part for part in (spaced(int(found[1])), unit) if part)


def _fields(run: Run, wanted: Any) -> dict[str, str]:
    """A run's typed readings as form fields, the unit written out where it was chosen apart."""
    found = {}
    for address, (text, unit) in read(run).typed.items():
        if wanted(address):
            found[address] = with_unit(text, unit)
    return found


def _subject(run: Run) -> str:
    return run.subject.partition(":")[2]
