"""What is asked when a car comes in: a minute's worth at once, the rest folded away."""

from __future__ import annotations

from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from jobs import words
from jobs.actions.intake import NEW_OWNER, ONLY_BRINGS, SAME_OWNER
from jobs.forms.questions import QuestionsMixin
from jobs.forms.typed import Plate
from jobs.known import Known, what_is_known
from jobs.models import Ticket
from jobs.odometer import in_words, is_lower, usual_unit
from shop.forms.fields import Line, Odometer, RecordingForm, Words
from shop.models import Profile
from shop.plates import PlateError, read_plate

UNITS = [("km", _("km")), ("mi", _("miles"))]
LONGEST_NUMBER = 40


class OdometerMixin(forms.Form):
    """An odometer with its unit; one that shows less than before is asked about, then stands."""

    asks_odometer = False

    def ask_odometer(self, name: str, unit: str, before: tuple[int, str] | None) -> None:
        """Ask why it is lower, unless that has been asked."""
        value = self.cleaned_data.get(name)
        lower = value is not None and is_lower((value, unit), before)
        self.asks_odometer = lower
        if lower and "odometer_why" not in self.data:
            self.add_error("odometer_why", self.odometer_question(before))

    @staticmethod
    def odometer_question(before: tuple[int, str]) -> str:
        """Last time it read 148 230 km. Why is it lower?"""
        return gettext("Last time it read %(before)s. Why is it lower?") % {
            "before": in_words(before)
        }


def why_field() -> Line:
    """The reason of a lower odometer: shown where it is asked."""
    return Line(
        label=_("Why the odometer shows less"),
        required=False,
        limit=300,
        help_text=_("Another instrument cluster, a mistyped figure last time, not known."),
    )


