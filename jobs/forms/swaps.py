"""What is asked of a swap: a few taps at the car, the rest at the desk."""

from __future__ import annotations

from datetime import date, timedelta
from functools import cached_property
from typing import TYPE_CHECKING, Any

from django import forms
from django.utils.translation import gettext_lazy as _

from jobs import words
from jobs.forms.evidence import EvidenceField, chosen
from jobs.forms.photos import OnePhoto
from jobs.forms.typed import FIRST_CAR
from jobs.models import Entry
from jobs.proof.fitted import Fitted, fitted_before
from jobs.proof.outcome import NOT_CHECKED, Outcome
from jobs.proof.quickest import Quickest, quickest
from jobs.proof.standing import NEEDS_A_TEST
from shop.forms.dates import Day
from shop.forms.fields import Amount, Closed, Line, RecordingForm, Whole, Words
from shop.models import Car

if TYPE_CHECKING:
    from jobs.ticket_view import TicketView

UNSAID = (None, "", "not_checked")
LONGEST_DUE = timedelta(days=2 * 365)
"""Suppliers want cores back within weeks or months (judgement)."""


class SwapForm(RecordingForm):
    """One part out, one part in. Only the reason is asked for; the rest may come later."""

    AT_THE_CAR = ("label_photo", "old_part_photo", "part_out", "part_in", "apart")
    TESTS = ("pointed", "before", "after")
    AT_THE_DESK = (
        "maker",
        "number",
        "condition",
        "supplier",
        "cost_minor",
        "price_minor",
        "core_minor",
        "core_until",
        "warranty_months",
        "warranty_km",
        "agreed",
        "old_part_kept",
        "note",
    )
    PLAIN = ("part_out", "part_in", "outcome", "outcome_why", *AT_THE_DESK)

    warned = forms.CharField(required=False, widget=forms.HiddenInput)
    """Filled in once it was said that no test points to the part: the next press goes on."""

    uid = ""
    warns = False
    """The page asks whether to go on without a test."""

    def __init__(self, view: TicketView, *args: Any, **options: Any) -> None:
        super().__init__(*args, **options)
        self.view = view
        self.fields |= self._of_the_car() | self._of_the_tests(view)
        self.fields |= self._of_the_desk(view.ticket.currency)

    def _of_the_car(self) -> dict[str, forms.Field]:
        return {
            "reason": Closed(
                words.SWAP_REASON,
                label=_("Why"),
                required=True,
                error_messages={"required": _("Say why the part is swapped: choose one.")},
            ),
            "label_photo": OnePhoto(label=_("Photo of the label")),
            "old_part_photo": OnePhoto(label=_("Photo of the old part")),
            "part_out": Line(label=_("Part out"), required=False),
            "part_in": Line(label=_("Part in"), required=False),
            "apart": Words(
                label=_("Left open or unplugged"),
                required=False,
                rows=2,
                limit=1_000,
                help_text=_("One thing a line. It stays on top of the ticket until ticked back."),
            ),
        }

    def _of_the_tests(self, view: TicketView) -> dict[str, forms.Field]:
        def tests(label: Any) -> EvidenceField:
            return EvidenceField(view, kinds=("run",), label=label)

        return {
            "pointed": tests(_("Tests that pointed to it")),
            "before": tests(_("Tests before")),
            "after": tests(_("Tests after")),
            "outcome": Closed(words.SWAP_OUTCOME, label=_("What it did")),
            "outcome_why": Line(
                label=_("Why otherwise than by the tests"), required=False, limit=300
            ),
        }

    def _of_the_desk(self, currency: str) -> dict[str, forms.Field]:
        return {
            "maker": Line(label=_("Maker"), required=False, limit=80),
            "number": Line(label=_("Part number"), required=False, limit=80),
            "condition": Closed(words.PART_CONDITION, label=_("New, rebuilt or used")),
            "supplier": Line(label=_("Supplier"), required=False),
            "cost_minor": Amount(currency=currency, label=_("Cost to us")),
            "price_minor": Amount(currency=currency, label=_("Price to the customer")),
            "core_minor": Amount(currency=currency, label=_("Core deposit")),
            "core_until": Day(label=_("Core due back"), ahead=LONGEST_DUE),
            "warranty_months": Whole(label=_("Warranty, months"), low=0, high=600),
            "warranty_km": Whole(label=_("Warranty, km"), low=0, high=2_000_000),
            "agreed": forms.TypedChoiceField(
                label=_("Agreed with the customer"),
                required=False,
                widget=forms.RadioSelect,
                choices=[("yes", _("yes")), ("no", _("no: recorded, not charged"))],
                coerce=lambda value: value == "yes",
                empty_value=None,
            ),
            "old_part_kept": Line(
                label=_("Old part"),
                required=False,
                help_text=_("Where it is kept, until when; or that it went back."),
            ),
            "note": Words(label=_("Note"), required=False),
        }

    @property
    def at_the_car(self) -> list[forms.BoundField]:
        """The few fields of the quick path, after the reason."""
        return [self[name] for name in self.AT_THE_CAR if name in self.fields]

    @property
    def has_tests(self) -> bool:
        """Whether the ticket has a test that could speak for the swap."""
        return bool(self.fields["pointed"].choices)

    @property
    def at_the_desk(self) -> list[forms.BoundField]:
        """What can wait until there is a chair."""
        return [self[name] for name in self.AT_THE_DESK]

    @property
    def desk_is_wrong(self) -> bool:
        """Whether something of the folded part is to be put right: then it is shown open."""
        return any(self[name].errors for name in self.AT_THE_DESK)

    # --- what no test speaks for, and what the tests show ---------------------------------------

    def clean(self) -> dict[str, Any]:
        """An outcome that is not the tests' has a reason. A part that no test points to is asked
        about once; whoever presses again goes on, and that is written down."""
        data = super().clean()
        told, shown = data.get("outcome"), self.by_tests
        if told and told != shown.code and not data.get("outcome_why"):
            said = words.technician("swap_outcome", shown.code)
            self.add_error(
                "outcome_why",
                _("By the tests it is “%(said)s”. Say why it is another, or choose that.")
                % {"said": said},
            )
        if self.goes_without_test and not data.get("warned"):
            self.add_error(
                "reason",
                _(
                    "No test points to this part. See the quickest one that would tell, or save "
                    "again to go on without: that then stands in the record."
                ),
            )
            self.data = self.data.copy()
            self.data["warned"] = "yes"
            self.warns = True
        return data

    @property
    def goes_without_test(self) -> bool:
        """It is changed for a reason that says nothing for the part, and no test is named."""
        data = self.cleaned_data
        return data.get("reason") in NEEDS_A_TEST and not data.get("pointed")

    @cached_property
    def by_tests(self) -> Outcome:
        """What the tests that are chosen show of the swap."""
        swap = {"uid": self.uid, "reason": "", "runs": self._runs()}
        return self.view.swap_record.proof(swap).by_tests

    @property
    def by_tests_words(self) -> str:
        """The same in words, "" where nothing was measured after it."""
        code = self.by_tests.code
        return "" if code == NOT_CHECKED else words.technician("swap_outcome", code)

    def _runs(self) -> dict[str, list[str]]:
        if self.is_bound:
            runs = {role: self.cleaned_data.get(role, []) for role in self.TESTS}
        else:
            runs = {role: chosen(self.view, self.initial.get(role, [])) for role in self.TESTS}
        return {role: [run.digest for run in found] for role, found in runs.items()}

    @property
    def parts(self) -> list[str]:
        """What the part is called so far."""
        names = (self["part_out"].value(), self["part_in"].value())
        return [str(name) for name in names if name]

    @cached_property
    def quickest(self) -> Quickest | None:
        """The quickest test that would tell whether the part is at fault."""
        return quickest(self.view, self.parts)

    @cached_property
    def fitted_before(self) -> list[list[Fitted]]:
        """What was fitted to this car before: parts of the like name, and others."""
        found = fitted_before(self.view.ticket.car, self.parts, but={self.uid})
        return [[one for one in found if one.alike is like] for like in (True, False)]

    def photos(self) -> dict[str, Any]:
        """The photos by their subject."""
        return {
            "label": self.cleaned_data.get("label_photo"),
            "old_part": self.cleaned_data.get("old_part_photo"),
        }

    def facts(self) -> dict[str, Any]:
        """The plain facts as the record writes them; what is empty is None or ""."""
        facts = {name: self.cleaned_data[name] for name in self.PLAIN}
        day = facts["core_until"]
        return facts | {
            "core_until": day.isoformat() if day else "",
            "without_test": self.goes_without_test or None,
        }

    def things_apart(self) -> list[str]:
        """What was left open, one thing a line."""
        lines = (line.strip()[:200] for line in self.cleaned_data["apart"].splitlines())
        return [line for line in lines if line]


