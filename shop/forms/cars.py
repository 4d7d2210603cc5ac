"""The form of a car: what it is, with the help that a VIN and a usual engine give."""

from __future__ import annotations

import datetime
import re
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from shop import engine, plates, vin
from shop.forms.fields import Closed, Line, Whole, Words
from shop.models import Car
from shop.words import DRIVE, FUEL, FUELS_WITHOUT_ENGINE, GEARBOX, HIGH_VOLTAGE_FUELS

FIRST_CAR = 1885
VOLTS = (6, 12, 24, 48)
ENGINE_FIELDS = ("layout", "cylinders", "numbering", "banks", "firing_order", "displacement_cc")
_FAULTY_FIELD = {
    engine.LayoutUnknown: "numbering",
    engine.CylindersImpossible: "cylinders",
    engine.BanksIncomplete: "banks",
    engine.FiringOrderIncomplete: "firing_order",
    engine.FiringOrderUnreadable: "firing_order",
    engine.DisplacementOutside: "displacement_cc",
}


def _latest_year() -> int:
    return datetime.datetime.now(tz=datetime.UTC).year + 1


def parse_banks(typed: str) -> list[list[int]]:
    """Banks out of typed text: a stroke between the banks, as in 1 2 3 / 4 5 6."""
    if not typed.strip():
        return []
    if not re.fullmatch(r"[0-9 ,;/-]{1,80}", typed):
        raise ValidationError(
            _("“%(typed)s” names no banks. Numbers, and a stroke between banks: 1 2 3 / 4 5 6."),
            params={"typed": typed[:40]},
        )
    banks = [[int(n) for n in re.findall(r"[0-9]+", bank)] for bank in typed.split("/")]
    return [bank for bank in banks if bank]


