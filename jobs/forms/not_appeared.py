"""What is asked when a fault did not appear: what was not tried, what to note, a trial."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

from django import forms
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from jobs.actions.not_appeared import ON_TRIAL, SaysNotUntilWhen
from jobs.actions.tickets import MOVES
from jobs.models import Ticket
from shop.forms.dates import Day
from shop.forms.fields import RecordingForm, Words

LONGEST_TRIAL = timedelta(days=366)


class NotAppearedForm(RecordingForm):
    """Lines that are proposed and may be changed, and whether the car goes on trial."""

    not_tried = Words(
        label=_("Not tried"),
        required=False,
        rows=4,
        limit=2_000,
        help_text=_("One line each, for the customer. Proposed from what was told of it."),
    )
    note = Words(
        label=_("What the owner should note"),
        rows=5,
        limit=2_000,
        error_messages={"required": _("Write what the owner should note when it comes again.")},
    )

    def __init__(self, ticket: Ticket, *args: Any, **options: Any) -> None:
        super().__init__(*args, **options)
        if ticket.state == ON_TRIAL or ON_TRIAL in MOVES[ticket.state]:
            self.fields["on_trial"] = forms.BooleanField(
                label=_("It goes on trial with the owner; the ticket stays open"), required=False
            )
            self.fields["until"] = Day(
                label=_("On trial until"),
                ahead=LONGEST_TRIAL,
                first=timezone.localdate(ticket.opened_at),
            )
            self.fields["ring_on"] = Day(
                label=_("We ring on"),
                ahead=LONGEST_TRIAL,
                first=timezone.localdate(ticket.opened_at),
            )

    def clean(self) -> dict[str, Any]:
        """A trial has an end, or a day on which the shop rings."""
        data = super().clean()
        dated = data.get("until") or data.get("ring_on")
        if data.get("on_trial") and not dated and not self.errors.keys() & {"until", "ring_on"}:
            self.add_error("until", str(SaysNotUntilWhen()))
        return data

    def facts(self) -> dict[str, Any]:
        """What the action takes."""
        data = self.cleaned_data
        return {
            "not_tried": data["not_tried"].splitlines(),
            "note": data["note"],
            "on_trial": data.get("on_trial", False),
            "until": data.get("until"),
            "ring_on": data.get("ring_on"),
        } | self.sending
