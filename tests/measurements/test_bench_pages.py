"""Instruments and kept limits: their pages and what they change."""

from __future__ import annotations

import pytest

from measurements.actions import instruments, limits, runs
from measurements.models import Instrument, Limit
from measurements.procedures import PROCEDURES
from shop.append_only import AppendOnlyError

METER = {"kind": "multimeter", "name": "Bench meter", "accuracy": "±(0.5 % + 2 counts)"}
DROP = PROCEDURES["voltage_drop"]


# --- instruments --------------------------------------------------------------------------------


def test_an_instrument_needs_a_name_and_a_kind_only(as_technician) -> None:
    sent = {"kind": "clamp_ammeter", "name": "Clamp"}
    assert as_technician.post("/instruments/new/", sent).status_code == 302
    kept = Instrument.objects.get()
    assert (kept.is_typical, kept.accuracy) == (True, "±(2 % + 5 counts)")
    assert kept.quantity == "current"


def test_the_first_of_a_kind_is_the_usual_one_and_a_second_can_become_it(as_owner) -> None:
    as_owner.post("/instruments/new/", METER)
    as_owner.post("/instruments/new/", METER | {"name": "Other", "is_usual": "on"})
    usual = Instrument.objects.filter(is_usual=True)
    assert [tool.name for tool in usual] == ["Other"]
    assert instruments.usual(["multimeter"])["multimeter"].name == "Other"


def test_no_date_is_asked_of_a_hobby_gauge(as_owner) -> None:
    as_owner.post("/instruments/new/", METER)
    assert Instrument.objects.get().calibration_due is None


def test_range_and_step_are_typed_with_units(as_owner) -> None:
    as_owner.post("/instruments/new/", METER | {"high": "600 mV", "digit": "0,1 mV"})
    kept = Instrument.objects.get()
    assert (kept.high, kept.digit) == (pytest.approx(0.6), pytest.approx(0.0001))
    assert instruments.as_core(kept).ranges[0].full_scale == pytest.approx(0.6)


@pytest.mark.parametrize(
    ("field", "text", "says"),
    [
        ("accuracy", "quite good", "does not start with a number"),
        ("high", "60 kg", "no unit of voltage"),
        ("high", "-5 V", "above nought"),
        ("high", "60 V", "belong together"),
        ("kind", "oracle", "not one of the available"),
        ("calibration_due", "2026-02-30", "valid date"),
        ("name", "", "required"),
    ],
)
def test_what_cannot_be_is_refused_and_stays_typed(as_owner, field, text, says) -> None:
    answer = as_owner.post("/instruments/new/", METER | {field: text})
    assert answer.status_code == 422
    assert says in answer.content.decode()
    assert field == "name" or 'value="Bench meter"' in answer.content.decode()
    assert not Instrument.objects.exists()


def test_a_change_leaves_tests_on_record_alone(as_owner, owner, ticket) -> None:
    from jobs.actions.runs import record_test

    tool = instruments.add(by=owner, **METER)
    entry = record_test(
        ticket=ticket,
        procedure="voltage_drop",
        by=owner,
        typed={"given.path": "starter_ground", "given.current": "200", "path.strap.drop": "0.5"},
    )
    as_owner.post(f"/instruments/{tool.pk}/", METER | {"accuracy": "±(5 % + 9 counts)"})
    run = entry.run_link.run
    assert runs.read(run).context.instruments["multimeter"].accuracy == METER["accuracy"]
    assert run.readings.get(address="path.strap.drop").instrument == tool


def test_one_put_away_is_offered_no_more_and_can_come_back(as_owner, owner) -> None:
    tool = instruments.add(by=owner, **METER)
    as_owner.post(f"/instruments/{tool.pk}/retire/")
    assert instruments.usual(["multimeter"]) == {}
    assert "Put away" in as_owner.get("/instruments/").content.decode()
    as_owner.post(f"/instruments/{tool.pk}/retire/")
    assert instruments.usual(["multimeter"])["multimeter"] == tool


def test_the_list_without_any_says_what_happens_then(as_owner) -> None:
    assert "No instrument of your own yet" in as_owner.get("/instruments/").content.decode()


@pytest.mark.parametrize("path", ["/instruments/", "/instruments/new/"])
def test_the_counter_keeps_no_instruments(as_counter, path) -> None:
    assert as_counter.get(path).status_code == 403


