"""Coolant over time: what must not be said first, then loss, trend and what of it is in the oil."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from measurements.core import chart
from measurements.core.assessment import Assessment
from measurements.core.context import Car, Context, EarlierRun
from measurements.core.judging import assess
from measurements.core.readings import validate
from measurements.procedures.coolant_use import PROCEDURE

CONTEXT = Context(car=Car(fuel="petrol"), fault_present="yes", measured_on="2026-06-30")
START = ("2026-05-01", "80000 km", "", "0.00 L")

Day = tuple[str, ...]


def typed(*days: Day, origin: str = "measured", **given_values: str) -> dict[str, str]:
    """A day is date, odometer, added, level, caught, drained; "" where nothing was entered."""
    made = {f"ready.{item.code}": "yes" for item in PROCEDURE.preconditions}
    made |= {f"given.{key}": text for key, text in given_values.items()}
    columns = ("date", "odometer", "added", "level", "caught", "drained")
    for n, day in enumerate(days, start=1):
        made |= {
            f"days.d{n}.{key}": text for key, text in zip(columns, day, strict=False) if text
        } | {f"days.d{n}.origin": origin}
    return made


def use(*days: Day, context: Context = CONTEXT, **options: str) -> Assessment:
    checked = validate(PROCEDURE, typed(*days, **options), context)
    assert checked.ok, checked.faults
    return assess(PROCEDURE, checked.readings, context)


def after(km: int, added: str, level: str = "0.00 L", *more: str) -> Day:
    return ("2026-06-20", f"{80000 + km} km", added, level, *more)


def figure(found: Assessment, key: str) -> float:
    one = found.figure(key)
    assert one is not None and one.value is not None, key
    return one.value


def words(found: Assessment) -> str:
    said = " ".join(sentence.text for sentence in (*found.customer, *found.technician))
    return said.replace("\xa0", " ")


def also(found: Assessment) -> list[str]:
    return [item.pattern for item in found.also]


def why_absent(found: Assessment) -> str:
    one = found.figure("per_1000")
    assert one is not None and one.value is None
    return one.absent_because


# --- what must not be said --------------------------------------------------------------------


def test_one_entry_is_no_balance() -> None:
    found = use(START)
    assert found.pattern == "undecided"
    assert "One entry makes no balance" in words(found)


def test_entries_close_together_give_no_rate() -> None:
    found = use(START, ("2026-05-03", "80040 km", "0.30 L", "0.00 L"))
    assert found.pattern == "undecided"
    assert why_absent(found) == "the entries lie too close together"


def test_an_odometer_that_runs_backwards_gives_no_rate() -> None:
    found = use(START, ("2026-06-20", "79000 km", "0.30 L", "0.00 L"))
    assert found.pattern == "undecided"
    assert "backwards" in why_absent(found)


@pytest.mark.parametrize("amount", ["-", "< 0.2 L", "OL"])
def test_an_amount_without_a_number_is_not_taken_as_nothing(amount: str) -> None:
    found = use(START, after(1000, amount))
    assert found.pattern == "undecided"
    total = found.figure("total")
    assert total is not None and total.absent_because == "an amount is not known"
    assert "has no number" in words(found)


def test_what_went_in_on_the_first_day_belongs_to_the_time_before() -> None:
    found = use(("2026-05-01", "80000 km", "2.00 L", "0.00 L"), after(2000, "", "0.00 L"))
    assert figure(found, "total") == 0
    assert found.pattern == "no_loss"


def test_close_to_what_is_usual_is_left_open_and_says_how_much_further_to_drive() -> None:
    found = use(START, after(1000, "", "-0.07 L"))
    assert found.pattern == "undecided"
    # 0.02 L from the limit with u = 0.043 L: 2 u / 0.02 L x 1000 km, a quarter on top, less 1000
    assert "drive on for some 4300 km and read again" in words(found)


def proposals(*days: Day) -> tuple[tuple[str, str], ...]:
    assert PROCEDURE.next_step is not None
    return PROCEDURE.next_step(validate(PROCEDURE, typed(*days), CONTEXT).readings, CONTEXT)


def test_the_first_entry_starts_the_count_and_asks_for_a_second() -> None:
    assert proposals()[0][0] == "days.d1.date"
    assert proposals(START) == (
        ("days.d2.date", "Read the level again, cold, after some 500\xa0km."),
    )


def test_once_it_is_decided_no_further_day_is_asked_for() -> None:
    assert proposals(START, after(1000, "1.50 L")) == ()


def test_more_in_it_than_the_entries_explain_is_no_sound_result() -> None:
    found = use(START, after(1000, "", "0.40 L"))
    assert found.pattern == "undecided"
    assert "More in it than the entries explain" in words(found)


def test_milky_on_the_stick_is_never_sound() -> None:
    found = use(START, after(5000, "", "0.00 L"), oil_look="milky_stick")
    assert found.pattern == "undecided"
    assert "should not be run" in words(found)


def test_shortly_after_filling_anew_a_fall_is_no_leak() -> None:
    found = use(START, after(700, "0.30 L"), drives_since="3")
    assert (found.pattern, also(found)) == ("after_refill", [])
    assert "refilled" in found.confounders
    found = use(START, after(700, "0.30 L"), drives_since="6")
    assert found.pattern == "slow_loss"


def test_a_level_that_nobody_read_is_taken_as_at_the_mark_with_a_wide_doubt() -> None:
    read = use(START, after(1000, "0.30 L"))
    unread = use(START, after(1000, "0.30 L", ""))
    assert figure(read, "total") == figure(unread, "total")
    assert unread.figure("total").u > read.figure("total").u  # type: ignore[union-attr]
    assert "level_assumed" in unread.confounders


def test_what_was_only_told_is_known_less_well() -> None:
    measured = use(START, after(1000, "0.30 L"))
    told = use(START, after(1000, "0.30 L"), origin="told")
    assert told.figure("per_1000").u > 1.5 * measured.figure("per_1000").u  # type: ignore[union-attr]
    assert "all_told" in told.confounders
    assert "all_told" not in measured.confounders


# --- loss -------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("km", "added", "pattern"),
    [
        (10_000, "0.10 L", "no_loss"),
        (1_000, "0.30 L", "slow_loss"),
        (1_000, "1.50 L", "fast_loss"),
    ],
)
def test_loss_over_distance(km: int, added: str, pattern: str) -> None:
    assert use(START, after(km, added)).pattern == pattern


def test_what_was_caught_outside_is_lost_but_not_unexplained() -> None:
    found = use(START, after(1000, "0.40 L", "0.00 L", "0.40 L"))
    assert found.pattern == "slow_loss"
    assert figure(found, "unexplained") == pytest.approx(0)
    assert "caught outside" in found.customer[1].text


def test_what_was_drained_on_purpose_is_no_loss() -> None:
    found = use(START, after(5000, "1.00 L", "0.00 L", "", "1.00 L"))
    assert figure(found, "total") == pytest.approx(0)
    assert found.pattern == "no_loss"


def test_the_makers_figure_goes_before_common_practice() -> None:
    from measurements.core.context import ChosenLimit
    from measurements.core.procedure import Source

    chosen = ChosenLimit("figure.per_1000", None, 0.6, Source("maker", "the maker's data"))
    context = Context(fault_present="yes", limits=(chosen,))
    assert use(START, after(1000, "0.30 L"), context=context).pattern == "no_loss"


def test_a_car_that_hardly_moves_is_judged_by_days() -> None:
    found = use(START, ("2026-06-30", "80030 km", "0.60 L", "0.00 L"), driven="hardly")
    assert found.pattern == "slow_loss"
    assert figure(found, "per_30_days") == pytest.approx(0.3)
    assert {"by_days", "hardly_driven"} <= set(found.confounders)
    assert "in 30 days" in found.customer[0].text
    assert "hardly moved and still lost" in words(found)


def test_an_entry_without_odometer_counts_for_the_amount() -> None:
    found = use(START, ("2026-05-20", "", "0.20 L", "0.00 L"), after(1000, "0.10 L"))
    assert figure(found, "per_1000") == pytest.approx(0.3)


# --- earlier tests and trend ------------------------------------------------------------------


def with_earlier(*days: Day) -> Context:
    run = EarlierRun("u1", "2026-01-02T09:00:00+00:00", typed(*days))
    return Context(
        car=Car(fuel="petrol"), fault_present="yes", earlier=(run,), measured_on="2026-06-30"
    )


def test_entries_of_earlier_tests_count_along() -> None:
    context = with_earlier(("2026-01-01", "78000 km", "", "0.00 L"))
    found = use(after(0, "0.60 L"), context=context)
    assert figure(found, "per_1000") == pytest.approx(0.3)
    assert [row[0] for row in found.tables[0].rows] == ["2026-01-01", "2026-06-20"]


def test_the_last_stretch_against_the_time_before() -> None:
    found = use(("2026-01-01", "78000 km", "", "0.00 L"), START, after(1000, "0.60 L"))
    assert (found.pattern, also(found)) == ("getting_worse", ["slow_loss"])
    assert (figure(found, "before"), figure(found, "last")) == pytest.approx((0, 0.6))


def test_more_than_before_that_a_long_sound_time_hides_in_the_whole_is_seen() -> None:
    found = use(("2024-01-01", "50000 km", "", "0.00 L"), START, after(1000, "0.60 L"))
    assert found.verdict("figure.per_1000").outcome == "within"  # type: ignore[union-attr]
    assert found.pattern == "getting_worse"
    assert [s.id for s in found.customer] == ["customer.getting_worse"]


def test_more_than_before_is_not_called_worse_shortly_after_filling_anew() -> None:
    found = use(
        ("2026-01-01", "78000 km", "", "0.00 L"), START, after(1000, "0.60 L"), drives_since="2"
    )
    assert (found.pattern, also(found)) == ("after_refill", [])


def test_an_even_loss_is_not_called_worse() -> None:
    found = use(
        ("2026-01-01", "79000 km", "", "0.00 L"),
        ("2026-05-01", "80000 km", "0.30 L", "0.00 L"),
        after(1000, "0.35 L"),
    )
    assert (found.pattern, also(found)) == ("slow_loss", [])
    assert "No clear change" in words(found)


def test_a_short_last_stretch_is_joined_to_the_one_before() -> None:
    found = use(
        ("2026-01-01", "78000 km", "", "0.00 L"),
        START,
        ("2026-06-10", "80990 km", "0.10 L", "0.00 L"),
        after(1000, "0.10 L"),
    )
    assert figure(found, "last") == pytest.approx(0.2)


# --- oil --------------------------------------------------------------------------------------


@pytest.mark.parametrize("sign", [{"oil_gain": "0.6 L"}, {"oil_look": "milky_stick"}])
def test_coolant_lost_while_the_oil_rises_or_is_milky_means_do_not_run(
    sign: dict[str, str],
) -> None:
    found = use(START, after(1000, "1.20 L"), **sign)
    assert (found.pattern, also(found)) == ("loss_into_oil", ["fast_loss"])
    assert "Do not run the engine" in words(found)
    driving = PROCEDURE.pattern(found.pattern).driving
    assert driving is not None and driving.code == "do_not_drive"


def test_oil_gained_is_a_lower_bound_of_what_went_there() -> None:
    found = use(START, after(1000, "1.20 L"), oil_gain="0.6 L")
    assert figure(found, "oil_share") == pytest.approx(50)
    assert "lower bound" in words(found)


def test_an_oil_level_within_its_doubt_is_no_gain() -> None:
    found = use(START, after(1000, "0.30 L"), oil_gain="0.15 L")
    assert found.pattern == "slow_loss"
    assert found.figure("oil_share") is None


def test_oil_that_rises_without_loss_is_not_coolant() -> None:
    found = use(START, after(5000, "", "0.00 L"), oil_gain="0.6 L")
    assert found.pattern == "no_loss"
    assert "fuel or condensed water" in words(found)


def test_all_loss_caught_outside_has_not_gone_into_the_oil() -> None:
    found = use(START, after(1000, "1.20 L", "0.00 L", "1.20 L"), oil_gain="0.6 L")
    assert found.pattern == "fast_loss"


def test_milk_under_the_cap_after_short_trips_is_no_finding() -> None:
    found = use(START, after(5000, "", "0.00 L"), oil_look="milky_cap", driven="short")
    assert found.pattern == "no_loss"
    assert "condensed water does this" in words(found)
    assert "What decides" in words(found)
    assert "hardly_driven" in found.confounders


def test_milk_under_the_cap_with_a_loss_is_not_explained_away() -> None:
    found = use(START, after(1000, "0.40 L"), oil_look="milky_cap", driven="short")
    assert found.pattern == "slow_loss"
    assert "condensed water does this" not in words(found)


# --- what is shown ----------------------------------------------------------------------------


def test_the_drawing_runs_over_the_distance_and_tells_the_sum() -> None:
    found = use(START, after(1000, "0.40 L", "0.00 L", "0.10 L"))
    labels = [one["label"] for one in found.chart["series"]]
    assert labels == ["lost", "not caught outside"]
    assert found.chart["series"][0]["points"][-1][:2] == pytest.approx([1000, 0.4])
    told = found.chart["title"].replace("\xa0", " ")
    assert told == "Coolant lost: 0.400 L ± 0.093 over 1000 km, 2 entries."


def test_poison_and_scalding_are_told_to_the_customer() -> None:
    told = [c.danger for c in PROCEDURE.cautions_for(CONTEXT) if c.reader == "customer"]
    assert told == [
        "Never open a hot cooling system.",
        "Glycol is poisonous to people and animals.",
    ]


# --- over all readings ------------------------------------------------------------------------

LITRES = st.one_of(
    st.just(""),
    st.just("-"),
    st.decimals(0, 60, places=2).map("{} L".format),
    st.decimals(0, 5, places=2).map("< {} L".format),
)
LEVELS = st.one_of(st.just(""), st.decimals(-30, 10, places=2).map("{} L".format))
DAYS = st.tuples(
    st.integers(0, 800).map(lambda n: (date(2024, 1, 1) + timedelta(n)).isoformat()),
    st.one_of(st.just(""), st.integers(0, 400_000).map("{} km".format)),
    LITRES,
    LEVELS,
    LITRES,
    LITRES,
)


@given(
    st.lists(DAYS, max_size=6),
    st.sampled_from(["measured", "told"]),
    st.sampled_from(["clear", "milky_cap", "milky_stick", "not_looked"]),
    st.decimals(-15, 15, places=1).map("{} L".format),
)
@settings(max_examples=150)
def test_no_entry_in_range_crashes(days: list[Day], origin: str, look: str, oil: str) -> None:
    found = use(*days, origin=origin, oil_look=look, oil_gain=oil)
    assert found.customer and found.technician
    if found.chart:
        chart.draw(found.chart)


@given(st.integers(0, 3000))
def test_the_unit_shown_never_changes_a_verdict(ml: int) -> None:
    outcomes = {
        use(START, after(1000, text)).verdict("figure.per_1000").outcome  # type: ignore[union-attr]
        for text in (f"{ml} mL", f"{ml / 1000:.3f} L")
    }
    assert len(outcomes) == 1


@given(st.integers(0, 300), st.integers(0, 300))
def test_a_larger_loss_never_looks_better(one: int, other: int) -> None:
    order = ["within", "cannot_tell", "outside"]
    ranks = []
    for hundredths in sorted((one, other)):
        verdict = use(START, after(1000, "", f"-{hundredths / 100:.2f} L")).verdict(
            "figure.per_1000"
        )
        assert verdict is not None
        ranks.append(order.index(verdict.outcome))
    assert ranks == sorted(ranks)
