"""What is asked of a finding, and of work that stays open."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property
from typing import Any

from django import forms
from django.http import QueryDict
from django.template.defaultfilters import truncatewords
from django.utils.text import capfirst
from django.utils.translation import gettext_lazy as _

from jobs import words
from jobs.actions.findings import (
    NeedsEvidence,
    ReasonNotNeeded,
    SaysNotHow,
    SurerThanAllowed,
    about,
    check_certainty,
)
from jobs.certainty import explain
from jobs.certainty.of_ticket import allowed_for, can_show_a_fault, frame, stakes_of, suspect_of
from jobs.certainty.rules import Allowed
from jobs.finding_proposal import complaint_of, only_complaint
from jobs.forms.evidence import EvidenceField, chosen
from jobs.models import Alteration
from jobs.suspects.knowledge import tables
from jobs.suspects.tables import NOTHING, OWN, UNLISTED
from shop.forms.fields import Closed, Line, RecordingForm, Words
from shop.templatetags.look import options_of


class FindingForm(RecordingForm):
    """A statement, how sure it is, what it rests on, and what it means for driving."""

    SEVERAL = ("rests_on", "fault_seen_in")

    def __init__(self, view: Any, *args: Any, **options: Any) -> None:
        super().__init__(*args, **options)
        self.view = view
        fields = self.fields
        fields["sentence"] = Words(
            label=_("What is found"),
            rows=3,
            limit=1_000,
            help_text=_("For the customer, in plain words: the state of parts, nothing else."),
        )
        if len(view.complaints) > 1:
            fields["complaint"] = forms.ChoiceField(
                label=_("Which complaint it answers"),
                required=False,
                choices=[("", _("none of them")), *_complaints(view)],
            )
        if causes := _causes(view, str(self.initial.get("cause") or "")):
            fields["cause"] = forms.ChoiceField(
                label=_("Which possible cause it is about"),
                required=False,
                choices=[("", _("none of these")), *causes],
            )
        fields["rests_on"] = EvidenceField(view, label=_("It rests on"))
        photos = [photo for item in view.entries for photo in item.photos if not item.is_gone]
        if any(can_show_a_fault(photo) for photo in photos):
            fields["fault_seen_in"] = EvidenceField(
                view,
                kinds=("photo",),
                only=can_show_a_fault,
                label=_("The fault itself is seen in"),
                help_text=_("Only where the photo shows the fault: the crack, the leak, the rust."),
            )
        fields["certainty"] = Closed(words.CERTAINTY, label=_("How sure"), required=True)
        fields["also_like"] = Words(
            label=_("What would also look like this?"),
            required=False,
            rows=2,
            limit=1_000,
            help_text=_("What else gives the same readings, and why it is not that. Printed."),
        )
        fields["overruled"] = Words(
            label=_("Why it is surer than this evidence allows"),
            required=False,
            rows=2,
            limit=1_000,
            help_text=_("The report prints it beside the certainty."),
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

    @classmethod
    def as_typed(cls, sent: QueryDict) -> dict[str, Any]:
        """What was sent, as first values of a form that checks nothing yet."""
        return {
            name: values if name in cls.SEVERAL else values[-1] for name, values in sent.lists()
        }

    # --- how sure it may be --------------------------------------------------------------------

    @cached_property
    def allowed(self) -> Allowed:
        """How sure the ticked evidence allows it to be, ticked by now or proposed."""
        ticked, shown = self._ticked("rests_on"), self._ticked("fault_seen_in")
        told = {name: self._now(name) for name in ("complaint", "cause", "also_like")}
        facts = self._with_complaint({name: value for name, value in told.items() if value})
        shows = {frame(photo) for photo in shown}
        return allowed_for(self.view, dict.fromkeys([*ticked, *shown]), about(facts, shows))

    @property
    def certainties(self) -> list[dict[str, Any]]:
        """The choices of certainty, each with what is missing for it."""
        said = explain.beside(self.allowed)
        return [
            option | {"small": said.get(option["value"], "")}
            for option in options_of(self["certainty"])
        ]

    @property
    def asks_also_like(self) -> bool:
        """Whether the cause is one of stakes, so that what else would look alike is asked."""
        return bool(stakes_of(self._now("cause") or "") or self._now("also_like"))

    def _now(self, name: str) -> Any:
        return self[name].value() if name in self.fields else None

    def _ticked(self, name: str) -> list[Any]:
        if name not in self.fields:
            return []
        offered = {code for code, _label in self.fields[name].choices}
        return chosen(self.view, [one for one in self._now(name) or () if one in offered])

    def _with_complaint(self, facts: dict[str, Any]) -> dict[str, Any]:
        """A finding is about the complaint that was chosen, else the cause's, else the only one."""
        if facts.get("complaint"):
            return facts
        found = complaint_of(self.view, facts.get("cause", "")) or only_complaint(self.view)
        return facts | {"complaint": found} if found else facts

    # --- what was typed ------------------------------------------------------------------------

    def clean(self) -> dict[str, Any]:
        """Evidence decides how sure a finding may be; driving as stated must state it."""
        data = super().clean()
        if data.get("advice") == "only_as_stated" and not data.get("advice_words"):
            self.add_error("advice_words", str(SaysNotHow()))
        self._check_cause(data)
        if "certainty" in data and not self.errors.keys() & set(self.SEVERAL):
            self._check_certainty(data)
        return data

    def _check_cause(self, data: dict[str, Any]) -> None:
        family = (data.get("cause") or "").partition(".")[0]
        chosen_one = next(
            (c.data for c in self.view.complaints if c.data["uid"] == data.get("complaint")), None
        )
        if family and chosen_one and chosen_one.get("family") != family:
            self.add_error(
                "cause",
                _("This cause belongs to another complaint: choose that one, or another cause."),
            )

    def _check_certainty(self, data: dict[str, Any]) -> None:
        shown = data.get("fault_seen_in", [])
        try:
            check_certainty(
                self.view,
                certainty=data["certainty"],
                evidence=dict.fromkeys([*data["rests_on"], *shown]),
                about=about(self.facts(), {frame(photo) for photo in shown}),
                overruled=data.get("overruled", ""),
            )
        except NeedsEvidence as refusal:
            self.add_error("rests_on", str(refusal))
        except ReasonNotNeeded as refusal:
            self.add_error("overruled", str(refusal))
        except SurerThanAllowed as refusal:
            self.add_error("certainty", str(refusal))

    OPTIONAL = (
        "advice_words",
        "to_do",
        "waiting_risk",
        "why_it_failed",
        "for_technician",
        "cause",
        "also_like",
        "overruled",
    )

    def facts(self) -> dict[str, Any]:
        """The further words, the cause and the complaint, as the record writes them."""
        told = (*self.OPTIONAL, "complaint")
        facts = {k: self.cleaned_data[k] for k in told if self.cleaned_data.get(k)}
        return self._with_complaint(facts)

    def evidence(self) -> dict[str, Any]:
        """What it rests on, as the action takes it."""
        data = self.cleaned_data
        return {"rests_on": data["rests_on"], "fault_seen_in": data.get("fault_seen_in", [])}


def _causes(view: Any, stored: str) -> list[tuple[str, list[tuple[str, str]]]]:
    """Possible causes by complaint, those too that a technician added; `stored` stays on offer
    after its complaint was moved to another family."""
    groups: dict[str, tuple[str, list[tuple[str, str]]]] = {}
    for item in view.complaints:
        family = item.data.get("family", "")
        table = tables().get(family)
        if table is None or family in groups:
            continue
        options = [
            (f"{family}.{one.code}", capfirst(one.label))
            for one in table.suspects
            if one.code not in (UNLISTED, NOTHING)
        ]
        options += [
            (f"{family}.{opinion.data['suspect']}", capfirst(opinion.data["label"]))
            for opinion in view.opinions
            if opinion.data["complaint"] == item.data["uid"]
            and opinion.data["suspect"].startswith(OWN)
        ]
        groups[family] = (f"{item.entry.seq} {truncatewords(item.data['words'], 8)}", options)
    known = {code for _label, options in groups.values() for code, _text in options}
    if stored not in known and (kept := suspect_of(stored)):
        _table, suspect = kept
        groups[stored] = (str(_("as it was chosen")), [(stored, capfirst(suspect.label))])
    return list(groups.values())


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