class CarForm(forms.Form):
    """What is known of a car. A plate is enough; the rest is added when one stands still."""

    plate = Line(label=gettext_lazy("Number plate"), required=False, limit=40)
    region = Line(
        label=gettext_lazy("Plate’s country or state"),
        required=False,
        limit=40,
        help_text=gettext_lazy("Two letters, as in DE, or with a part, as in US-CA."),
    )
    vin = Line(
        label=gettext_lazy("VIN"),
        required=False,
        limit=60,
        widget=forms.TextInput(attrs={"autocapitalize": "characters", "autocomplete": "off"}),
    )
    vin_elsewhere = forms.BooleanField(
        label=gettext_lazy("Made for a market outside North America"),
        required=False,
        help_text=gettext_lazy("Its VIN needs no check digit then. Read it twice all the same."),
    )
    make = Line(label=gettext_lazy("Make"), required=False, limit=60)
    model = Line(label=gettext_lazy("Model"), required=False, limit=60)
    year = Whole(label=gettext_lazy("Year"), low=FIRST_CAR, high=_latest_year())
    body = Line(
        label=gettext_lazy("Kind of body"),
        required=False,
        limit=40,
        help_text=gettext_lazy("As in estate, van, pickup, four doors."),
    )
    fuel = Closed(FUEL, label=gettext_lazy("Fuel"), chips=False, empty=gettext_lazy("not known"))
    gearbox = Closed(
        GEARBOX, label=gettext_lazy("Gearbox"), chips=False, empty=gettext_lazy("not known")
    )
    drive = Closed(
        DRIVE, label=gettext_lazy("Driven wheels"), chips=False, empty=gettext_lazy("not known")
    )
    volts = forms.TypedChoiceField(
        label=gettext_lazy("System voltage"),
        coerce=int,
        choices=[(volts, f"{volts}\u00a0V") for volts in VOLTS],
    )
    high_voltage = forms.BooleanField(
        label=gettext_lazy("Has a high-voltage system"),
        required=False,
        help_text=gettext_lazy(
            "Hybrid, electric, or 48 volt: changes cautions and which tests apply. Ticked by "
            "itself for such a fuel."
        ),
    )
    preset = forms.ChoiceField(
        label=gettext_lazy("A usual engine to start from"),
        required=False,
        help_text=gettext_lazy("Common practice, not the maker’s data: correct it below."),
    )
    layout = forms.ChoiceField(
        label=gettext_lazy("Layout"),
        required=False,
        choices=[("", gettext_lazy("not known")), *engine.LAYOUTS.items()],
    )
    cylinders = Whole(label=gettext_lazy("Cylinders"), low=0, high=engine.MOST_CYLINDERS)
    numbering = forms.ChoiceField(
        label=gettext_lazy("Numbered"),
        required=False,
        choices=[("", gettext_lazy("as is usual")), *engine.NUMBERINGS.items()],
    )
    banks = Line(
        label=gettext_lazy("Banks, from the belt end"),
        required=False,
        limit=80,
        help_text=gettext_lazy("Only where stated bank by bank: 1 2 3 / 4 5 6."),
    )
    firing_order = Line(
        label=gettext_lazy("Firing order"),
        required=False,
        limit=80,
        help_text=gettext_lazy("As in 1-3-4-2."),
    )
    displacement_cc = Whole(
        label=gettext_lazy("Displacement"),
        low=1,
        high=engine.MOST_CC,
    )
    non_standard = Words(
        label=gettext_lazy("Non-standard parts"), required=False, limit=2_000, rows=2
    )
    notes = Words(label=gettext_lazy("Notes"), required=False)

    IDENTITY = ("plate", "region")
    WHAT = ("make", "model", "body")
    DRIVING = ("fuel", "gearbox", "drive", "volts", "high_voltage")

    def __init__(self, *args: Any, car: Car, home: str = "", **options: Any) -> None:
        super().__init__(*args, initial=_initial(car), **options)
        self.car, self.home = car, home
        self.fields["preset"].choices = [
            ("", _("none")),
            *((code, preset.words) for code, preset in engine.PRESETS.items()),
        ]

    # ---------------------------------------------------------------- the VIN, looked at

    def vin_check(self) -> vin.VinCheck | None:
        """What the VIN that stands in the field is worth; None for an empty field."""
        typed = str(self["vin"].value() or "")[:100]
        if not typed.strip():
            return None
        year = str(self["year"].value() or "")
        known = int(year) if re.fullmatch(r"[0-9]{4}", year) else None
        return vin.check(typed, self._market(), known_year=known)

    def _market(self) -> str:
        if self["vin_elsewhere"].value():
            return vin.ELSEWHERE
        return vin.market_of(str(self["region"].value() or "") or self.home)

    @property
    def binds(self) -> bool:
        """Whether the check digit is required of this car."""
        return vin.market_of(str(self["region"].value() or "") or self.home) == vin.NORTH_AMERICA

    def filled(self, values: dict[str, str]) -> CarForm:
        """The same form with some fields filled in: shown again, nothing saved."""
        typed = self.data.copy()
        for name, value in values.items():
            typed[name] = value
        again = CarForm(typed, car=self.car, home=self.home)
        again._errors = forms.utils.ErrorDict()  # looked at, not judged
        again.cleaned_data = {}
        return again

    def from_preset(self) -> dict[str, str]:
        """The fields that the chosen usual engine fills in; none where none is chosen."""
        preset = engine.PRESETS.get(str(self["preset"].value() or ""))
        if preset is None:
            return {}
        usual = preset.engine
        return {
            "layout": usual.layout,
            "cylinders": str(usual.cylinders),
            "numbering": usual.numbering,
            "banks": "",
            "firing_order": usual.firing_order_text,
        }

    # ---------------------------------------------------------------- cleaning

    def clean_plate(self) -> str:
        """The plate as it is stored."""
        try:
            return plates.read_plate(self.cleaned_data["plate"])
        except plates.PlateError as fault:
            raise ValidationError(str(fault)) from fault

    def clean_region(self) -> str:
        """The region as an ISO 3166 code."""
        try:
            return plates.read_region(self.cleaned_data["region"])
        except plates.PlateError as fault:
            raise ValidationError(str(fault)) from fault

    def clean_banks(self) -> list[list[int]]:
        """Each bank's cylinders."""
        return parse_banks(self.cleaned_data["banks"])

    def clean(self) -> dict[str, Any]:
        """What hangs together: VIN and market, engine, fuel and high voltage."""
        typed = self.cleaned_data
        self._clean_vin(typed)
        typed["engine"] = self._engine(typed)
        if typed.get("fuel") in HIGH_VOLTAGE_FUELS:
            typed["high_voltage"] = True
        if not self.errors and not (typed["plate"] or typed["vin"] or typed["make"]):
            self.add_error("plate", _("A plate, a VIN or a make is needed to find the car again."))
        return typed

    def _clean_vin(self, typed: dict[str, Any]) -> None:
        if "vin" not in typed:
            return
        number = vin.normalise(typed["vin"])
        if len(number) > vin.LONGEST_KEPT:
            text = _("%(n)d characters; a VIN has 17.") % {"n": len(number)}
            self.add_error("vin", text)
            return
        # One that was kept before is not asked about again.
        check = self.vin_check() if number and number != self.car.vin else None
        if check and check.refused:
            self.add_error("vin", " ".join(check.advice))
            return
        typed["vin"] = number
        other = self._other_car(number)
        if other:
            self.add_error(
                "vin",
                _("This VIN is already on another car here, %(car)s. Two cars never share one.")
                % {"car": other},
            )

    def _other_car(self, number: str) -> Car | None:
        if len(number) != vin.LENGTH:
            return None
        return Car.objects.filter(vin_key=vin.vin_key(number)).exclude(pk=self.car.pk).first()

    def _engine(self, typed: dict[str, Any]) -> dict[str, Any]:
        """The engine as plain data; empty where nothing of it is known."""
        told = {name: typed.get(name) for name in ENGINE_FIELDS}
        if any(name in self.errors for name in ENGINE_FIELDS):
            return {}
        if not any(value not in ("", None, []) for value in told.values()):
            told |= self.from_preset()
            told["cylinders"] = int(told["cylinders"]) if told["cylinders"] else None
            told["banks"] = []
        layout = told["layout"]
        if typed.get("fuel") in FUELS_WITHOUT_ENGINE and layout not in ("", None, "none"):
            self.add_error("layout", _("With this fuel there is no combustion engine."))
            return {}
        if not any(value not in ("", None, []) for value in told.values()):
            return {}
        if not layout:
            self.add_error("layout", _("Choose the layout too, or leave the engine empty."))
            return {}
        cylinders = 0 if layout == "none" else told["cylinders"]
        if cylinders is None:
            self.add_error("cylinders", _("How many cylinders? Type the number."))
            return {}
        try:
            return engine.Engine.of(
                layout,
                cylinders,
                told["numbering"] or "",
                firing_order=told["firing_order"] or "",
                banks=told["banks"] or (),
                displacement_cc=told["displacement_cc"],
            ).as_json()
        except engine.EngineError as fault:
            self.add_error(_FAULTY_FIELD.get(type(fault), "layout"), str(fault))
            return {}

    # ---------------------------------------------------------------- groups for the page

    def identity(self) -> list[forms.BoundField]:
        """Plate and its country."""
        return [self[name] for name in self.IDENTITY]

    def what(self) -> list[forms.BoundField]:
        """Make, model, body."""
        return [self[name] for name in self.WHAT]

    def driving(self) -> list[forms.BoundField]:
        """Fuel, gearbox, wheels, voltage."""
        return [self[name] for name in self.DRIVING]