class IntakeForm(QuestionsMixin, OdometerMixin, RecordingForm):
    """A ticket in a minute. Any one thing that is known is enough; nothing else is asked for."""

    # An empty file is the store's to refuse: here it would take the ticket with it.
    plate_photo = forms.FileField(
        label=_("Photo of the plate"), required=False, allow_empty_file=True, widget=forms.FileInput
    )
    dashboard_photo = forms.FileField(
        label=_("Photo of the dashboard, key on"),
        required=False,
        allow_empty_file=True,
        widget=forms.FileInput,
        help_text=_("It shows lamps, odometer and fuel in one picture."),
    )
    plate = Plate(label=_("Number plate"))
    phone = Line(
        label=_("Telephone"),
        required=False,
        limit=LONGEST_NUMBER,
        widget=forms.TextInput(attrs={"inputmode": "tel"}),
    )
    complaint = Words(
        label=_("Complaint, in the customer’s own words"),
        required=False,
        help_text=_("As they say it. The cause comes later."),
    )
    wish = Words(
        label=_("Or work that they ask for"),
        required=False,
        rows=2,
        help_text=_("A service, tyres, a look before buying."),
    )
    name = Line(label=_("Name"), required=False)
    firm = Line(label=_("Firm"), required=False)
    phone_2 = Line(
        label=_("Second telephone"),
        required=False,
        limit=LONGEST_NUMBER,
        widget=forms.TextInput(attrs={"inputmode": "tel"}),
    )
    odometer = Odometer(label=_("Odometer"))
    odometer_unit = forms.ChoiceField(label=_("Unit"), choices=UNITS, required=False)
    odometer_why = why_field()
    state = forms.ChoiceField(
        label=_("The car"),
        required=False,
        widget=forms.RadioSelect,
        choices=[("in_the_bay", _("is here")), ("booked", _("comes later: booked"))],
    )

    def __init__(self, *args: Any, profile: Profile, **options: Any) -> None:
        super().__init__(*args, **options)
        self.profile = profile
        self.fields["odometer_unit"].initial = usual_unit(profile.units)
        self.fields["state"].initial = "in_the_bay"
        self.known = self._look_up()
        if self.known.differs:
            self.fields["whose"] = forms.ChoiceField(
                label=_("Whose car is it now?"),
                required=False,
                widget=forms.RadioSelect,
                choices=[
                    (NEW_OWNER, _("it has a new owner: the one typed here")),
                    (ONLY_BRINGS, _("the owner is the same, somebody else brings it")),
                    (SAME_OWNER, _("it is the owner, with another number or name")),
                ],
            )
        if self.known.visits:
            self.fields["comeback_of"] = forms.ChoiceField(
                label=_("Comeback of an earlier visit"),
                required=False,
                choices=[("", _("no")), *(_visit(ticket) for ticket in self.known.visits)],
            )
        if self.known.cars and not self._raw("plate").strip():
            self.fields["which_car"] = forms.ChoiceField(
                label=_("Which car"),
                required=False,
                widget=forms.RadioSelect,
                choices=[
                    *((str(car.pk), str(car)) for car in self.known.cars),
                    ("", _("another car")),
                ],
            )

    def _raw(self, name: str) -> str:
        typed = self.data.get(name, "") if self.is_bound else self.initial.get(name, "")
        return str(typed or "")[:200].replace("\x00", "")

    def _look_up(self) -> Known:
        try:
            plate = read_plate(self._raw("plate"))
        except PlateError:
            plate = ""
        asked = {
            "phones": [self._raw("phone"), self._raw("phone_2")],
            "name": self._raw("name") or self._raw("firm"),
        }
        known = what_is_known(plate=plate, **asked)
        chosen = [car for car in known.cars if str(car.pk) == self._raw("which_car")]
        return what_is_known(car=chosen[0], **asked) if chosen and not plate else known

    @property
    def odometer_may_be_lower(self) -> str:
        """The question about a lower odometer, as far as what is typed can be read."""
        if self.known.odometer is None:
            return ""
        try:
            value = Odometer().clean(self._raw("odometer"))
        except ValidationError:
            return ""
        unit = self._raw("odometer_unit") or usual_unit(self.profile.units)
        before = self.known.odometer
        if value is None or unit not in {"km", "mi"} or not is_lower((value, unit), before):
            return ""
        return self.odometer_question(before)

    def clean(self) -> dict[str, Any]:
        """Something is known; a car that seems sold, an odometer that fell, are asked about."""
        data = super().clean()
        told = ("plate_photo", "dashboard_photo", "plate", "phone", "phone_2", "complaint", "wish",
                "name", "firm", "family", "red_flags", "odometer", "which_car")  # fmt: skip
        if not any(data.get(name) not in (None, "", []) for name in told) and not self.errors:
            raise ValidationError(
                _(
                    "Nothing is known of this car yet. One thing is enough: a photo of the plate, "
                    "the plate, a telephone number, or what the customer reports."
                )
            )
        data["odometer_unit"] = data.get("odometer_unit") or usual_unit(self.profile.units)
        if self.known.car:
            self.ask_odometer("odometer", data["odometer_unit"], self.known.odometer)
        if self.known.differs and "whose" not in self.errors and not data.get("whose"):
            self.add_error(
                "whose",
                gettext("%(car)s belongs to %(owner)s so far. Choose what is true now.")
                % {"car": self.known.car, "owner": self.known.owner.shown_name},
            )
        return data

    @property
    def opens_customer(self) -> bool:
        """Whether the folded part about the customer holds something."""
        return any(self[n].value() or self[n].errors for n in ("name", "firm", "phone_2"))

    @property
    def opens_odometer(self) -> bool:
        """Whether the folded part about the odometer holds something."""
        return any(self[n].value() or self[n].errors for n in ("odometer", "odometer_why"))

    def arrival(self) -> dict[str, Any]:
        """What the action takes."""
        data = self.cleaned_data
        facts: dict[str, Any] = {}
        if data.get("odometer") is not None:
            facts = {"odometer_in": data["odometer"], "odometer_unit": data["odometer_unit"]}
            if data.get("odometer_why"):
                facts["odometer_why"] = data["odometer_why"]
        else:
            facts = {"odometer_unit": data["odometer_unit"]}
        earlier = {str(ticket.pk): ticket for ticket in self.known.visits}
        return {
            "plate": data["plate"],
            "car": self.known.car,
            "phones": [data["phone"], data["phone_2"]],
            "name": data["name"],
            "firm": data["firm"],
            "whose": data.get("whose", ""),
            "complaint": data["complaint"],
            "family": data["family"],
            "conditions": data["conditions"],
            "red_flags": data["red_flags"],
            "wish": data["wish"],
            "state": data["state"] or "in_the_bay",
            "comeback_of": earlier.get(data.get("comeback_of", "")),
            "facts": facts,
        } | self.sending

    def photos(self) -> dict[str, Any]:
        """The photos by their subject."""
        return {
            "plate": self.cleaned_data.get("plate_photo"),
            "dashboard": self.cleaned_data.get("dashboard_photo"),
        }


def _visit(ticket: Ticket) -> tuple[str, str]:
    said = [*ticket.complaints.all(), *ticket.wishes.all()]
    about = f": {said[0].words[:60]}" if said else ""
    return str(ticket.pk), f"{ticket.shown_number}{about}"


def subject_words(subject: str) -> str:
    """A photo's subject as a technician says it."""
    return words.technician("photo_subject", subject)
