"""What is asked of a swap: a few taps at the car, the rest at the desk."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from jobs import words
from jobs.forms.evidence import EvidenceField
from shop.forms.fields import Amount, Closed, Line, RecordingForm, Words


class SwapForm(RecordingForm):
    """One part out, one part in. Only the reason is asked for; the rest may come later."""

    def __init__(self, view: Any, *args: Any, **options: Any) -> None:
        super().__init__(*args, **options)
        currency = view.ticket.currency
        fields = self.fields
        fields["reason"] = Closed(
            words.SWAP_REASON, label=_("Why"), required=True,
            error_messages={"required": _("Say why the part is swapped: choose one.")},
        )
        fields["part_out"] = Line(label=_("Part out"), required=False)
        fields["part_in"] = Line(label=_("Part in"), required=False)
        fields["outcome"] = Closed(words.SWAP_OUTCOME, label=_("What it did"))
        fields["pointed"] = EvidenceField(view, kinds=("run",), label=_("Tests that pointed to it"))
        fields["before"] = EvidenceField(view, kinds=("run",), label=_("Tests before"))
        fields["after"] = EvidenceField(view, kinds=("run",), label=_("Tests after"))
        fields["apart"] = Words(
            label=_("Left open or unplugged"), required=False, rows=2, limit=1_000,
            help_text=_("One thing a line. It stays on top of the ticket until ticked back."),
        )
        fields["maker"] = Line(label=_("Maker"), required=False, limit=80)
        fields["number"] = Line(label=_("Part number"), required=False, limit=80)
        fields["condition"] = Closed(words.PART_CONDITION, label=_("New, rebuilt or used"))
        fields["supplier"] = Line(label=_("Supplier"), required=False)
        fields["cost_minor"] = Amount(currency=currency, label=_("Cost to us"))
        fields["price_minor"] = Amount(currency=currency, label=_("Price to the customer"))
        fields["core_minor"] = Amount(currency=currency, label=_("Core deposit"))
        fields["core_until"] = forms.DateField(
            label=_("Core due back"), required=False, widget=_day()
        )
        fields["warranty_months"] = forms.IntegerField(
            label=_("Warranty, months"), required=False, min_value=0, max_value=600
        )
        fields["warranty_km"] = forms.IntegerField(
            label=_("Warranty, km"), required=False, min_value=0, max_value=2_000_000
        )
        fields["agreed"] = forms.TypedChoiceField(
            label=_("Agreed with the customer"), required=False, widget=forms.RadioSelect,
            choices=[("yes", _("yes")), ("no", _("no: recorded, not charged"))],
            coerce=lambda value: value == "yes", empty_value=None,
        )
        fields["old_part_kept"] = Line(
            label=_("Old part"), required=False,
            help_text=_("Where it is kept, until when; or that it went back."),
        )
        fields["ours"] = forms.TypedChoiceField(
            label=_("Who fitted it"), required=False, widget=forms.RadioSelect, initial="yes",
            choices=[("yes", _("we")), ("no", _("somebody else; the customer reports it"))],
            coerce=lambda value: value != "no", empty_value=True,
        )
        fields["done_on"] = forms.DateField(
            label=_("Fitted on"), required=False, widget=_day(),
            help_text=_("For parts fitted elsewhere, as the customer reports."),
        )
        fields["note"] = Words(label=_("Note"), required=False)

    AT_THE_CAR = ("reason", "part_out", "part_in", "outcome", "pointed", "before", "after", "apart")
    AT_THE_DESK = (
        "maker", "number", "condition", "supplier", "cost_minor", "price_minor", "core_minor",
        "core_until", "warranty_months", "warranty_km", "agreed", "old_part_kept", "ours",
        "done_on", "note",
    )

    @property
    def at_the_car(self) -> list:
        """The few fields of the quick path."""
        return [self[name] for name in self.AT_THE_CAR if name in self.fields]

    @property
    def at_the_desk(self) -> list:
        """What can wait until there is a chair."""
        return [self[name] for name in self.AT_THE_DESK if name in self.fields]

    def facts(self) -> dict[str, Any]:
        """The plain facts, as the record writes them; what was left empty is left out."""
        data = self.cleaned_data
        plain = ("part_out", "part_in", "outcome", *self.AT_THE_DESK)
        facts = {name: data[name] for name in plain if data.get(name) not in (None, "")}
        for day in ("core_until", "done_on"):
            if day in facts:
                facts[day] = facts[day].isoformat()
        return facts

    def things_apart(self) -> list[str]:
        """What was left open, one thing a line."""
        lines = (line.strip()[:200] for line in self.cleaned_data["apart"].splitlines())
        return [line for line in lines if line]


class SwapChangeForm(SwapForm):
    """A later version of a swap; why, unless it only completes the quick one."""

    def __init__(self, view: Any, *args: Any, **options: Any) -> None:
        super().__init__(view, *args, **options)
        del self.fields["apart"]
        self.fields["why"] = Line(
            label=_("Why it changes"), required=False, limit=300,
            help_text=_("Leave empty when you only complete what was entered at the car."),
        )


def _day() -> forms.DateInput:
    return forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")
