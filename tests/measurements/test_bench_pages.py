"""Instruments and kept limits: their pages and what they change."""

from __future__ import annotations

import pytest

from measurements.actions import instruments, limits, runs
from measurements.models import Instrument, Limit
from measurements.procedures import PROCEDURES
from shop.actions import cars
from shop.append_only import AppendOnlyError
from shop.engine import Engine

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
        ("calibration_due", "2026-02-30", "is not a calendar date"),
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
    as_owner.post(page(van), STRAP | {"scope": "model"})
    other = cars.add(plate="AB12 CDE", make="corvane", model="HAULER 22", by=owner)
    strange = cars.add(plate="AB12 CDF", make="Corvane", model="Lark", by=owner)
    assert len(limits.for_context(other, "voltage_drop")) == 1
    assert limits.for_context(strange, "voltage_drop") == ()


DIESEL_20 = {"fuel": "diesel", "engine": Engine.of("line", 4, displacement_cc=1968).as_json()}


def hauler(owner, plate: str, **facts):
    """A car of one model; its engine as told."""
    return cars.add(plate=plate, make="Corvane", model="Hauler 22", by=owner, **facts)


def keep(car, owner, high: float, holds_for: str = "car", place: str = "path.strap.drop"):
    return limits.keep(
        car=car,
        procedure="voltage_drop",
        address_pattern=place,
        low=None,
        high=high,
        unit="V",
        source="Workshop book, page 12",
        by=owner,
        holds_for=holds_for,
    )


def highs(car) -> list[float]:
    return [chosen.high for chosen in limits.for_context(car, "voltage_drop")]


@pytest.mark.parametrize(
    "other",
    [
        DIESEL_20 | {"fuel": "petrol"},
        DIESEL_20 | {"engine": Engine.of("line", 4, displacement_cc=1598).as_json()},
        DIESEL_20 | {"engine": Engine.of("line", 5, displacement_cc=1968).as_json()},
        DIESEL_20 | {"engine": Engine.of("flat", 4, displacement_cc=1968).as_json()},
        DIESEL_20 | {"engine": Engine.of("line", 4).as_json()},
        {},
    ],
    ids=["fuel", "displacement", "cylinders", "layout", "displacement unknown", "nothing known"],
)
def test_a_limit_of_another_engine_of_the_model_is_not_chosen(owner, other) -> None:
    keep(hauler(owner, "AB12 CDE", **DIESEL_20), owner, 0.15, "engine")
    assert highs(hauler(owner, "AB12 CDG", **DIESEL_20)) == [0.15]
    assert highs(hauler(owner, "AB12 CDF", **other)) == []


def test_numbering_and_firing_order_make_no_other_engine(owner) -> None:
    keep(hauler(owner, "AB12 CDE", **DIESEL_20), owner, 0.15, "engine")
    turned = Engine.of(
        "line", 4, "from_flywheel", firing_order="1-3-4-2", displacement_cc=1968
    ).as_json()
    assert highs(hauler(owner, "AB12 CDF", fuel="diesel", engine=turned)) == [0.15]


def test_the_cars_own_limit_goes_first_then_its_engines_then_its_models(owner) -> None:
    car = hauler(owner, "AB12 CDE", **DIESEL_20)
    keep(car, owner, 0.19, "model")
    keep(car, owner, 0.15)
    keep(car, owner, 0.17, "engine")
    assert highs(car) == [0.15, 0.17, 0.19]
    assert highs(hauler(owner, "AB12 CDF", **DIESEL_20)) == [0.17, 0.19]
    assert highs(hauler(owner, "AB12 CDG")) == [0.19]


def test_of_equals_the_limit_for_one_place_goes_before_the_one_for_all(owner) -> None:
    car = hauler(owner, "AB12 CDE")
    keep(car, owner, 0.15)
    keep(car, owner, 0.3, place="path.*.drop")
    assert highs(car) == [0.15, 0.3]


def test_a_limit_replaces_the_one_of_its_own_scope_only(owner) -> None:
    car = hauler(owner, "AB12 CDE", **DIESEL_20)
    whole, engine = keep(car, owner, 0.19, "model"), keep(car, owner, 0.17, "engine")
    car.make = "CORVANE"
    assert keep(car, owner, 0.2, "model").replaces == whole
    assert keep(car, owner, 0.18, "engine").replaces == engine
    assert keep(car, owner, 0.15).replaces is None


def test_a_limit_for_an_engine_that_is_not_known_is_refused(owner) -> None:
    with pytest.raises(limits.LimitRefused, match="enter them with the car"):
        keep(hauler(owner, "AB12 CDE"), owner, 0.15, "engine")


def test_the_engine_is_offered_where_it_is_known(as_owner, owner, van) -> None:
    known = hauler(owner, "AB12 CDE", **DIESEL_20)
    text = as_owner.get(page(known)).content.decode()
    assert "every Corvane Hauler 22 with this engine: diesel, 4 in line, 1968\u00a0cm³" in text
    unknown = as_owner.get(page(van)).content.decode()
    assert 'value="engine"' not in unknown
    assert "enter fuel, layout, cylinders and displacement with the car" in unknown


def test_the_page_of_a_limit_says_whose_goes_before_whose(as_owner, owner) -> None:
    car = hauler(owner, "AB12 CDE", **DIESEL_20)
    keep(car, owner, 0.15)
    keep(car, owner, 0.19, "model")
    text = as_owner.get(page(car)).content.decode()
    order = text[text.index("Which limit holds") :]
    said = [
        "for this car",
        "at most 0.15\u00a0V",
        "for its model with this engine: diesel, 4 in line, 1968\u00a0cm³",
        "for its model, whatever the engine",
        "at most 0.19\u00a0V",
        "a published standard",
        "common practice",
    ]
    assert sorted(said, key=order.index) == said


@pytest.mark.parametrize("procedure", PROCEDURES.values(), ids=lambda one: one.name)
def test_no_limit_of_common_practice_hides_a_published_one(procedure) -> None:
    tags: dict[str, list[str]] = {}
    for limit in procedure.limits:
        if limit.source:
            tags.setdefault(limit.address, []).append(limit.source.tag)
    for found in tags.values():
        assert sorted(found, key=["S", "C"].index) == found


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
