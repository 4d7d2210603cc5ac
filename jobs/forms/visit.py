"""What is asked of a visit after it has begun: facts, people, complaints, notes, states."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from django import forms
from django.utils.html import format_html_join
from django.utils.safestring import SafeString
from django.utils.translation import gettext_lazy as _

from jobs import words
from jobs.actions import tickets
from jobs.forms.intake import LONGEST_NUMBER, UNITS, OdometerMixin, why_field
from jobs.forms.questions import QuestionsMixin
from jobs.forms.typed import Plate, Promise, Vin, Year
from jobs.models import Ticket
from jobs.odometer import highest, usual_unit
from shop.forms.fields import Amount, Closed, ClosedSeveral, Line, Odometer, RecordingForm, Words
from shop.models import Profile
from shop.money import Money

CAR_FACTS = ("plate", "make", "model", "year", "vin", "fuel")
CUSTOMER_FACTS = ("name", "phone")


class CheckInForm(OdometerMixin, RecordingForm):
    """Facts of the visit. Only what differs from what the page showed is written, so that two
    phones don't undo each other's facts."""

    ARRIVAL = ("odometer_in", "odometer_unit", "odometer_why", "fuel_level", "arrival")
    SEEN = ("damage", "belongings")
    AGREED = ("promised_at", "allowance_minor")

    def __init__(self, ticket: Ticket, *args: Any, profile: Profile, **options: Any) -> None:
        options["initial"] = _facts_now(ticket, profile) | (options.get("initial") or {})
        super().__init__(*args, **options)
        self.ticket = ticket
        fields = self.fields
        fields["odometer_in"] = Odometer(label=_("Odometer"))
        fields["odometer_unit"] = forms.ChoiceField(label=_("Unit"), choices=UNITS, required=False)
        fields["odometer_why"] = why_field()
        fields["fuel_level"] = Closed(words.FUEL_LEVEL, label=_("Fuel"))
        fields["arrival"] = Closed(words.ARRIVAL, label=_("How it came"))
        fields["lamps"] = ClosedSeveral(
            words.LAMP,
            label=_("Lamps that stay on"),
            help_text=_("Key on, engine off, then running: those that stay."),
        )
        fields["damage"] = Words(
            label=_("Damage seen"),
            required=False,
            rows=2,
            limit=2_000,
            help_text=_("And what could not be seen: dark, rain, mud."),
        )
        fields["belongings"] = Words(
            label=_("Left in the car"),
            required=False,
            rows=2,
            limit=2_000,
            help_text=_("Keys and fobs, wheel-lock key, child seat, dash camera, valuables."),
        )
        fields["promised_at"] = Promise(label=_("Promised"))
        fields["allowance_minor"] = Amount(
            currency=ticket.currency,
            label=_("Diagnosis agreed up to"),
            help_text=_("The sum that you may spend on finding out before you ask again."),
        )
        fields["plate"] = Plate(label=_("Number plate"))
        fields["make"] = Line(label=_("Make"), required=False, limit=60)
        fields["model"] = Line(label=_("Model"), required=False, limit=60)
        fields["year"] = Year(label=_("Year"))
        fields["vin"] = Vin(label=_("VIN"), region=profile.region)
        fields["fuel"] = Closed(
            words.FUEL, chips=False, empty=_("not known"), label=_("Fuel it takes")
        )
        fields["name"] = Line(label=_("Customer’s name"), required=False)
        fields["phone"] = Line(
            label=_("A further telephone number"),
            required=False,
            limit=LONGEST_NUMBER,
            widget=forms.TextInput(attrs={"inputmode": "tel"}),
        )
        # A page that tells what it showed is compared with that, anything else with the ticket.
        self.told = not self.is_bound or any(name.startswith("initial-") for name in self.data)
        for name, field in fields.items():
            field.show_hidden_initial = self.told and name not in {"client_key", "device_at"}

    @property
    def shown_before(self) -> SafeString:
        """Hidden fields that tell which values this page showed."""
        return format_html_join(
            "",
            "{}",
            ((b.as_hidden(only_initial=True),) for b in self if b.field.show_hidden_initial),
        )

    def clean(self) -> dict[str, Any]:
        """An odometer that shows less than before is asked about; a promise only when it is new."""
        data = super().clean()
        if "odometer_in" in self.changed_data and data.get("odometer_in") is not None:
            unit = data.get("odometer_unit") or self.ticket.odometer_unit
            before = tickets.odometer_before(self.ticket.car, but=self.ticket)
            self.ask_odometer("odometer_in", unit, before)
        for name in ("promised_at", "year"):
            if name in self.errors and name not in self.changed_data:
                del self.errors[name]  # what time has made impossible stands while untouched
        return data

    def _changed(self, names: tuple[str, ...]) -> dict[str, Any]:
        data = self.cleaned_data
        sent = names if self.told else [name for name in names if name in self.data]
        return {name: data[name] for name in sent if name in self.changed_data and name in data}

    def facts(self) -> dict[str, Any]:
        """What changed of the visit, as the record writes it."""
        facts = self._changed((*self.ARRIVAL, "lamps", *self.SEEN, *self.AGREED))
        if isinstance(facts.get("promised_at"), datetime):
            facts["promised_at"] = facts["promised_at"].isoformat()
        if "odometer_unit" in facts and not facts["odometer_unit"]:
            del facts["odometer_unit"]
        return facts

    def car_facts(self) -> dict[str, Any]:
        """What changed of the car. A car that takes power from a high-voltage system has one."""
        facts = self._changed(CAR_FACTS)
        if facts.get("fuel") in words.HIGH_VOLTAGE_FUELS:
            facts["high_voltage"] = True
        return facts

    def customer_facts(self) -> dict[str, Any]:
        """What changed of the customer."""
        facts = self._changed(CUSTOMER_FACTS)
        if phone := facts.pop("phone", ""):
            have = [known.typed for known in self.ticket.customer.phones.all()]
            facts["phones"] = [*have, phone]
        return facts


def _facts_now(ticket: Ticket, profile: Profile) -> dict[str, Any]:
    visit = {
        name: getattr(ticket, name)
        for name in (
            "odometer_in",
            "odometer_unit",
            "odometer_why",
            "fuel_level",
            "arrival",
            "lamps",
            "damage",
            "belongings",
            "promised_at",
            "allowance_minor",
        )
    }
    if ticket.odometer_in is None:
        visit["odometer_unit"] = ticket.odometer_unit or usual_unit(profile.units)
    else:
        visit["odometer_in"] = str(ticket.odometer_in)
    if ticket.allowance_minor is not None:
        visit["allowance_minor"] = Money(ticket.allowance_minor, ticket.currency).typed()
    car = {name: getattr(ticket.car, name) for name in CAR_FACTS}
    car["year"] = str(ticket.car.year or "")
    return visit | car | {"name": ticket.customer.name}


class PeopleForm(RecordingForm):
    """Who owns the car, brings it, agrees and pays. What is empty is the customer."""

    def __init__(self, ticket: Ticket, *args: Any, **options: Any) -> None:
        super().__init__(*args, **options)
        now = {person.part: person for person in ticket.people.all()}
        for part in words.TICKET_PART.codes:
            person = now.get(part)
            other = person.customer if person and person.customer_id != ticket.customer_id else None
            phone = next(iter(other.phones.all()), None) if other else None
            self.fields[f"{part}_name"] = Line(
                label=_("Name"), required=False, initial=other.name if other else ""
            )
            self.fields[f"{part}_phone"] = Line(
                label=_("Telephone"),
                required=False,
                limit=LONGEST_NUMBER,
                widget=forms.TextInput(attrs={"inputmode": "tel"}),
                initial=phone.typed if phone else "",
            )
        authoriser = now.get("authoriser")
        self.fields["authoriser_limit"] = Amount(
            currency=ticket.currency,
            label=_("Says yes up to"),
            initial=authoriser.limit_minor if authoriser else None,
        )
        self.fields["authoriser_order_no"] = Line(
            label=_("Their order number"),
            required=False,
            limit=60,
            initial=authoriser.order_no if authoriser else "",
        )

    @property
    def rows(self) -> list[dict[str, Any]]:
        """Each part with its fields, for the page."""
        return [
            {
                "part": str(word.technician),
                "meaning": str(word.customer),
                "fields": [f for f in self if f.name.startswith(f"{word.code}_")],
            }
            for word in words.TICKET_PART
        ]

    def parts(self) -> dict[str, dict[str, Any] | None]:
        """Who has which part, as the action takes it."""
        data = self.cleaned_data
        found: dict[str, dict[str, Any] | None] = {}
        for part in words.TICKET_PART.codes:
            facts = {"name": data[f"{part}_name"], "phone": data[f"{part}_phone"]}
            if part == "authoriser":
                facts["limit_minor"] = data["authoriser_limit"]
                facts["order_no"] = data["authoriser_order_no"]
            found[part] = facts if any(v not in (None, "") for v in facts.values()) else None
        return found


class ComplaintForm(QuestionsMixin, RecordingForm):
    """What the customer reports, in their own words, and when it happens."""

    words = Words(
        label=_("In the customer’s own words"),
        error_messages={"required": _("Write what the customer says, as they say it.")},
    )


class ComplaintChangeForm(ComplaintForm):
    """A later version of a complaint, with the reason."""

    why = Line(label=_("Why it changes"), limit=300)


class WishForm(RecordingForm):
    """Work that the customer asks for."""

    words = Words(
        label=_("What the customer asks for"),
        error_messages={"required": _("Write what the customer asks for.")},
    )


class NoteForm(RecordingForm):
    """Anything worth keeping that is neither a test, a photo nor a swap."""

    words = Words(
        label=_("Note"),
        rows=5,
        error_messages={"required": _("The note is empty. Write it first.")},
    )


class StateForm(OdometerMixin, RecordingForm):
    """Where the ticket goes next, and what it waits for."""

    def __init__(self, ticket: Ticket, *args: Any, **options: Any) -> None:
        super().__init__(*args, **options)
        self.ticket = ticket
        fields = self.fields
        fields["to"] = forms.ChoiceField(
            label=_("Next"),
            widget=forms.RadioSelect,
            choices=self.ways(ticket),
            error_messages={
                "required": _("Choose where the ticket goes."),
                "invalid_choice": _("The ticket can’t go there in one step from where it is."),
            },
        )
        fields["waits_for"] = Closed(words.WAITS_FOR, label=_("It waits for"))
        fields["odometer_out"] = Odometer(label=_("Odometer now"))
        fields["odometer_why"] = why_field()
        fields["note"] = Words(
            label=_("Note"),
            required=False,
            rows=2,
            limit=2_000,
            help_text=_("A date to ring, a part’s arrival, where the keys are."),
        )
        fields["checked"] = ClosedSeveral(words.LAST_CHECK, label=_("Last check before the keys"))
        fields["wheel_nuts"] = Line(
            label=_("Wheel nuts: torque, tool, who"),
            required=False,
            help_text=_("As in 120 N·m, torque wrench 2, T. Reyk."),
        )

    @staticmethod
    def ways(ticket: Ticket) -> list[tuple[str, Any]]:
        """The states within one step, in a visit's order; `waiting` again for something else."""
        again = {"waiting"} & {ticket.state}
        allowed = tickets.MOVES[ticket.state] | again
        return [(w.code, w.technician) for w in words.TICKET_STATE if w.code in allowed]

    def clean(self) -> dict[str, Any]:
        """Waiting names its reason; an odometer that fell is asked about."""
        data = super().clean()
        if data.get("to") == "waiting" and not data.get("waits_for"):
            self.add_error("waits_for", _("Choose what it waits for."))
        ticket = self.ticket
        into = None
        if ticket.odometer_in is not None:
            into = (ticket.odometer_in, ticket.odometer_unit)
        before = highest([tickets.odometer_before(ticket.car, but=ticket), into])
        self.ask_odometer("odometer_out", ticket.odometer_unit, before)
        return data

    def move(self) -> dict[str, Any]:
        """What the action takes."""
        data = self.cleaned_data
        return {
            "to": data["to"],
            "waits_for": data["waits_for"] if data["to"] == "waiting" else "",
            "note": "\n".join(part for part in (self._last_check(), data["note"]) if part),
            "odometer_out": data["odometer_out"],
            "odometer_why": data["odometer_why"],
        } | self.sending

    def _last_check(self) -> str:
        """The ticks as one paragraph, as it is printed."""
        data = self.cleaned_data
        done = [words.LAST_CHECK.technician(code) for code in data["checked"]]
        if data["wheel_nuts"]:
            done.append(str(_("wheel nuts: %(how)s")) % {"how": data["wheel_nuts"]})
        if not done:
            return ""
        return str(_("Last check: %(done)s.")) % {"done": "; ".join(done)}
