"""Does the fault go along with the part: what a move shows, what it does not, what stays apart."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from measurements.core.assessment import Assessment
from measurements.core.chart import draw
from measurements.core.compare import compare
from measurements.core.run_file import Judged, run_data
from measurements.procedures.substitution import (
    PROCEDURE,
    Counts,
    luck_of_difference,
    luck_of_fall,
    luck_of_holding,
)

COIL = {"what": "ignition coil", "source": "cylinder 2", "target": "cylinder 3", "others": "no"}


def ran(typed: dict[str, Any], **context: Any) -> Judged:
    context.setdefault("fault_present", "yes")
    ready = {f"ready.{item.code}": "yes" for item in PROCEDURE.preconditions}
    return run_data(PROCEDURE, {"typed": ready | typed, "context": context})


def trial(kind: str, counts: tuple[int, ...] = (), **said: str) -> Judged:
    """A trial of a coil unless said otherwise; counts: first and second place before, after."""
    typed: dict[str, Any] = {f"given.{key}": text for key, text in {**COIL, **said}.items()}
    addresses = (
        "counts.first.before",
        "counts.second.before",
        "counts.first.after",
        "counts.second.after",
    )
    typed |= {address: str(count) for address, count in zip(addresses, counts, strict=False)}
    return ran({"given.kind": kind, **typed})


def pattern(kind: str, counts: tuple[int, ...] = (), **said: str) -> str:
    return trial(kind, counts, **said).assessment.pattern


def ids(result: Assessment) -> list[str]:
    return [sentence.id for sentence in (*result.customer, *result.technician)]


def moved(found: Judged) -> tuple[str, ...]:
    assert PROCEDURE.moved is not None
    return PROCEDURE.moved(found.checked.readings)


def next_step(found: Judged) -> str:
    assert PROCEDURE.next_step is not None
    steps = PROCEDURE.next_step(found.checked.readings, found.context)
    return steps[0][0] if steps else ""


# --- what the fault did -----------------------------------------------------------------------


@pytest.mark.parametrize(
    ("kind", "answer", "expected"),
    [
        ("swap", "followed", "followed"),
        ("swap", "stayed", "stayed"),
        ("swap", "gone", "gone_after_moving"),
        ("swap", "same", "same_at_both"),
        ("swap", "new", "new_fault"),
        ("swap", "not_tried", "undecided"),
        ("good", "stayed", "good_part_remains"),
        ("good", "same", "good_part_remains"),
        ("good", "gone", "good_part_gone"),
        ("borrowed", "followed", "followed"),
        ("borrowed", "stayed", "good_part_remains"),
        ("borrowed", "gone", "good_part_gone"),
        ("borrowed", "same", "same_at_both"),
    ],
)
def test_what_the_fault_did_names_the_outcome(kind: str, answer: str, expected: str) -> None:
    assert pattern(kind, answer=answer) == expected


def test_a_fault_cannot_follow_a_part_that_was_taken_out_of_the_car() -> None:
    result = trial("good", answer="followed").assessment
    assert result.pattern == "undecided" and "contradicts" in ids(result)


@pytest.mark.parametrize(
    ("kind", "answer", "expected"),
    [
        ("swap", "followed", "followed_and_back"),
        ("swap", "gone", "gone_and_back"),
        ("good", "gone", "gone_and_back"),
        ("swap", "stayed", "stayed"),
    ],
)
def test_a_fault_that_comes_back_with_the_part_is_an_outcome_of_its_own(
    kind: str, answer: str, expected: str
) -> None:
    assert pattern(kind, answer=answer, back="returned") == expected


@pytest.mark.parametrize(
    ("kind", "answer", "also"),
    [
        ("swap", "followed", ["followed"]),
        ("swap", "stayed", ["stayed"]),
        ("swap", "gone", []),
        ("good", "gone", []),
    ],
)
def test_a_fault_that_stays_away_after_all_is_back_shows_no_part(
    kind: str, answer: str, also: list[str]
) -> None:
    result = trial(kind, answer=answer, back="away").assessment
    assert result.pattern == "gone_after_moving"
    assert [item.pattern for item in result.also] == also
    assert "stayed_away" in ids(result)


def test_a_fault_gone_after_moving_is_never_told_to_the_customer_as_mended() -> None:
    said = str(trial("swap", answer="gone").assessment.customer[0])
    assert "does not mean that it is mended" in said


def test_a_new_part_that_changes_nothing_is_not_told_to_rule_the_old_one_out() -> None:
    said = " ".join(str(one) for one in trial("good", answer="stayed").assessment.technician)
    assert "does not rule it out" in said


@pytest.mark.parametrize("kind", ["swap", "good", "borrowed", "lamp"])
def test_the_customer_reads_that_nothing_is_sold_by_it(kind: str) -> None:
    said = [s.text for s in trial(kind, answer="gone", lamp="lit", load="like").assessment.customer]
    assert "This was a test. No part has been sold by it." in said


def test_only_a_lamp_that_lit_counts_as_sound() -> None:
    assert PROCEDURE.sound.code == "lamp_lit"


# --- a lamp in its place ------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("lamp", "load", "expected"),
    [
        ("lit", "like", "lamp_lit"),
        ("lit", "small", "lamp_lit"),
        ("lit", "led", "undecided"),
        ("dim", "like", "lamp_dim"),
        ("dark", "led", "lamp_dark"),
    ],
)
def test_a_lamp_that_takes_no_current_proves_only_by_staying_dark(
    lamp: str, load: str, expected: str
) -> None:
    assert pattern("lamp", lamp=lamp, load=load) == expected


@pytest.mark.parametrize(
    ("load", "expected"),
    [("like", ()), ("small", ("light_load",)), ("", ("load_unknown",))],
)
def test_a_small_lamp_weakens_only_a_good_result(load: str, expected: tuple[str, ...]) -> None:
    assert trial("lamp", lamp="lit", load=load).assessment.confounders == expected
    assert all(PROCEDURE.confounder(code).only_sound for code in expected)


# --- what weakens it ----------------------------------------------------------------------------


def test_more_than_one_thing_at_a_time_weakens_it_and_is_said() -> None:
    result = trial("swap", answer="followed", others="yes", plugs="no").assessment
    assert result.confounders == ("more_than_one",)
    assert {"customer.others", "others"} <= set(ids(result))


@pytest.mark.parametrize("plugs", ["", "yes"])
def test_a_disturbed_connector_counts_unless_it_is_denied(plugs: str) -> None:
    found = trial("swap", answer="followed", plugs=plugs).assessment
    assert found.confounders == ("connector_disturbed",)
    assert "connector" in ids(found)


def test_a_fault_that_is_gone_is_always_doubted_by_its_connector() -> None:
    assert "connector_disturbed" in trial("swap", answer="gone", plugs="no").assessment.confounders


def test_a_fault_that_came_back_answers_the_doubt_of_the_connector() -> None:
    found = trial("swap", answer="followed", back="returned", plugs="yes").assessment
    assert found.confounders == ()


@pytest.mark.parametrize(("proved", "doubted"), [("", True), ("new", True), ("proved", False)])
def test_a_part_not_proved_good_weakens_that_nothing_changed(proved: str, doubted: bool) -> None:
    found = trial("good", answer="stayed", proved=proved).assessment
    assert ("good_part_unproven" in found.confounders) is doubted


# --- counts -------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("counts", "says"),
    [
        (((3, 3), (5, 5), 1.0), "cannot_tell"),
        (((40, 3), (0, 5), 1.0), "gone"),
        (((40, 1), (0, 38), 1.0), "followed"),
        (((40, 41), (0, 1), 1.0), "stayed"),
        (((40, 12), (0, 11), 0.5), "cannot_tell"),
        (((0, 40), (40, 0), 1.0), "cannot_tell"),
        (((40, 2), None, 1.0), "gone"),
        (((40, 38), None, 1.0), "stayed"),
        (((40, 20), None, 1.0), "cannot_tell"),
        (((4, 1), None, 1.0), "cannot_tell"),
        (((0, 0), (0, 0), 1.0), "cannot_tell"),
        ((None, (3, 4), 1.0), ""),
    ],
)
def test_counts_say_where_the_fault_is_only_beyond_luck(counts: Any, says: str) -> None:
    assert Counts(*counts).says == says


def test_three_against_five_decides_nothing_whatever_was_told() -> None:
    result = trial("swap", (5, 0, 3, 5), answer="followed").assessment
    assert result.pattern == "undecided" and "counted.too_few" in ids(result)


def test_counts_alone_are_an_answer() -> None:
    assert pattern("swap", (30, 0, 1, 29)) == "followed"


def test_what_was_told_against_the_counts_decides_nothing() -> None:
    result = trial("swap", (50, 0, 45, 1), answer="followed").assessment
    assert result.pattern == "undecided" and "contradicts" in ids(result)


def test_a_longer_count_afterwards_is_allowed_for() -> None:
    """20 in a minute before; 12 after is little in six minutes and much in one."""
    times = {"time_before": "1 min", "plugs": "no"}
    counted = {"given.kind": "good", "counts.first.before": "20", "counts.first.after": "12"}
    base = {f"given.{key}": text for key, text in {**COIL, **times}.items()} | counted
    longer = ran({**base, "given.time_after": "6 min"}).assessment
    same = ran({**base, "given.time_after": "1 min"}).assessment
    assert (longer.pattern, same.pattern) == ("good_part_gone", "undecided")


def test_without_a_time_there_is_no_rate_and_the_counts_still_count() -> None:
    result = trial("swap", (30, 0, 1, 29)).assessment
    figure = result.figure("rate_first_before")
    assert result.pattern == "followed"
    assert figure is not None and figure.value is None and figure.absent_because


def test_one_time_stands_for_both() -> None:
    result = trial("swap", (30, 0, 1, 29), time_after="2 min").assessment
    figure = result.figure("rate_first_before")
    assert figure is not None and figure.value == pytest.approx(30 / 120)


def test_a_count_of_nought_is_not_known_exactly() -> None:
    figure = trial("swap", (30, 0, 1, 29), time_after="2 min").assessment.figure(
        "rate_second_before"
    )
    assert figure is not None and figure.value == 0 and figure.u == pytest.approx(1 / 120)


def test_the_customer_reads_no_chance() -> None:
    for sentence in trial("swap", (30, 0, 1, 29)).assessment.customer:
        assert "%" not in sentence.text


# --- what stays apart, what next ----------------------------------------------------------------


@pytest.mark.parametrize(
    ("kind", "said", "expected"),
    [
        ("swap", {}, "Ignition coil of cylinder 2, now at cylinder 3; the other one in its place"),
        ("swap", {"target": ""}, "Ignition coil changed places with a like one"),
        (
            "borrowed",
            {"what": "fuel pump relay", "source": "the horn", "target": ""},
            "Borrowed part, from the horn, in place of: fuel pump relay",
        ),
        (
            "lamp",
            {"what": "fan motor", "source": "", "target": ""},
            "Lamp or load in place of: fan motor",
        ),
        (
            "good",
            {"what": "crank sensor", "target": ""},
            "Known-good part in place of: crank sensor",
        ),
    ],
)
def test_what_stands_elsewhere_is_named_for_the_list(
    kind: str, said: dict[str, str], expected: str
) -> None:
    assert moved(trial(kind, answer="gone", **said)) == (expected,)


@pytest.mark.parametrize("back", ["returned", "away", "untried"])
def test_what_was_put_back_is_not_on_the_list(back: str) -> None:
    assert moved(trial("swap", answer="followed", back=back)) == ()


def test_what_was_moved_and_not_tried_yet_is_on_the_list() -> None:
    assert len(moved(trial("swap", answer="not_tried"))) == 1


def test_before_anything_was_said_nothing_is_on_the_list() -> None:
    assert moved(ran({})) == () and moved(ran({"given.kind": "swap"})) == ()


@pytest.mark.parametrize(
    ("kind", "said", "address"),
    [
        ("swap", {}, "given.answer"),
        ("swap", {"answer": "followed"}, "given.back"),
        ("swap", {"answer": "followed", "back": "returned"}, ""),
        ("lamp", {}, "given.lamp"),
        ("lamp", {"lamp": "lit"}, "given.load"),
    ],
)
def test_the_next_box_is_the_one_that_tells_most(
    kind: str, said: dict[str, str], address: str
) -> None:
    assert next_step(trial(kind, **said)) == address


def test_the_dangers_of_exchanging_parts_are_named() -> None:
    said = " ".join(f"{one.danger} {one.text}" for one in PROCEDURE.cautions)
    for words in (
        "kilovolts",
        "Fuel under pressure",
        "common rail",
        "Air bags",
        "high voltage",
        "Immobiliser",
        "bus lines",
        "key out",
        "Hot parts",
        "Codes of all modules",
    ):
        assert words in said


def test_codes_are_read_before() -> None:
    assert "trouble_codes" in PROCEDURE.needs_before


# --- chart and comparing ------------------------------------------------------------------------


def test_the_chart_shows_both_places_before_and_after() -> None:
    chart = trial("swap", (30, 0, 1, 29), time_after="2 min").assessment.chart
    assert [row["label"] for row in chart["rows"]] == ["where the fault was", "the other place"]
    assert chart["rows"][0]["before"][0] == pytest.approx(15)
    assert draw(chart, earlier=chart)


def test_without_counts_there_is_no_chart() -> None:
    assert trial("swap", answer="followed").assessment.chart == {}


def test_two_runs_are_compared_by_rates_and_only_of_the_same_kind() -> None:
    one = trial("swap", (30, 0, 1, 29), time_after="2 min")
    two = trial("swap", (90, 0, 1, 88), time_after="6 min")
    other = trial("good", (30, 0, 1, 29), time_after="2 min")

    def against(after: Judged) -> Any:
        return compare(
            PROCEDURE,
            one.checked.readings,
            after.checked.readings,
            figures_before=one.assessment.figures,
            figures_after=after.assessment.figures,
        )

    assert {change.direction for change in against(two).changes} == {"no clear change"}
    assert not against(other).comparable


# --- properties ---------------------------------------------------------------------------------

COUNT = st.integers(0, 400)


@settings(max_examples=60)
@given(COUNT, COUNT)
def test_luck_is_a_chance_and_does_not_care_which_place_is_named_first(a: int, b: int) -> None:
    assert 0 <= luck_of_difference(a, b) <= 1
    assert luck_of_difference(a, b) == pytest.approx(luck_of_difference(b, a))


@settings(max_examples=60)
@given(COUNT, COUNT, st.floats(0.1, 10))
def test_fewer_afterwards_never_speaks_less_for_a_fall(a: int, b: int, times: float) -> None:
    assert luck_of_fall(a, b, times) <= luck_of_fall(a, b + 1, times) + 1e-9
    assert luck_of_holding(a, b + 1, times) <= luck_of_holding(a, b, times) + 1e-9


@settings(max_examples=60)
@given(COUNT, COUNT, COUNT, COUNT)
def test_no_counts_call_a_fault_moved_that_was_not_first_at_its_place(
    a: int, b: int, c: int, d: int
) -> None:
    says = Counts((a, b), (c, d), 1.0).says
    if says in ("followed", "stayed", "gone"):
        assert a > c and luck_of_difference(a, c) <= 0.05