def test_retiring_takes_a_post(as_owner, owner) -> None:
    tool = instruments.add(by=owner, **METER)
    assert as_owner.get(f"/instruments/{tool.pk}/retire/").status_code == 405


# --- limits -------------------------------------------------------------------------------------

STRAP = {
    "address": "path.strap.drop",
    "high": "150 mV",
    "source": "Workshop book, page 12",
    "scope": "car",
    "next": "/cars/",
}


def page(van) -> str:
    return f"/cars/{van.pk}/limits/voltage_drop/"


def test_a_makers_limit_is_kept_and_goes_first(as_technician, van) -> None:
    answer = as_technician.post(page(van), STRAP)
    assert (answer.status_code, answer["Location"]) == (303, "/cars/")
    (chosen,) = limits.for_context(van, "voltage_drop")
    assert (chosen.address, chosen.high) == ("path.strap.drop", pytest.approx(0.15))
    assert (chosen.source.tag, chosen.source.text) == ("maker", "Workshop book, page 12")


def test_a_second_limit_replaces_the_first_which_stays(as_owner, van) -> None:
    as_owner.post(page(van), STRAP)
    as_owner.post(page(van), STRAP | {"high": "0.12"})
    assert Limit.objects.count() == 2
    assert [limit.high for limit in Limit.objects.current()] == [pytest.approx(0.12)]
    with pytest.raises(AppendOnlyError):
        Limit.objects.first().delete()


def test_a_limit_of_the_model_is_offered_for_the_next_car_of_it(as_owner, owner, van) -> None:
    from shop.actions import cars

    as_owner.post(page(van), STRAP | {"scope": "model"})
    other = cars.add(plate="AB12 CDE", make="corvane", model="HAULER 22", by=owner)
    strange = cars.add(plate="AB12 CDF", make="Corvane", model="Lark", by=owner)
    assert len(limits.for_context(other, "voltage_drop")) == 1
    assert limits.for_context(strange, "voltage_drop") == ()


def test_the_cars_own_limit_goes_before_its_models(as_owner, van) -> None:
    as_owner.post(page(van), STRAP | {"scope": "model", "high": "0.19"})
    as_owner.post(page(van), STRAP)
    assert limits.for_context(van, "voltage_drop")[0].high == pytest.approx(0.15)


@pytest.mark.parametrize(
    ("changes", "says"),
    [
        ({"source": ""}, "without a source proves nothing"),
        ({"high": ""}, "Enter the most, the least, or both"),
        ({"high": "0.1", "low": "0.2"}, "change them round"),
        ({"high": "abc"}, "is not a number"),
        ({"high": "OL"}, "plain number"),
        ({"high": "12 kg"}, "no unit of voltage"),
        ({"address": "a.b.c"}, "not one of the"),
        ({"scope": "world"}, "not one of the"),
    ],
)
def test_an_unclear_limit_is_refused_and_stays_typed(as_owner, van, changes, says) -> None:
    answer = as_owner.post(page(van), STRAP | changes)
    text = answer.content.decode()
    assert answer.status_code == 422
    assert says in text
    assert "source" in changes or 'value="Workshop book, page 12"' in text
    assert not Limit.objects.exists()


def test_kept_limits_are_shown_with_their_source(as_owner, van) -> None:
    as_owner.post(page(van), STRAP)
    text = as_owner.get(page(van)).content.decode()
    assert "Workshop book, page 12" in text
    assert "at most 0.15\xa0V" in text


@pytest.mark.parametrize("wanted", ["//evil.example", "https://evil.example/", "javascript:1"])
def test_the_way_back_stays_on_this_site(as_owner, van, wanted) -> None:
    assert as_owner.post(page(van), STRAP | {"next": wanted})["Location"] == f"/cars/{van.pk}/"


def test_the_counter_keeps_no_limits(as_counter, van) -> None:
    assert as_counter.get(page(van)).status_code == 403
    assert as_counter.post(page(van), STRAP).status_code == 403


@pytest.mark.parametrize("procedure", PROCEDURES)
def test_every_test_has_a_page_for_its_limits(as_owner, van, procedure) -> None:
    assert as_owner.get(f"/cars/{van.pk}/limits/{procedure}/").status_code == 200
