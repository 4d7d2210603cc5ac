"""Made-up jobs: drawn as the table says, worked alike, and paid for what was not at fault."""

from __future__ import annotations

import math
import random
from collections import Counter
from collections.abc import Mapping
from dataclasses import replace
from decimal import Decimal
from statistics import pstdev

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import binomtest

from jobs.suspects import simulation
from jobs.suspects.knowledge import tables as our_tables
from jobs.suspects.next_test import Candidate
from jobs.suspects.odds import UNDECIDED
from jobs.suspects.simulation import (
    FIXED,
    OPEN,
    OURS,
    RIGHT,
    SWAPS,
    WRONG,
    Assumptions,
    Car,
    End,
    Family,
    Job,
    PriceClass,
    Step,
    by_swaps,
    by_tests,
    compared,
    digest,
    draw_job,
    run,
    simulate,
    strayed,
    wilson,
    work,
)
from jobs.suspects.tables import NOTHING, UNLISTED, Table
from tests.jobs.suspects.made import table, tables, yes_no

PLAIN = Assumptions(decides_nothing=0.0, two_faults=0.0, allowance_minutes=math.inf)
PRICES = replace(
    PLAIN,
    classes=(
        PriceClass("dear", Decimal(300), 50, frozenset({"engine"})),
        PriceClass("other", Decimal(7), 20),
    ),
)


def family(made: Table, minutes: Mapping[str, int] | None = None, **more) -> Family:
    """Its tests in the order of the table, of five minutes unless it is said."""
    tests = tuple(
        Step(Candidate(key, key, (minutes or {}).get(key, 5)))
        for key in made.evidence
        if not key.startswith("complaint.")
    )
    return Family(made, tests, ("weather",), dict.fromkeys(made.evidence, ""), **more)


def with_parts(made: Table, **parts: str) -> Table:
    """The same, with one part for each suspect that is named."""
    return replace(
        made,
        suspects=tuple(
            replace(one, parts=(parts[one.code],) if one.code in parts else ())
            for one in made.suspects
        ),
    )


def marked(made: Table, code: str, **marks: bool) -> Table:
    """The same, with a suspect that is costly or a danger."""
    return replace(
        made,
        suspects=tuple(replace(one, **marks) if one.code == code else one for one in made.suspects),
    )


TWO = with_parts(
    yes_no({"a": 60, "b": 30, "c": 10}, t={"a": 0.99, "b": 0.01, "c": 0.5}), a="x", b="y", c="z"
)


@st.composite
def families(draw: st.DrawFn) -> Family:
    """Random tables with tests of random length."""
    made = draw(tables())
    return family(made, {key: draw(st.integers(1, 40)) for key in made.evidence})


# --- drawing ----------------------------------------------------------------------------------


def test_the_same_seed_gives_the_same_jobs_and_another_one_others() -> None:
    one = family(TWO)
    first, again, other = (simulate(one, range(40), seed, 1.5, [PLAIN]) for seed in (1, 1, 2))
    assert first == again
    assert first != other


def test_faults_are_drawn_as_often_as_the_table_says() -> None:
    found = Counter(draw_job(family(TWO), f"{n}", 1.0, PLAIN).faults for n in range(3000))
    shares = {code: found[code,] / 3000 for code in TWO.starts}
    assert shares == pytest.approx(TWO.starts, abs=0.03)


def test_outcomes_are_drawn_as_often_as_the_fault_s_row_says() -> None:
    jobs = [draw_job(family(TWO), f"{n}", 1.0, PLAIN) for n in range(3000)]
    of_b = [job.outcomes["t"] for job in jobs if job.faults == ("b",)]
    of_c = [job.outcomes["t"] for job in jobs if job.faults == ("c",)]
    assert of_b.count("positive") / len(of_b) == pytest.approx(0.01, abs=0.01)
    assert of_c.count("positive") / len(of_c) == pytest.approx(0.5, abs=0.1)


def test_the_stated_share_of_tests_decides_nothing() -> None:
    assumed = replace(PLAIN, decides_nothing=0.2)
    found = [draw_job(family(TWO), f"{n}", 1.0, assumed).outcomes["t"] for n in range(2000)]
    assert found.count(UNDECIDED) / 2000 == pytest.approx(0.2, abs=0.03)


