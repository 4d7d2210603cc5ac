"""Fuses that stay in tell their current; a relay is judged by its coil, its click and its load."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from measurements.core.assessment import Assessment
from measurements.core.blade_fuse import PUBLISHED_MOHM, REMEMBERED_MOHM, cold_mohm
from measurements.core.run_file import run_data
from measurements.procedures.fuses_and_relays import PROCEDURE


def ran(typed: dict[str, Any], **context: Any) -> Any:
    context.setdefault("fault_present", "yes")
    ready = {f"ready.{item.code}": "yes" for item in PROCEDURE.preconditions}
    return run_data(PROCEDURE, {"typed": ready | typed, "context": context})


def judged(typed: dict[str, Any], **context: Any) -> Assessment:
    found: Assessment = ran(typed, **context).assessment
    return found


def fuses(*read: tuple[str, str, str], state: str = "asleep", **more: str) -> dict[str, Any]:
    """(name, rating, mV) of standard fuses unless another size is given."""
    typed: dict[str, Any] = {"given.size": "standard", "given.state": state}
    typed |= {f"given.{key}": value for key, value in more.items()}
    for number, row in enumerate(read, 1):
        for column, text in zip(("name", "rating", "drop"), row, strict=True):
            typed[f"fuses.r{number}.{column}"] = text
    return typed


def relay(**read: str) -> dict[str, Any]:
    return {"given.tested": "relay"} | {f"relays.relay.{key}": v for key, v in read.items()}


def ids(result: Assessment) -> list[str]:
    return [sentence.id for sentence in (*result.customer, *result.technician)]


def amps(result: Assessment, key: str = "current_r1") -> float:
    figure = result.figure(key)
    assert figure is not None and figure.value is not None
    return figure.value


def doubt(result: Assessment, key: str = "current_r1") -> float:
    figure = result.figure(key)
    assert figure is not None
    return figure.u


# --- current through fuses --------------------------------------------------------------------


def test_the_largest_current_is_pointed_at_first() -> None:
    result = judged(fuses(("radio", "15", "1.20"), ("clock", "10", "0.02"), ("boot", "10", "3.10")))
    assert (result.pattern, result.where) == ("flows_asleep", ("r3", "r1"))
    assert "boot, radio" in result.customer[0].text


def test_a_minus_sign_only_tells_how_the_leads_were_held() -> None:
    plus, minus = (judged(fuses(("boot", "10", sign + "3.10"))) for sign in ("", "-"))
    assert plus.pattern == minus.pattern
    assert amps(plus) == pytest.approx(amps(minus))


def test_a_size_of_its_own_goes_before_the_size_of_all() -> None:
    typed = fuses(("main", "40", "0.14")) | {"fuses.r1.size": "maxi"}
    assert amps(judged(typed)) == pytest.approx(0.1, rel=1e-3)


def test_a_resistance_of_its_own_goes_before_the_typical_one() -> None:
    typed = fuses(("main", "other", "0.80")) | {"fuses.r1.resistance": "8"}
    assert amps(judged(typed)) == pytest.approx(0.1)


@pytest.mark.parametrize(("size", "rating"), [("maxi", "60"), ("other", "10"), ("standard", "100")])
def test_without_a_known_resistance_there_is_a_drop_and_no_current(size: str, rating: str) -> None:
    result = judged(fuses(("main", rating, "0.50"), size=size))
    assert result.figure("current_r1") is None
    assert result.pattern == "undecided" and "technician.fuse_unknown" in ids(result)


def test_a_remembered_resistance_is_doubted_more_than_a_published_one() -> None:
    published, remembered = (
        judged(fuses(("x", rating, "5.00"), size="mini")) for rating in ("10", "20")
    )
    assert doubt(remembered) / amps(remembered) > doubt(published) / amps(published)


def test_published_goes_before_remembered() -> None:
    both = set(PUBLISHED_MOHM["mini"]) & set(REMEMBERED_MOHM["mini"])
    assert {cold_mohm("mini", rating) for rating in both} == {
        (PUBLISHED_MOHM["mini"][rating], 0.2) for rating in both
    }


def test_warmer_air_means_less_current_from_the_same_drop() -> None:
    typed = fuses(("boot", "10", "3.10"))
    cool, warm = (judged(typed, ambient={"temperature_c": celsius}) for celsius in (20.0, 70.0))
    assert amps(cool) / amps(warm) == pytest.approx(1 + 0.0038 * 50, rel=1e-3)


def test_near_its_rating_its_own_warmth_is_allowed_for_and_doubted() -> None:
    low = judged(fuses(("x", "10", "3.85"), state="load_on"))
    high = judged(fuses(("x", "10", "100"), state="load_on"))
    assert amps(low) == pytest.approx(0.5, rel=0.01)
    assert amps(high) < 10 < 100 / 7.7
    assert "technician.warms_itself" in ids(high) and "technician.warms_itself" not in ids(low)
    assert doubt(high) / amps(high) < doubt(low) / amps(low) + 0.05


def test_near_nought_it_is_said_that_it_cannot_be_told_from_nought() -> None:
    result = judged(fuses(("clock", "10", "0.02")))
    assert "technician.nought" in ids(result)
    assert "clock" in next(s.text for s in result.technician if s.id == "technician.nought")


def test_less_than_a_digit_counts_as_somewhere_below_it() -> None:
    result = judged(fuses(("clock", "10", "<0.01"), all_fuses="yes"))
    assert result.pattern == "sound"
    assert amps(result) == pytest.approx(0.005 / 7.7, rel=1e-3)


def test_one_fuse_may_not_take_what_a_whole_car_may() -> None:
    assert judged(fuses(("clock", "10", "0.20"))).pattern == "sound"
    assert judged(fuses(("clock", "10", "0.38"))).pattern == "undecided"
    assert judged(fuses(("clock", "10", "0.60"))).pattern == "flows_asleep"


def test_little_through_each_may_be_too_much_together() -> None:
    shared = fuses(*((f"box {n}", "10", "0.28") for n in range(5)))
    assert judged(shared).pattern == "spread_asleep"


def test_what_is_not_on_fuses_needs_all_of_them_read() -> None:
    read = (("clock", "10", "0.08"), ("alarm", "5", "0.14"))
    some = judged(fuses(*read, total="380"))
    every = judged(fuses(*read, total="380", all_fuses="yes"))
    assert (some.pattern, every.pattern) == ("undecided", "not_on_fuses")
    assert amps(every, "rest") == pytest.approx(0.3618, abs=1e-3)


def test_awake_nothing_is_held_against_the_draw_asleep() -> None:
    result = judged(fuses(("boot", "10", "3.10"), state="key_on"))
    assert result.pattern == "sound"
    outcome = result.verdict("figure.current_r1")
    assert outcome is not None and outcome.outcome == "no_limit"


def test_without_the_state_of_the_car_nothing_is_called_usual() -> None:
    typed = fuses(("boot", "10", "3.10"))
    del typed["given.state"]
    result = judged(typed)
    assert result.pattern == "undecided" and "technician.state_unknown" in ids(result)


@pytest.mark.parametrize(
    ("expected", "pattern"),
    [("8", "sound"), ("4", "more_than_expected"), ("16", "less_than_expected")],
)
def test_a_load_is_held_against_what_it_should_take(expected: str, pattern: str) -> None:
    typed = fuses(("wiper", "15", "36.0"), state="load_on")
    typed |= {"fuses.r1.expected": expected, "fuses.r1.resistance": "4.4"}
    assert judged(typed).pattern == pattern


def test_nought_through_a_fuse_is_sound_asleep_and_telling_with_the_load_on() -> None:
    asleep = judged(fuses(("blower", "30", "0.00"), all_fuses="yes"))
    loaded = judged(fuses(("blower", "30", "0.00"), state="load_on"))
    assert (asleep.pattern, loaded.pattern) == ("sound", "no_flow_with_load")


# --- open and hot fuses -----------------------------------------------------------------------


def test_battery_volts_across_a_fuse_are_an_open_fuse_whatever_its_rating() -> None:
    typed = {"fuses.r1.name": "horn", "fuses.r1.drop": "-12.3 V"}
    result = judged(typed)
    assert (result.pattern, result.where) == ("fuse_open", ("r1",))
    assert result.figure("current_r1") is None


def test_an_open_fuse_gives_no_current_and_goes_before_all_else() -> None:
    result = judged(fuses(("horn", "10", "12.3 V"), ("boot", "10", "3.10")))
    assert result.pattern == "fuse_open"
    assert [item.pattern for item in result.also] == ["flows_asleep"]


@pytest.mark.parametrize(("mv", "pattern"), [("60", "sound"), ("250", "fuse_high_drop")])
def test_a_fuse_may_lose_what_it_loses_at_its_rating(mv: str, pattern: str) -> None:
    assert judged(fuses(("fan", "30", mv), state="load_on")).pattern == pattern


def test_overload_of_the_millivolt_range_is_a_high_drop_without_a_number() -> None:
    result = judged(fuses(("fan", "30", "OL"), state="load_on"))
    assert result.pattern == "fuse_high_drop" and "more than the meter shows" in str(
        result.technician[0]
    )


# --- relays -----------------------------------------------------------------------------------


def test_no_click_with_volts_there_is_the_relay() -> None:
    assert judged(relay(clicks="no", coil="12.1")).pattern == "coil_no_pull"


def test_no_click_without_volts_is_not_the_relay() -> None:
    assert judged(relay(clicks="no", coil="0.3")).pattern == "coil_not_fed"


def test_no_click_alone_decides_nothing_and_asks_for_the_volts() -> None:
    found = ran(relay(clicks="no"))
    assert found.assessment.pattern == "undecided"
    assert PROCEDURE.next_step is not None
    steps = PROCEDURE.next_step(found.checked.readings, found.context)
    assert steps[0][0] == "relays.relay.coil"


@pytest.mark.parametrize(
    ("more", "sentence"),
    [
        ({}, "technician.side_unknown"),
        ({"coil_feed": "0.2"}, "technician.side_feed"),
        ({"coil_feed": "12.1", "coil_ground": "11.9"}, "technician.side_ground"),
    ],
)
def test_the_side_that_lacks_its_volts_is_named(more: dict[str, str], sentence: str) -> None:
    assert sentence in ids(judged(relay(clicks="no", coil="0.2", **more)))


def test_a_24_volt_coil_needs_twice_the_volts() -> None:
    typed = relay(clicks="no", coil="13.0")
    assert judged(typed).pattern == "coil_no_pull"
    assert judged(typed, car={"volts": 24}).pattern == "coil_not_fed"


def test_a_contact_drop_without_current_is_not_judged() -> None:
    result = judged(relay(clicks="yes", coil="12.4", contact="0.003"))
    verdict = result.verdict("relays.relay.contact")
    assert result.pattern == "contact_not_loaded"
    assert verdict is not None and verdict.outcome == "no_limit"


def test_not_even_the_makers_limit_judges_a_drop_without_current() -> None:
    maker = {
        "address": "relays.relay.contact",
        "low": None,
        "high": 0.1,
        "source": {"tag": "maker", "text": "the maker's data", "edition": ""},
    }
    result = judged(relay(contact="0.003"), limits=[maker])
    verdict = result.verdict("relays.relay.contact")
    assert verdict is not None and verdict.outcome == "no_limit"


def test_a_load_seen_working_is_current_enough_to_judge_and_weakens_a_good_result() -> None:
    result = judged(relay(load="works", contact="0.030"))
    assert (result.pattern, result.confounders) == ("sound", ("current_not_measured",))
    assert PROCEDURE.confounder("current_not_measured").only_sound


def test_a_clamp_that_reads_nought_goes_before_a_load_seen_working() -> None:
    assert judged(relay(load="works", contact="0.03", current="0.00")).pattern == (
        "contact_not_loaded"
    )


@pytest.mark.parametrize(
    ("drop", "pattern"), [("0.040", "contact_not_loaded"), ("0.300", "contact_loss")]
)
def test_a_weak_current_spoils_only_a_good_drop(drop: str, pattern: str) -> None:
    assert judged(relay(contact=drop, current="3", rated="20")).pattern == pattern


def test_a_maker_may_allow_more_at_the_contacts() -> None:
    maker = {
        "address": "relays.relay.contact",
        "low": None,
        "high": 0.5,
        "source": {"tag": "maker", "text": "the maker's data", "edition": ""},
    }
    typed = relay(clicks="yes", coil="13", contact="0.3", current="20")
    assert judged(typed).pattern == "contact_loss"
    assert judged(typed, limits=[maker]).pattern == "sound"


def test_battery_volts_across_contacts_need_no_current() -> None:
    assert judged(relay(clicks="yes", coil="12.2", contact="12.0")).pattern == "contacts_open"


@pytest.mark.parametrize(
    ("off", "pattern"),
    [("0.02", "contacts_stuck"), ("12.5", "coil_stays_fed"), ("", "undecided")],
)
def test_a_load_that_stays_on_is_told_by_the_volts_at_the_coil(off: str, pattern: str) -> None:
    assert judged(relay(load="stays_on", coil_off=off)).pattern == pattern


@pytest.mark.parametrize(
    ("one", "other", "sentence"),
    [
        ("640", "210", "technician.diode"),
        ("OL", "92", "technician.diode"),
        ("92", "92.3", "technician.no_diode"),
    ],
)
def test_ohms_both_ways_show_a_diode(one: str, other: str, sentence: str) -> None:
    assert sentence in ids(judged(relay(coil_ohm=one, coil_ohm_reversed=other)))


def test_the_larger_of_two_ohms_is_the_coil() -> None:
    assert amps(judged(relay(coil_ohm="25", coil_ohm_reversed="92")), "coil_resistance") == 92


def test_no_way_through_both_ways_is_a_broken_coil() -> None:
    assert judged(relay(coil_ohm="OL", coil_ohm_reversed="OL")).pattern == "coil_ohms"
    assert judged(relay(coil_ohm="OL", coil_ohm_reversed="92")).pattern == "sound"


# --- what is left apart, cautions, comparing ----------------------------------------------------


def test_only_a_relay_that_was_taken_out_is_left_apart() -> None:
    assert PROCEDURE.moved is not None
    still = ran(relay(clicks="yes", coil="12.4", name="fan")).checked.readings
    out = ran(relay(out="yes", name="fan")).checked.readings
    assert PROCEDURE.moved(still) == ()
    assert PROCEDURE.moved(out) == ("Fan: taken out of its socket",)


def test_latches_closed_by_hand_are_left_apart_after_a_look_at_a_sleeping_car() -> None:
    assert PROCEDURE.moved is not None
    asleep = ran(fuses(("clock", "10", "0.1"))).checked.readings
    awake = ran(fuses(("clock", "10", "0.1"), state="key_on")).checked.readings
    assert [len(PROCEDURE.moved(readings)) for readings in (asleep, awake)] == [1, 0]


def test_the_dangers_of_fuses_and_relays_are_named() -> None:
    said = " ".join(f"{one.danger} {one.text}" for one in PROCEDURE.cautions)
    for words in ("larger fuse", "Air-bag", "Fused leads", "wakes modules", "hot fuse", "Orange"):
        assert words in said


def test_a_larger_fuse_is_warned_of_in_the_customers_paper() -> None:
    (caution,) = (one for one in PROCEDURE.cautions if one.reader == "customer")
    assert "larger fuse" in caution.danger


def test_runs_in_other_states_are_not_compared() -> None:
    assert PROCEDURE.comparable == {"state": (0.0, 0.0)}


def test_a_chart_of_fuses_shows_every_current_with_its_doubt() -> None:
    chart = judged(fuses(("boot", "10", "3.10"), ("clock", "10", "0.1"))).chart
    assert [row["label"] for row in chart["rows"]] == ["boot", "clock"]
    assert all(row["u"] > 0 for row in chart["rows"]) and chart["high"] == 50
    assert judged(relay(coil="12")).chart == {}


# --- properties -------------------------------------------------------------------------------

MV = st.integers(-30_000, 30_000).map(lambda hundredths: f"{hundredths / 100:.2f}")
SIZE = st.sampled_from(["standard", "mini", "low_profile", "maxi", "other"])
RATING = st.sampled_from(["1", "2", "5", "7.5", "10", "15", "30", "40", "80", "other"])
STATE = st.sampled_from(["asleep", "key_on", "load_on", ""])
VOLTS = st.one_of(
    st.just(""), st.just("OL"), st.integers(-2000, 2000).map(lambda n: f"{n / 100:.2f}")
)
OHMS = st.one_of(st.just(""), st.just("OL"), st.integers(0, 10**7).map(str))


@given(st.lists(st.tuples(RATING, MV), min_size=1, max_size=4), SIZE, STATE, st.booleans())
def test_no_reading_of_fuses_is_too_much(
    read: list[tuple[str, str]], size: str, state: str, every: bool
) -> None:
    rows = [("one", rating, mv) for rating, mv in read]
    more = {"all_fuses": "yes", "total": "300"} if every else {}
    result = judged(fuses(*rows, state=state, size=size, **more))
    assert result.customer and result.technician


@given(
    st.fixed_dictionaries(
        {
            **dict.fromkeys(("coil", "contact", "coil_off", "coil_feed", "coil_ground"), VOLTS),
            **dict.fromkeys(("coil_ohm", "coil_ohm_reversed"), OHMS),
            "clicks": st.sampled_from(["", "yes", "no"]),
            "load": st.sampled_from(["", "works", "dead", "stays_on"]),
            "current": st.sampled_from(["", "0", "0.5", "20"]),
            "rated": st.sampled_from(["", "10"]),
        }
    ),
    st.sampled_from([12, 24]),
)
def test_no_reading_of_a_relay_is_too_much(read: dict[str, str], volts: int) -> None:
    result = judged(relay(**read), car={"volts": volts})
    assert result.customer and result.technician


_ORDER = ["sound", "undecided", "flows_asleep", "fuse_high_drop", "fuse_open"]


@given(st.integers(0, 3000), st.integers(0, 3000))
def test_a_larger_drop_asleep_is_never_judged_milder(tenths: int, more: int) -> None:
    small, large = (
        judged(fuses(("x", "10", f"{mv / 10:.1f}"), all_fuses="yes")).pattern
        for mv in (tenths, tenths + more)
    )
    assert _ORDER.index(small) <= _ORDER.index(large)


@given(st.integers(0, 900), st.integers(0, 900))
def test_a_larger_contact_drop_under_load_is_never_judged_milder(mv: int, more: int) -> None:
    order = ["sound", "undecided", "contact_loss"]
    small, large = (
        judged(relay(clicks="yes", coil="13", contact=f"{one} mV", current="18.0")).pattern
        for one in (mv, mv + more)
    )
    assert order.index(small) <= order.index(large)


@given(st.integers(0, 30_000))
def test_the_unit_typed_changes_nothing(hundredths: int) -> None:
    in_mv = judged(fuses(("x", "10", f"{hundredths / 100:.2f}")))
    in_v = judged(fuses(("x", "10", f"{hundredths / 100_000:.5f} V")))
    assert in_v.pattern == in_mv.pattern
    assert [v.outcome for v in in_v.verdicts] == [v.outcome for v in in_mv.verdicts]


@given(MV, st.sampled_from(["metric", "us"]))
def test_the_shops_units_change_nothing(mv: str, system: str) -> None:
    typed = fuses(("x", "10", mv))
    assert judged(typed, units=system).pattern == judged(typed).pattern