def _initial(car: Car) -> dict[str, Any]:
    """The car's facts as form values. An engine of which only part is stored shows that part."""
    known = car.engine or {}
    own = {
        name: getattr(car, name)
        for name in (
            "plate",
            "region",
            "vin",
            "make",
            "model",
            "year",
            "body",
            "fuel",
            "gearbox",
            "drive",
            "volts",
            "high_voltage",
            "non_standard",
            "notes",
        )
    }
    stated = known.get("numbering") == "as_stated"
    banks = " / ".join(" ".join(map(str, bank)) for bank in known.get("banks", ()))
    return own | {
        "layout": known.get("layout", ""),
        "cylinders": known.get("cylinders"),
        "numbering": known.get("numbering", ""),
        "banks": banks if stated else "",
        "firing_order": "-".join(map(str, known.get("firing_order", ()))),
        "displacement_cc": known.get("displacement_cc"),
    }


class NewOwnerForm(forms.Form):
    """A car's new owner who is not known here yet."""

    name = Line(label=gettext_lazy("Name"), required=False)
    phone = Line(label=gettext_lazy("Telephone"), required=False, limit=40)

    def clean(self) -> dict[str, Any]:
        """One of the two at least."""
        typed = self.cleaned_data
        if not self.errors and not (typed["name"] or typed["phone"]):
            self.add_error("name", _("A name or a telephone number is needed. Type one."))
        return typed
