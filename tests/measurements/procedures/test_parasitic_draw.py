"""Draw at rest: nothing judged before it should sleep, waking seen, and where the current flows."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from measurements.core.assessment import Assessment
from measurements.core.run_file import run_data
from measurements.procedures.parasitic_draw import PROCEDURE


def judged(typed: dict[str, Any], **context: Any) -> Assessment:
    context.setdefault("fault_present", "yes")
    readings = {f"ready.{item.code}": "yes" for item in PROCEDURE.preconditions} | typed
    return run_data(PROCEDURE, {"typed": readings, "context": context}).assessment


def watch(*readings: tuple[float, object], **more: str) -> dict[str, str]:
    """(minutes, mA) in rising order, and given fields."""
    typed = {f"given.{key}": value for key, value in more.items()}
    for number, (minutes, ma) in enumerate(readings, 1):
        typed[f"watch.s{number}.at"] = f"{minutes:g}"
        typed[f"watch.s{number}.current"] = str(ma)
    return typed


def fuses(*read: tuple[str, str, str]) -> dict[str, str]:
    """(name, rating, mV)."""
    typed = {}
    for number, row in enumerate(read, 1):
        for column, text in zip(("name", "rating", "drop"), row, strict=True):
            typed[f"fuses.r{number}.{column}"] = text
    return typed


STEADY = watch((1, 3000), (60, 310), (75, 311), (90, 310))


def ids(result: Assessment) -> list[str]:
    return [sentence.id for sentence in (*result.customer, *result.technician)]


# --- asleep or not ----------------------------------------------------------------------------


def test_much_current_soon_after_shutdown_is_no_finding() -> None:
    result = judged(watch((1, 5000), (10, 900), (30, 400)))
    assert result.pattern == "not_asleep_yet"
    assert {verdict.outcome for verdict in result.verdicts} == {"no_limit"}


def test_it_is_judged_from_when_it_falls_asleep() -> None:
    result = judged(watch((1, 5000), (10, 900), (20, 30), (40, 30), (60, 30)))
    outcomes = [verdict.outcome for verdict in result.verdicts]
    assert result.pattern == "sound"
    assert outcomes == ["no_limit", "no_limit", "within", "within", "within"]


def test_it_is_judged_after_an_hour_at_the_latest() -> None:
    assert judged(watch((1, 5000), (60, 400), (61, 400))).pattern == "high_steady"
    assert judged(watch((1, 5000), (59, 400))).pattern == "not_asleep_yet"


def test_a_sign_that_it_sleeps_shortens_the_wait() -> None:
    assert judged(watch((1, 5000), (30, 180), (35, 180))).pattern == "not_asleep_yet"
    assert judged(watch((1, 5000), (30, 180), (35, 180), asleep_at="15")).pattern == "high_steady"


def test_asleep_later_than_an_hour_is_late() -> None:
    result = judged(watch((1, 5000), (50, 600), (70, 600), (85, 30), (100, 30)))
    assert (result.pattern, result.where) == ("sleeps_late", ("s4",))


def test_waking_again_is_seen_even_when_it_ends_asleep() -> None:
    result = judged(watch((1, 5000), (20, 28), (40, 1200), (60, 28)))
    assert (result.pattern, result.where) == ("wakes_again", ("s3",))


def test_up_and_down_above_the_limit_is_pulsing() -> None:
    result = judged(watch((1, 5000), (60, 120), (62, 900), (64, 120), (66, 900)))
    assert result.pattern == "high_pulsing"


def test_a_slow_fall_after_an_hour_is_not_pulsing() -> None:
    assert judged(watch((60, 400), (70, 300), (80, 250))).pattern == "high_steady"


def test_a_rise_within_the_meters_doubt_is_steady() -> None:
    assert judged(watch((60, 300), (70, 306), (80, 299))).pattern == "high_steady"


def test_overload_is_above_without_a_number() -> None:
    result = judged(watch((1, 900), (70, "OL"), (80, "OL")))
    assert result.pattern == "high_steady" and "customer.no_number" in ids(result)
    assert result.figure("draw") is None


def test_the_sign_of_the_leads_does_not_matter() -> None:
    assert judged(watch((1, -5000), (20, -30), (40, -30), (60, -30))).pattern == "sound"


# --- what weakens it --------------------------------------------------------------------------


def test_a_short_watch_weakens_only_a_good_result() -> None:
    assert PROCEDURE.confounder("short_watch").only_sound
    result = judged(watch((1, 3000), (10, 30), (20, 30), (30, 30)))
    assert (result.pattern, result.confounders) == ("sound", ("short_watch",))


@pytest.mark.parametrize(
    ("unticked", "confounder"),
    [
        ("bypass", "supply_broken"),
        ("latches", "latches_open"),
        ("keys", "keys_near"),
        ("quiet", "disturbed"),
    ],
)
def test_what_was_not_made_ready_weakens_it(unticked: str, confounder: str) -> None:
    assert confounder in judged({**STEADY, f"ready.{unticked}": "no"}).confounders


def test_starting_with_the_meter_in_is_the_first_caution() -> None:
    assert PROCEDURE.cautions[0].danger.startswith("Never start")


def test_the_meter_in_the_lead_is_left_apart() -> None:
    assert any("minus lead" in item for item in PROCEDURE.leaves_apart)


def test_a_24_volt_car_has_no_usual_limit() -> None:
    result = judged(STEADY, car={"volts": 24})
    assert result.pattern == "undecided" and "technician.no_general_limit" in ids(result)
    assert result.figure("draw") is not None


# --- where it flows ---------------------------------------------------------------------------


def test_the_circuit_with_most_of_the_draw_is_pointed_at() -> None:
    result = judged({**STEADY, **fuses(("radio", "15", "0.05"), ("rear lamps", "10", "2.30"))})
    assert (result.pattern, result.where) == ("through_fuse", ("r2",))
    assert [item.pattern for item in result.also] == ["high_steady"]
    assert "rear lamps" in result.customer[0].text


def test_a_fuse_is_not_accused_while_the_draw_is_usual() -> None:
    typed = watch((1, 3000), (20, 30), (40, 30), (60, 30))
    assert judged({**typed, **fuses(("clock", "10", "0.20"))}).pattern == "sound"


def test_little_through_all_fuses_leaves_what_has_no_fuse() -> None:
    little = fuses(("radio", "15", "0.05"), ("clock", "10", "0.06"))
    some = judged({**STEADY, **little})
    every = judged({**STEADY, **little, "given.all_fuses": "yes"})
    assert (some.pattern, every.pattern) == ("high_steady", "not_through_fuses")
    assert "alternator" in every.technician[0].text


def test_a_fuse_of_unknown_rating_gives_no_current() -> None:
    result = judged(fuses(("horn", "other", "3.00")))
    assert result.pattern == "undecided" and result.figure("fuse_r1") is None
    assert "technician.fuse_unknown" in ids(result)


def test_its_own_resistance_goes_before_the_typical_one() -> None:
    typed = fuses(("horn", "10", "3.00")) | {"fuses.r1.resistance": "10"}
    figure = judged(typed).figure("fuse_r1")
    assert figure is not None and figure.value == pytest.approx(0.3)


# --- how long ---------------------------------------------------------------------------------


def test_days_are_said_as_the_best_case() -> None:
    result = judged(watch((1, 3000), (20, 35), (40, 35), (60, 35), capacity="60"))
    (said,) = (s.text for s in result.customer if s.id == "customer.until_low")
    assert "36 days at best" in said and "100 %" in said.replace("\xa0", " ")


@pytest.mark.parametrize(
    ("more", "why"),
    [
        ({}, "capacity"),
        ({"capacity": "60", "charge": "40", "stop_at": "50"}, "not below"),
    ],
)
def test_no_time_without_what_it_needs(more: dict[str, str], why: str) -> None:
    figure = judged({**STEADY, **{f"given.{k}": v for k, v in more.items()}}).figure("until_low")
    assert figure is not None and figure.value is None and why in figure.absent_because


def test_no_draw_clear_of_nought_gives_no_time() -> None:
    result = judged(watch((1, 3000), (20, 0), (40, 1), (60, 0), capacity="60"))
    figure = result.figure("until_low")
    assert figure is not None and figure.value is None


@pytest.mark.parametrize(
    ("typed", "address"),
    [
        ({}, "watch.s1.current"),
        (watch((1, 3000)), "watch.s2.current"),
        (STEADY, "fuses.r1.drop"),
    ],
)
def test_next_step_asks_for_what_decides(typed: dict[str, str], address: str) -> None:
    found = run_data(PROCEDURE, {"typed": typed})
    assert PROCEDURE.next_step is not None
    assert PROCEDURE.next_step(found.checked.readings, found.context)[0][0] == address


def test_early_amperes_do_not_flatten_the_chart() -> None:
    chart = judged(watch((1, 5200), (20, 35), (40, 35), (60, 35))).chart
    assert max(y for _, y, _ in chart["series"][0]["points"]) < 50
    assert "not drawn" in chart["title"] and "5200" in chart["title"]


# --- properties -------------------------------------------------------------------------------

MA = st.integers(-9000, 9000)


@given(st.lists(st.tuples(st.integers(1, 60), MA), min_size=1, max_size=8), st.booleans())
def test_no_watch_is_too_much(gaps: list[tuple[int, int]], noted: bool) -> None:
    minutes, readings = 0, []
    for gap, ma in gaps:
        minutes += gap
        readings.append((minutes, ma))
    result = judged(watch(*readings, capacity="60", **({"asleep_at": "15"} if noted else {})))
    assert result.customer and result.technician


@given(st.integers(0, 2000), st.integers(0, 2000))
def test_a_larger_steady_draw_is_never_judged_milder(ma: int, more: int) -> None:
    order = {"sound": 0, "undecided": 1, "high_steady": 2}
    small, large = (
        judged(watch((60, amount), (75, amount), (90, amount))).pattern
        for amount in (ma, ma + more)
    )
    assert order[small] <= order[large]


@given(st.integers(0, 9000))
def test_the_unit_typed_changes_nothing(ma: int) -> None:
    in_ma = judged(watch((60, ma), (75, ma)))
    typed: dict[str, Any] = watch((60, ma), (75, ma))
    for row in ("s1", "s2"):
        typed[f"watch.{row}.current"] = [f"{ma / 1000:.3f}", "A"]
    in_a = judged(typed)
    assert in_a.pattern == in_ma.pattern
    assert [v.outcome for v in in_a.verdicts] == [v.outcome for v in in_ma.verdicts]


@given(st.floats(0.01, 100), st.sampled_from(["1", "5", "7.5", "15", "40", "other"]))
def test_no_drop_across_a_fuse_is_too_much(mv: float, rating: str) -> None:
    assert judged(fuses(("one", rating, f"{mv:.2f}"))).technician