def test_the_stated_share_of_jobs_has_two_faults() -> None:
    assumed = replace(PLAIN, two_faults=0.1)
    jobs = [draw_job(family(TWO), f"{n}", 1.0, assumed) for n in range(2000)]
    two = [job.faults for job in jobs if len(job.faults) == 2]
    assert len(two) / 2000 == pytest.approx(0.1, abs=0.03)
    assert all(first != second for first, second in two)


def test_what_is_not_on_the_list_and_nothing_at_all_come_alone() -> None:
    made = yes_no({"a": 10, "b": 10, UNLISTED: 40, NOTHING: 40}, t={"a": 0.9})
    assumed = replace(PLAIN, two_faults=1.0)
    faults = {draw_job(family(made), f"{n}", 1.0, assumed).faults for n in range(300)}
    assert faults == {("a", "b"), ("b", "a"), (UNLISTED,), (NOTHING,)}


@pytest.mark.parametrize("factor", [1.0, 1.5, 3.0])
def test_numbers_that_strayed_still_sum_to_1(factor: float) -> None:
    for made in our_tables().values():
        for evidence in made.evidence.values():
            after = strayed(evidence.otherwise, factor, random.Random(made.family))
            assert sum(after.values()) == pytest.approx(1.0, abs=1e-12)
            assert min(after.values()) > 0
            assert (after == evidence.otherwise) == (factor == 1.0)


@pytest.mark.parametrize("factor", [1.5, 3.0])
def test_numbers_stray_by_the_stated_factor(factor: float) -> None:
    """Of two equal numbers the logarithm of the ratio spreads √2 times as far as that of each."""
    draw = random.Random(4)
    pairs = [strayed({"a": 0.5, "b": 0.5}, factor, draw) for _ in range(4000)]
    spread = pstdev(math.log(one["a"] / one["b"]) for one in pairs) / math.sqrt(2)
    assert math.exp(spread) == pytest.approx(factor, rel=0.05)


# --- working ----------------------------------------------------------------------------------


@settings(max_examples=30)
@given(families(), st.integers(0, 1000))
def test_both_orders_of_all_tests_come_to_the_same(one: Family, seed: int) -> None:
    """They meet the same fault and the same outcomes, and only the order parts them."""
    never = replace(PLAIN, sure=2.0, sure_of_costly=2.0, least_bits=-1.0)
    one = replace(one, tests=tuple(Step(replace(t.candidate, first=True)) for t in one.tests))
    car = Car(one, draw_job(one, f"{seed}", 1.0, never))
    fixed, ours = (by_tests(car, never, in_our_order=way) for way in (False, True))
    assert fixed == ours
    assert fixed.tests == len(one.tests)


def halving(first: str) -> Family:
    """Eight suspects; tests of one each stand first in the usual order, then tests of four each,
    all of them as good as certain."""
    codes = [f"s{n}" for n in range(8)]
    told = {
        f"one{n}": {code: 0.999 if code == f"s{n}" else 0.001 for code in codes} for n in range(8)
    }
    for bit in range(3):
        told[f"half{bit}"] = {
            code: 0.999 if n >> bit & 1 else 0.001 for n, code in enumerate(codes)
        }
    keys = sorted(told, key=lambda key: not key.startswith(first))
    return family(yes_no(dict.fromkeys(codes, 1), **{key: told[key] for key in keys}))


@pytest.mark.parametrize("first", ["one", "half"])
def test_with_certain_tables_our_order_needs_no_more_tests_than_the_usual_one(first: str) -> None:
    (ends,) = simulate(halving(first), range(60), 3, 1.0, [PLAIN])
    ours, fixed = (sum(end.tests for end in ends[way]) for way in (OURS, FIXED))
    assert ours <= fixed
    assert ours == pytest.approx(3 * 60, abs=3)


@settings(max_examples=30)
@given(families(), st.integers(0, 1000), st.sampled_from([0.0, 10.0, 30.0]))
def test_no_test_goes_beyond_the_minutes_that_were_agreed(one, seed: int, minutes: float) -> None:
    assumed = replace(PLAIN, allowance_minutes=minutes, most_swaps=0)
    ends = work(Car(one, draw_job(one, f"{seed}", 1.0, assumed)), assumed)
    assert max(end.minutes for end in ends.values()) <= minutes


