"""What every test asks beside its readings: which complaint, was it there, engine, instruments."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils import timezone
from django.utils.translation import gettext as _gettext
from django.utils.translation import gettext_lazy as _

from jobs import words
from jobs.forms.typed import Moment
from jobs.models import Complaint, RunLink, Ticket
from measurements.actions import instruments as tools
from measurements.actions.runs import read
from measurements.core.instruments import KINDS, default_instrument
from measurements.core.procedure import Free, Procedure
from measurements.models import Instrument
from measurements.procedures import PROCEDURES
from shop.forms.fields import Line, RecordingForm, Words

NO_COMPLAINT = "none"
STATES = [("cold", _("cold")), ("hot", _("hot")), ("driving", _("driving")), ("", _("not known"))]
EARLIEST = datetime(2000, 1, 1, tzinfo=timezone.get_default_timezone())


class ConditionsForm(RecordingForm):
    """Complaint, whether it was happening just then, engine, instruments, time; why it corrects.

    Nothing of it blocks. What the context of judging needs of it is in the properties below, which
    never fail, so that a half-filled form can be judged as it stands.
    """

    def __init__(
        self,
        ticket: Ticket,
        procedure: Procedure,
        *args: Any,
        corrects: bool = False,
        **options: Any,
    ) -> None:
        super().__init__(*args, **options)
        self.procedure = procedure
        self.complaints = list(Complaint.objects.current().filter(ticket=ticket))
        self.kinds = tools.kinds_of(procedure)
        self.kept = list(Instrument.objects.in_use().filter(kind__in=self.kinds))
        if len(self.complaints) > 1:
            choices = [(str(c.uid), c.words[:80]) for c in self.complaints]
            self.fields["complaint"] = forms.ChoiceField(
                label=_("For which complaint?"),
                required=False,
                widget=forms.RadioSelect,
                choices=[*choices, (NO_COMPLAINT, _("none of them"))],
                initial=str(self.complaints[0].uid),
            )
        if self.complaints and procedure.fault_shown is None:
            seen = _seen_by_us(ticket)
            self.fields["fault_present"] = forms.ChoiceField(
                label=_("Was the complaint happening just then?"),
                required=False,
                choices=[(w.code, w.technician) for w in words.FAULT_PRESENT],
                widget=forms.RadioSelect,
                help_text=" ".join(
                    filter(
                        None, [_gettext("A good reading while it is absent clears nothing."), seen]
                    )
                ),
            )
        self.fields["state_of_car"] = forms.ChoiceField(
            label=_("Engine"), required=False, choices=STATES, widget=forms.RadioSelect
        )
        for kind in self.kinds:
            if own := [tool for tool in self.kept if tool.kind == kind]:
                self.fields[f"tool_{kind}"] = self._tool_field(kind, own)
        if self._is_named_by_hand:
            self.fields["subject"] = Line(
                label=_("Of what"),
                required=False,
                limit=60,
                help_text=_("The circuit or part by name, as in: left headlamp."),
            )
        self.fields["measured_at"] = Moment(
            label=_("Measured at"),
            help_text=_("Only if it was earlier: the test is then marked as written later."),
        )
        if corrects:
            self.fields["why"] = Words(
                label=_("Why it is corrected"),
                rows=2,
                limit=300,
                error_messages={"required": _("Say why it is corrected: a few words are enough.")},
            )

    def _tool_field(self, kind: str, own: list[Instrument]) -> forms.Field:
        typical = default_instrument(kind)
        choices = [(str(tool.pk), f"{tool.name}, {tool.accuracy}") for tool in own]
        label = KINDS[kind][0]
        return forms.ChoiceField(
            label=label[:1].upper() + label[1:],
            required=False,
            initial=str(own[0].pk),
            choices=[
                *choices,
                ("typical", _gettext("another, %(accuracy)s") % {"accuracy": typical.accuracy}),
            ],
        )

    @property
    def _is_named_by_hand(self) -> bool:
        return any(isinstance(grid.axis, Free) for grid in self.procedure.grids)

    # --- what judging needs, whatever the state of the form -----------------------------------

    def _chosen(self, name: str) -> str:
        """The value of a closed choice if it is one of its codes, else ""."""
        if name not in self.fields:
            return ""
        value = str(self[name].value() or "")
        return value if value in dict(self.fields[name].choices) else ""

    @property
    def complaint_uid(self) -> str | None:
        """The complaint that the test asks about."""
        if not self.complaints:
            return None
        if len(self.complaints) == 1:
            return str(self.complaints[0].uid)
        chosen = self._chosen("complaint") or str(self.complaints[0].uid)
        return None if chosen == NO_COMPLAINT else chosen

    @property
    def fault_present(self) -> str:
        """yes, no or unknown; unknown while nobody has said."""
        return self._chosen("fault_present") or "unknown"

    @property
    def state_of_car(self) -> str:
        """cold, hot, driving, or "" while nobody has said."""
        return self._chosen("state_of_car")

    @property
    def instruments(self) -> dict[str, Instrument]:
        """The shop's own instruments by kind; kinds measured with another one are left out."""
        by_pk = {str(tool.pk): tool for tool in self.kept}
        found = {}
        for kind in self.kinds:
            chosen = self._chosen(f"tool_{kind}")
            if chosen in by_pk:
                found[kind] = by_pk[chosen]
        return found

    @property
    def typical(self) -> list[str]:
        """Kinds of which the shop has entered no instrument, with the accuracy that is taken."""
        without = [kind for kind in self.kinds if f"tool_{kind}" not in self.fields]
        found = [default_instrument(kind) for kind in without]
        return [f"{tool.name}, {tool.accuracy}" for tool in found if tool]

    @property
    def instruments_words(self) -> str:
        """The instruments that will be noted, in short."""
        chosen = self.instruments
        return ", ".join(
            chosen[kind].name if kind in chosen else KINDS[kind][0] for kind in self.kinds
        )

    @property
    def has_choice(self) -> bool:
        """Of some kind there is more than one instrument."""
        return any(len(self[f.name].field.choices) > 2 for f in self.tool_fields)

    @property
    def tool_fields(self) -> list[forms.BoundField]:
        """The choices of instruments."""
        return [self[name] for name in self.fields if name.startswith("tool_")]

    # --- checks ---------------------------------------------------------------------------------

    def clean_measured_at(self) -> datetime | None:
        """The past, and not before there were records."""
        at = self.cleaned_data["measured_at"]
        if at is None:
            return None
        if at > timezone.now():
            raise ValidationError(_("That is in the future. Leave it empty for now."))
        if at < EARLIEST:
            raise ValidationError(_("That is too long ago to be a measurement on this visit."))
        return at


def text_fields(data: Mapping[str, Any]) -> dict[str, str]:
    """What a form sent, the last value of each name, as text."""
    return {name: str(data[name]) for name in data}


def _seen_by_us(ticket: Ticket) -> str:
    """What came out when we tried to bring the complaint about; "" where nobody tried."""
    asking = [name for name, procedure in PROCEDURES.items() if procedure.fault_shown]
    tried = RunLink.objects.current().filter(ticket=ticket, run__procedure__in=asking)
    last = tried.select_related("run", "entry").order_by("entry__seq").last()
    if last is None:
        return ""
    return _gettext("When we tried it (entry %(no)s): %(found)s.") % {
        "no": last.entry.seq,
        "found": read(last.run).words.pattern,
    }
