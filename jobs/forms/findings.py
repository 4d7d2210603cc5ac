"""What is asked of a finding, and of work that stays open."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from django import forms
from django.template.defaultfilters import truncatewords
from django.utils.translation import gettext_lazy as _

from jobs import words
from jobs.actions.findings import WITHOUT_EVIDENCE, NeedsEvidence, SaysNotHow
from jobs.forms.evidence import EvidenceField
from jobs.models import Alteration
from shop.forms.fields import Closed, Line, RecordingForm, Words


class FindingForm(RecordingForm):
    """A statement, how sure it is, what it rests on, and what it means for driving."""

    def __init__(self, view: Any, *args: Any, **options: Any) -> None:
        super().__init__(*args, **options)
        fields = self.fields
        fields["certainty"] = Closed(words.CERTAINTY, label=_("How sure"), required=True)
        fields["sentence"] = Words(
            label=_("What is found"),
            rows=3,
            limit=1_000,
            help_text=_("For the customer, in plain words: the state of parts, nothing else."),
        )
        fields["rests_on"] = EvidenceField(view, label=_("It rests on"))
        if len(view.complaints) > 1:
            fields["complaint"] = forms.ChoiceField(
                label=_("Which complaint it answers"),
                required=False,
                choices=[("", _("none of them")), *_complaints(view)],
            )
        fields["advice"] = Closed(words.DRIVING_ADVICE, label=_("Driving"), required=True)
        fields["advice_words"] = Words(
            label=_("How it may be driven, or the hazard"), required=False, rows=2, limit=1_000
        )
        fields["to_do"] = Words(label=_("What to do"), required=False, rows=2, limit=1_000)
        fields["waiting_risk"] = Words(
            label=_("What waiting risks"), required=False, rows=2, limit=1_000
        )
        fields["why_it_failed"] = Words(
            label=_("What made it fail"),
            required=False,
            rows=2,
            limit=1_000,
            help_text=_("The commonest comeback is the consequence mended and the cause left."),
        )
        fields["for_technician"] = Words(
            label=_("For technicians"), required=False, rows=2, limit=2_000
        )

    def clean(self) -> dict[str, Any]:
        """Evidence decides how sure a finding may be; driving as stated must state it."""
        data = super().clean()
        bare = "rests_on" in data and not data["rests_on"]
        if bare and data.get("certainty", "suspected") not in WITHOUT_EVIDENCE:
            self.add_error("rests_on", str(NeedsEvidence()))
        if data.get("advice") == "only_as_stated" and not data.get("advice_words"):
            self.add_error("advice_words", str(SaysNotHow()))
        return data

    OPTIONAL = ("advice_words", "to_do", "waiting_risk", "why_it_failed", "for_technician")

    def facts(self) -> dict[str, str]:
        """The further words and the complaint, as the record writes them."""
        told = (*self.OPTIONAL, "complaint")
        return {k: self.cleaned_data[k] for k in told if self.cleaned_data.get(k)}


def _complaints(view: Any) -> list[tuple[str, str]]:
    return [
        (item.data["uid"], f"{item.entry.seq} {truncatewords(item.data['words'], 8)}")
        for item in view.complaints
    ]


class FindingChangeForm(FindingForm):
    """A later version of a finding, with the reason."""

    def __init__(self, view: Any, *args: Any, **options: Any) -> None:
        super().__init__(view, *args, **options)
        self.fields["why"] = Line(label=_("Why it changes"), limit=300)


class OpenWorkForm(RecordingForm):
    """Work that is still to do, or that the customer chose not to have done."""

    what = Line(label=_("What"), limit=200)
    status = Closed(words.OPEN_WORK_STATUS, label=_("How it stands"), required=True)
    risk = Words(
        label=_("What waiting risks, in one plain sentence"), required=False, rows=2, limit=1_000
    )
    until = Line(label=_("Until when, or until what"), required=False)

    def __init__(self, alterations: Sequence[Alteration], *args: Any, **options: Any) -> None:
        super().__init__(*args, **options)
        if alterations:
            self.fields["puts_back"] = forms.ChoiceField(
                label=_("It puts back"),
                required=False,
                choices=[("", _("no alteration")), *((str(a.uid), a.what) for a in alterations)],
            )

    def facts(self) -> dict[str, str]:
        """All that is said of the work, as `add_open_work` takes it."""
        told = ("what", "status", "risk", "until", "puts_back")
        return {name: self.cleaned_data.get(name, "") for name in told}


class OpenWorkChangeForm(OpenWorkForm):
    """The same later on: done, declined, or put otherwise."""

    why = Line(label=_("Why it changes"), limit=300)


class WithdrawForm(RecordingForm):
    """An entry is taken back, with the reason."""

    why = Line(label=_("Why it does not count"), limit=300)
