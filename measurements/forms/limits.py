"""What is asked of a limit from a maker's data: where it holds, numbers, where it is printed."""

from __future__ import annotations

from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.text import capfirst
from django.utils.translation import gettext as _gettext
from django.utils.translation import gettext_lazy as _

from measurements.core import units
from measurements.core.context import Context
from measurements.core.procedure import Count, Free, Procedure, Quantity, Row
from measurements.core.readings import GridLayout, layout
from measurements.core.typed import TypedError, parse
from shop.engine import kind_words
from shop.forms.fields import Line
from shop.models import Car


def places(procedure: Procedure, context: Context) -> dict[str, tuple[str, str]]:
    """Where a maker may set a limit: address pattern -> words and quantity.

    What has a general limit comes first, then single rows, then the rest; what a maker may not
    override is left out.
    """
    fixed = {limit.address for limit in procedure.limits if not limit.maker_may_override}
    judged = {limit.address for limit in procedure.limits}
    columns: dict[str, tuple[str, str]] = {}
    rows: dict[str, tuple[str, str]] = {}
    others: dict[str, tuple[str, str]] = {}
    for key, (words, quantity) in procedure.maker_figures.items():
        columns[f"figure.{key}"] = (words, quantity)
    for entry in procedure.given:
        if isinstance(entry, Quantity) and entry.origin == "measured":
            address = f"given.{entry.key}"
            kept = columns if address in judged else others
            kept[address] = (capfirst(entry.label), entry.quantity)
    for grid in layout(procedure, context).grids:
        for column in grid.grid.columns:
            if not isinstance(column, (Quantity, Count)):
                continue
            whole = f"{grid.grid.key}.*.{column.key}"
            quantity = column.quantity if isinstance(column, Quantity) else "count"
            kept = columns if whole in judged else others
            label = _gettext("%(what)s, everywhere") % {"what": capfirst(column.label)}
            kept[whole] = (label, quantity)
            for row in () if whole in fixed else _rows(grid):
                single = f"{grid.grid.key}.{row.code}.{column.key}"
                label = f"{capfirst(row.label)}, {column.label}"
                if single in rows:
                    label = f"{rows[single][0]} / {label}"
                rows[single] = (label, quantity)
    found = columns | rows | others
    return {address: place for address, place in found.items() if address not in fixed}


def _rows(grid: GridLayout) -> list[Row]:
    """The rows that a grid may have: all its ready ones where a choice decides."""
    axis = grid.grid.axis
    if isinstance(axis, Free):
        return [row for ready in axis.presets.values() for row in ready]
    return [row.row for row in grid.rows]


class LimitForm(forms.Form):
    """A limit with its source. Numbers with a unit, or in the shop's."""

    address = forms.ChoiceField(label=_("Limit of"))
    low = Line(label=_("At least"), required=False, limit=40)
    high = Line(label=_("At most"), required=False, limit=40)
    source = Line(
        label=_("Where it stands"),
        limit=200,
        help_text=_("The maker's book or system, with page or document number."),
        error_messages={
            "required": _("Say where it stands: a limit without a source proves nothing.")
        },
    )
    edition = Line(label=_("Edition or date"), required=False, limit=80)
    scope = forms.ChoiceField(label=_("Holds for"), widget=forms.RadioSelect)

    def __init__(
        self, car: Car, procedure: Procedure, context: Context, *args: Any, **options: Any
    ) -> None:
        super().__init__(*args, **options)
        self.places = places(procedure, context)
        self.system = context.units
        self.fields["address"].choices = [(a, words) for a, (words, _q) in self.places.items()]
        scopes = [("car", _gettext("this car"))]
        if car.make and car.model:
            facts = {"model": f"{car.make} {car.model}"}
            if car.engine_kind:
                facts["engine"] = kind_words(car.engine_kind)
                every = _gettext("every %(model)s with this engine: %(engine)s") % facts
                scopes.append(("engine", every))
            scopes.append(("model", _gettext("every %(model)s, whatever the engine") % facts))
        self.fields["scope"].choices = scopes
        self.fields["scope"].initial = "car"
        if not car.engine_kind:
            self.fields["scope"].help_text = _gettext(
                "To keep it for one engine of the model, enter fuel, layout, cylinders and "
                "displacement with the car."
            )

    @property
    def quantity(self) -> str:
        """The quantity of the chosen place."""
        address = self.cleaned_data.get("address", "")
        return self.places[address][1] if address in self.places else ""

    @property
    def unit(self) -> str:
        """The unit in which it is stored."""
        return units.QUANTITIES[self.quantity].unit

    def clean(self) -> dict[str, Any]:
        """Both numbers in the stored unit."""
        data = super().clean()
        if not self.quantity:
            return data
        for name in ("low", "high"):
            data[name] = self._number(name, data.get(name, ""))
        if self.errors:
            return data
        low, high = data["low"], data["high"]
        if low is None and high is None:
            self.add_error("high", _("Enter the most, the least, or both."))
        elif low is not None and high is not None and low > high:
            self.add_error("high", _("The most is less than the least: change them round."))
        return data

    def _number(self, name: str, text: str) -> float | None:
        if not text:
            return None
        try:
            found = parse(text, self.quantity, units.shop_unit(self.quantity, self.system))
        except TypedError as fault:
            self.add_error(name, ValidationError(str(fault)))
            return None
        if found.status != "measured" or found.value is None:
            self.add_error(name, ValidationError(_("A plain number is needed here.")))
            return None
        return found.value