class SwapChangeForm(SwapForm):
    """A later version of a swap. Completing what the quick one left open needs no reason;
    changing what it said does."""

    def __init__(self, view: TicketView, entry: Entry, *args: Any, **options: Any) -> None:
        super().__init__(view, *args, **options)
        self.entry = entry
        self.uid = entry.data["uid"]
        del self.fields["apart"]
        self.fields["why"] = Line(
            label=_("Why it changes"),
            required=False,
            limit=300,
            help_text=_("Leave empty when you only complete what was entered at the car."),
        )

    def clean(self) -> dict[str, Any]:
        """What was said before and now reads otherwise has a reason."""
        data = super().clean()
        if not self.errors and not data["why"] and self._says_otherwise():
            self.add_error("why", _("Say why: this changes what was entered before."))
        return data

    @property
    def goes_without_test(self) -> bool:
        """Asked anew only where the reason becomes another one."""
        same = self.cleaned_data.get("reason") == self.entry.data["reason"]
        return not same and super().goes_without_test

    def facts(self) -> dict[str, Any]:
        """What was gone on without stays said."""
        facts = super().facts()
        return facts | {
            "without_test": facts["without_test"] or self.entry.data.get("without_test")
        }

    def _says_otherwise(self) -> bool:
        old, new = self.entry.data, self.facts() | {"reason": self.cleaned_data["reason"]}
        if new["outcome"] == self.by_tests.code:
            # What the tests show now takes nothing away from what was written before.
            new = {name: said for name, said in new.items() if not name.startswith("outcome")}
        if any(old.get(name) not in (*UNSAID, new[name]) for name in new):
            return True
        return any(
            set(old.get("runs", {}).get(role, [])) - {run.digest for run in self.cleaned_data[role]}
            for role in self.TESTS
        )