def test_a_first_thing_of_which_the_table_knows_nothing_costs_both_its_minutes() -> None:
    asked = Step(Candidate("look", "look", 2, first=True))
    one = family(TWO)
    one = replace(one, tests=(asked, *one.tests))
    ends = work(Car(one, Job(("a",), {"t": "positive"})), PLAIN)
    assert [(ends[way].tests, ends[way].minutes) for way in (FIXED, OURS)] == [(2, 7), (2, 7)]


def test_nothing_is_named_before_a_test() -> None:
    made = with_parts(yes_no({"a": 98, "b": 1, "c": 1}, t={"a": 0.5}), a="x")
    end = by_tests(Car(family(made), Job(("a",), {"t": "positive"})), PLAIN, in_our_order=True)
    assert (end.tests, end.named) == (0, OPEN)


@pytest.mark.parametrize(("marks", "named"), [({}, RIGHT), ({"safety": True}, OPEN)])
def test_a_danger_is_named_only_when_it_is_surer(marks: dict[str, bool], named: str) -> None:
    """75 % after the test: enough at small stakes."""
    made = marked(yes_no({"a": 50, "b": 50}, t={"a": 0.75, "b": 0.25}), "a", **marks)
    end = by_tests(Car(family(made), Job(("a",), {"t": "positive"})), PLAIN, in_our_order=True)
    assert end.named == named


# --- paying -----------------------------------------------------------------------------------


def swapping(made: Table, *faults: str) -> End:
    return by_swaps(Car(family(made), Job(faults, dict.fromkeys(made.evidence, ""))), PRICES)


def test_a_part_that_was_at_fault_costs_nothing_needless() -> None:
    assert swapping(TWO, "a") == End(OPEN, True, in_three=True)


def test_each_part_before_it_costs_its_price_its_swap_and_a_trial() -> None:
    made = with_parts(TWO, a="engine", b="y", c="z")
    end = swapping(made, "c")
    assert (end.found, end.needless, end.minutes) == (True, Decimal(307), 50 + 20 + 2 * 10)


def test_a_part_that_two_suspects_name_cures_either() -> None:
    made = with_parts(TWO, a="x", b="battery", c="battery")
    assert swapping(made, "c").needless == Decimal(7)


def test_work_without_a_part_costs_minutes_only() -> None:
    made = with_parts(TWO, b="y")
    end = swapping(made, "b")
    assert (end.needless, end.minutes) == (Decimal(0), 30 + 10)


def test_what_is_costly_is_not_swapped_on_a_guess() -> None:
    end = swapping(marked(TWO, "a", costly=True), "a")
    assert (end.found, end.needless) == (False, Decimal(14))


def test_everybody_gives_up_after_the_stated_number_of_needless_swaps() -> None:
    starts = {f"s{n}": 20 - n for n in range(9)}
    made = with_parts(yes_no(starts, t={"s0": 0.9}), **{code: f"part {code}" for code in starts})
    assert swapping(made, "s4").found
    assert swapping(made, "s5").needless == 5 * Decimal(7)


def test_whoever_comes_to_one_of_two_faults_has_found_it() -> None:
    assert swapping(TWO, "b", "c").needless == Decimal(7)
    car = Car(family(TWO), Job(("a", "c"), {"t": "positive"}))
    assert by_tests(car, PRICES, in_our_order=True).named == RIGHT


@pytest.mark.parametrize(
    ("fault", "named", "needless"), [("a", RIGHT, 0), ("c", WRONG, 7), ("b", WRONG, 14)]
)
def test_a_cause_named_wrongly_costs_its_part_and_those_up_to_the_right_one(
    fault: str, named: str, needless: int
) -> None:
    """What is likeliest after the test, c, goes before what was likelier at first."""
    car = Car(family(TWO), Job((fault,), {"t": "positive"}))
    end = by_tests(car, PRICES, in_our_order=True)
    assert (end.named, end.needless, end.found) == (named, Decimal(needless), True)


def test_who_names_something_unlisted_swaps_nothing() -> None:
    made = with_parts(yes_no({"a": 50, UNLISTED: 50}, t={"a": 0.99, UNLISTED: 0.01}), a="x")
    car = Car(family(made), Job(("a",), {"t": "negative"}))
    end = by_tests(car, PRICES, in_our_order=True)
    assert (end.named, end.found, end.needless) == (WRONG, False, Decimal(0))


