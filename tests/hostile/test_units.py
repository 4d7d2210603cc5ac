"""Readings in another unit than the shop's: kept as they were read, and marked where converted."""

from __future__ import annotations

import html
import re

import pytest
from django.urls import reverse

from measurements.core.units import show_value
from measurements.models import Reading
from tests.measurements.readings_files import Case

pytestmark = pytest.mark.django_db

HOLD = Case("pressure_hold", "steady_cold").data["typed"]


def words_of(answer) -> str:
    plain = html.unescape(re.sub(r"<[^>]+>", " ", answer.content.decode()))
    return " ".join(plain.split())


@pytest.fixture
def recorded(as_technician, ticket, shop):
    """Records the pressure test in a shop of these units, with these readings changed."""

    def record(units: str, **changed: str):
        shop.units = units
        shop.save()
        typed = HOLD | {name.replace("__", "."): value for name, value in changed.items()}
        answer = as_technician.post(
            reverse("test-new", args=[ticket.number, "pressure_hold"]),
            typed | {"fault_present": "unknown", "state_of_car": "cold", "client_key": "a" * 32},
        )
        assert answer.status_code == 303
        return answer["Location"]

    return record


ROUND_TRIPS = {
    "row 45: bar in a shop of psi": ("us", "pressure", "1.04 bar", "15.1"),
    "row 45: psi in a shop of kPa": ("metric", "pressure", "15.1 psi", "104"),
    "row 45: Celsius in a shop of Fahrenheit": ("us", "temperature", "21 °C", "70"),
    "row 45: Fahrenheit in a shop of Celsius": ("metric", "temperature", "70 °F", "21.1"),
}
IN_THE_SHOPS_UNITS = {
    "metric": {},
    "us": {
        f"hold__s{n}__{what}": value
        for n in (1, 2, 3)
        for what, value in (("pressure", "15.1"), ("temperature", "70"))
        if (n, what) != (2, "temperature")
    }
    | {"given__cap": "16"},
}


@pytest.mark.parametrize(
    ("system", "what", "typed", "shown"), ROUND_TRIPS.values(), ids=ROUND_TRIPS.keys()
)
def test_what_was_read_stays_and_the_converted_value_is_marked(
    as_technician, ticket, recorded, system, what, typed, shown
):
    address = f"hold__s3__{what}"
    where = recorded(system, **IN_THE_SHOPS_UNITS[system] | {address: typed})
    stored = Reading.objects.get(address=address.replace("__", "."))
    assert stored.typed == typed
    form = as_technician.get(where.replace("/test/", "/correct/")).content.decode()
    assert f'name="hold.s3.{what}" value="{typed}"' in form.replace(' type="text"', "")
    for page in (where, reverse("report-preview", args=[ticket.number])):
        words = words_of(as_technician.get(page))
        assert f"Reading 3 {shown} ±" in words
        assert f"Converted; what was read: Reading 3, {typed}." in words


@pytest.mark.parametrize(
    ("system", "typed", "unit"),
    [("us", "1.04 bar", "bar"), ("metric", "15.1 psi", "psi")],
    ids=["row 45: bar, psi, bar", "row 45: psi, kPa, psi"],
)
def test_a_pressure_comes_back_from_its_other_unit_as_it_was(recorded, system, typed, unit):
    recorded(system, **IN_THE_SHOPS_UNITS[system] | {"hold__s3__pressure": typed})
    stored = Reading.objects.get(address="hold.s3.pressure")
    back = show_value(stored.value, "gauge_pressure", unit=unit)
    assert back.replace("\u00a0", " ") == typed


def test_row_45_a_converted_fact_is_marked_too(as_technician, ticket, recorded):
    where = recorded("metric", given__cap="16 psi")
    for page in (where, reverse("report-preview", args=[ticket.number])):
        assert "110 kPa, converted from 16 psi" in words_of(as_technician.get(page)).replace(
            "\u00a0", " "
        )


@pytest.mark.parametrize("typed", ["104", "104 kPa", "1.04 bar", "1040 mbar"])
def test_row_45_the_same_figures_are_no_conversion(as_technician, recorded, typed):
    where = recorded("metric", hold__s3__pressure=typed)
    assert "Converted" not in words_of(as_technician.get(where))