class ElsewhereForm(RecordingForm):
    """What the customer reports was fitted by somebody else: what and when, nothing about how."""

    part_in = Line(
        label=_("What was fitted"),
        error_messages={"required": _("Say which part the customer reports was fitted.")},
    )
    done_on = Day(label=_("On which day, if known"), ahead=timedelta(), first=date(FIRST_CAR, 1, 1))
    note = Words(label=_("Note"), required=False)

    def __init__(self, car: Car, *args: Any, **options: Any) -> None:
        super().__init__(*args, **options)
        self.car = car

    def clean_done_on(self) -> date | None:
        """A day of the car's own life; a model year begins in the calendar year before it."""
        day = self.cleaned_data["done_on"]
        if day and self.car.year and day.year < self.car.year - 1:
            raise forms.ValidationError(
                _("On %(day)s this car, of %(year)s, was not built yet. Look at the year again."),
                params={"day": day.isoformat(), "year": self.car.year},
            )
        return day

    def facts(self) -> dict[str, Any]:
        """The plain facts as the record writes them."""
        data = self.cleaned_data
        day = data["done_on"].isoformat() if data["done_on"] else ""
        return {"part_in": data["part_in"], "done_on": day, "note": data["note"], "ours": False}


class ElsewhereChangeForm(ElsewhereForm):
    """The same, corrected."""

    why = Line(label=_("Why it changes"), limit=300)