@pytest.mark.parametrize(
    ("part", "name"),
    [
        ("ground strap", "small"),
        ("head gasket", "major"),
        ("oil filter", "small"),
        ("oil pump", "middle"),
        ("starter", "large"),
    ],
)
def test_a_part_costs_what_parts_of_its_kind_do(part: str, name: str) -> None:
    assert Assumptions().class_of(part).name == name


# --- what came of it --------------------------------------------------------------------------


@pytest.mark.parametrize(("hits", "of"), [(0, 10), (3, 10), (45, 100), (2000, 2000)])
def test_shares_have_the_interval_of_an_independent_library(hits: int, of: int) -> None:
    """scipy's Wilson score interval."""
    want = binomtest(hits, of).proportion_ci(0.95, method="wilson")
    found = wilson(hits, of)
    assert (found.low, found.high) == pytest.approx((want.low, want.high), abs=1e-6)


def test_the_bootstrap_s_interval_is_about_that_of_the_mean() -> None:
    """Two standard errors each way, for many jobs."""
    draw = random.Random(1)
    ends = [End(OPEN, True, draw.randint(0, 10), 1.0) for _ in range(500)]
    tests = compared(dict.fromkeys((SWAPS, FIXED, OURS), ends), "s").results[2].tests
    reach = 1.96 * pstdev(end.tests for end in ends) / math.sqrt(500)
    assert (tests.high - tests.low) / 2 == pytest.approx(reach, rel=0.15)
    assert tests.low < tests.value < tests.high


def test_jobs_are_compared_one_by_one() -> None:
    """The same five minutes saved on very unlike jobs leave no doubt of five minutes."""
    draw = random.Random(2)
    fixed = [End(OPEN, True, 3, draw.uniform(10, 300)) for _ in range(50)]
    ours = [replace(end, minutes=end.minutes - 5) for end in fixed]
    saved = compared({SWAPS: fixed, FIXED: fixed, OURS: ours}, "s").saved_minutes
    assert (saved.low, saved.value, saved.high) == pytest.approx((5, 5, 5))


def test_minutes_are_told_for_each_cause_that_was_found() -> None:
    ends = [End(OPEN, found, 1, 30.0) for found in (True, False, False, False)]
    swaps = compared(dict.fromkeys((SWAPS, FIXED, OURS), ends), "s").results[0]
    assert (swaps.minutes.value, swaps.minutes_each.value) == (30, 120)


def test_the_whole_of_it_says_how_far_it_is() -> None:
    said: list[tuple[int, int]] = []
    found = run([family(TWO), family(TWO)], 5, 1, PLAIN, lambda *told: said.append(told))
    assert said == [(n, 30) for n in range(5, 31, 5)]
    assert {came.jobs for came in found.of.values()} == {10}


# --- whether it still stands ------------------------------------------------------------------


def test_the_check_value_stays_while_nothing_changes() -> None:
    assert digest([family(TWO)], 5, 1, PLAIN) == digest([family(TWO)], 5, 1, PLAIN)


OTHER = table({"a": 60, "b": 30, "c": 10}, {"t": {"": {"positive": 0.4, "negative": 0.6}}})


@pytest.mark.parametrize(
    "changed",
    [
        pytest.param(([family(replace(TWO, digest="1"))], 5, 1, PLAIN), id="table"),
        pytest.param(([family(OTHER)], 5, 1, PLAIN), id="numbers"),
        pytest.param(([family(TWO, {"t": 6})], 5, 1, PLAIN), id="minutes of a test"),
        pytest.param(([family(TWO)], 6, 1, PLAIN), id="jobs"),
        pytest.param(([family(TWO)], 5, 2, PLAIN), id="seed"),
        pytest.param(([family(TWO)], 5, 1, replace(PLAIN, sure=0.6)), id="assumption"),
        pytest.param(([family(TWO)], 5, 1, PRICES), id="prices"),
    ],
)
def test_the_check_value_changes_with_whatever_the_figures_rest_on(changed) -> None:
    assert digest(*changed) != digest([family(TWO)], 5, 1, PLAIN)


def test_the_check_value_changes_with_what_the_code_does(monkeypatch: pytest.MonkeyPatch) -> None:
    before = digest([family(TWO)], 5, 1, PLAIN)
    monkeypatch.setattr(simulation, "_cures", lambda *args: False)
    assert digest([family(TWO)], 5, 1, PLAIN) != before
