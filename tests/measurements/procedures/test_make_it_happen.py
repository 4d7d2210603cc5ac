"""Make it happen: what staying away does not prove first, then what was seen and under what."""

from __future__ import annotations

import math
import re
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import binom

from measurements.core import chart
from measurements.core.assessment import Assessment
from measurements.core.compare import K, compare
from measurements.core.context import Context
from measurements.core.readings import Readings, layout
from measurements.core.recurrence import luck_of_none, rate_at_least, rate_at_most, rate_with_doubt
from measurements.core.run_file import run_data
from measurements.procedures.make_it_happen import PROCEDURE, Tried, where_it_stays_away

READY = {f"ready.{item.code}": "yes" for item in PROCEDURE.preconditions}
BY_US = ("technician", "technician_with", "customer_with", "nobody")


def trial(
    came: str = "", driver: str = "technician", tries: Any = None, **given_values: str
) -> Assessment:
    """tries: row -> (tried, came), the second "" where it was left open."""
    typed = {f"given.{key}": value for key, value in given_values.items()}
    typed |= {"given.came": came, "given.driver": driver}
    for row, (tried, times) in (tries or {}).items():
        typed |= {f"tries.{row}.tried": str(tried), f"tries.{row}.came": str(times)}
    data = {"typed": {**READY, **typed}, "context": {"fault_present": "yes"}}
    return run_data(PROCEDURE, data).assessment


def told(found: Assessment) -> str:
    return " ".join(s.text for s in found.technician).replace("\xa0", " ")


def figure(found: Assessment, key: str) -> float | None:
    one = found.figure(key)
    return one.value if one else None


# --- what staying away does not prove ---------------------------------------------------------


def test_that_it_stayed_away_is_no_result_without_the_number_of_tries() -> None:
    assert trial("no").pattern == "undecided"
    assert trial("no", tries={"as_told": (0, 0)}).pattern == "undecided"


@pytest.mark.parametrize("clean", [1, 3, 11, 200])
@pytest.mark.parametrize("often", ["every", "second", "fourth", "tenth", "seldom", "unknown"])
def test_however_often_it_stayed_away_the_customer_reads_that_it_may_not_be_gone(
    clean: int, often: str
) -> None:
    found = trial("no", often=often, tries={"as_told": (clean, "")})
    assert found.pattern == "not_reproduced"
    assert found.customer[0].text == (
        "The fault did not appear while we tried. That does not mean it is gone."
    )


@pytest.mark.parametrize(("often", "needed"), [("second", 5), ("fourth", 11), ("tenth", 29)])
def test_one_try_less_than_needed_is_too_few(often: str, needed: int) -> None:
    short = trial("no", often=often, tries={"as_told": (needed - 1, 0)})
    enough = trial("no", often=often, tries={"as_told": (needed, 0)})
    assert "too_few" in short.confounders and "too_few" not in enough.confounders
    assert (figure(short, "left"), figure(enough, "left")) == (1, 0)


def test_tries_under_other_conditions_than_told_do_not_count_towards_it() -> None:
    found = trial("no", often="second", tries={"hot": (20, 0)})
    assert "not_as_told" in found.confounders
    assert (figure(found, "needed"), figure(found, "left")) == (5, 5)


def test_a_number_once_in_so_many_goes_before_the_rough_answer() -> None:
    found = trial("no", often="second", one_in="10", tries={"as_told": (5, 0)})
    assert figure(found, "needed") == 29


def test_not_knowing_how_often_it_comes_weakens_staying_away() -> None:
    found = trial("no", tries={"as_told": (9, 0)})
    assert found.confounders == ("often_unknown",)
    assert figure(found, "needed") is None


@pytest.mark.parametrize(
    "code", ["not_as_told", "too_few", "often_unknown", "cut_short", "disturbed"]
)
def test_what_weakens_staying_away_leaves_a_fault_that_was_seen_whole(code: str) -> None:
    assert PROCEDURE.confounder(code).only_sound


def test_the_answer_and_the_counts_must_not_contradict_each_other() -> None:
    for came, times in (("no", 2), ("as_told", 0), ("otherwise", 0)):
        found = trial(came, tries={"as_told": (4, times)})
        assert found.pattern == "undecided" and "contradict" in told(found)


def test_more_often_than_tried_is_not_counted_and_said() -> None:
    found = trial("as_told", tries={"cold": (2, 3), "hot": (2, 1)})
    assert (figure(found, "tried"), figure(found, "came")) == (2, 1)
    assert "more often than it was tried" in told(found)


def test_without_a_word_on_who_was_there_it_is_not_called_seen() -> None:
    assert trial("as_told", driver="").pattern == "undecided"


def test_the_customers_own_drive_is_not_seen_by_us() -> None:
    found = trial("as_told", driver="customer_alone", tries={"as_told": (8, 1)})
    assert (found.pattern, found.confounders) == ("came_unseen", ("customer_alone",))
    assert "not seen by us" in told(found)


# --- what was seen ----------------------------------------------------------------------------


@pytest.mark.parametrize("driver", BY_US)
def test_one_tap_is_enough_where_it_came_at_once(driver: str) -> None:
    assert trial("as_told", driver=driver).pattern == "as_told"


def test_seen_as_told_says_how_the_tests_that_follow_are_to_be_answered() -> None:
    assert "happening just then" in told(trial("as_told"))
    assert "not happening just then" in told(trial("no", tries={"as_told": (3, 0)}))


def test_other_than_told_asks_whether_it_is_the_same() -> None:
    found = trial("otherwise", tries={"bumps": (3, 2)})
    assert (found.pattern, found.where) == ("other_than_told", ("bumps",))
    assert "whether it is the one you mean" in found.customer[0].text


@pytest.mark.parametrize("reason", ["chassis", "engine", "smoke", "danger"])
def test_a_danger_goes_before_everything(reason: str) -> None:
    found = trial("as_told", stopped=reason, tries={"as_told": (1, 1)})
    assert (found.pattern, [a.pattern for a in found.also]) == ("stopped", ["as_told"])
    driving = PROCEDURE.pattern("stopped").driving
    assert driving is not None and driving.code == "do_not_drive"


@pytest.mark.parametrize("stopped", ["no", "not_the_car"])
def test_traffic_and_time_are_no_danger_of_the_car(stopped: str) -> None:
    assert trial("as_told", stopped=stopped).pattern == "as_told"


def test_three_with_it_and_three_without_part_two_conditions() -> None:
    found = trial("as_told", tries={"cold": (3, 3), "hot": (3, 0)})
    assert (found.pattern, found.where) == ("only_under_some", ("cold",))
    assert [item.pattern for item in found.also] == ["as_told"]


def test_three_with_it_and_two_without_do_not_yet() -> None:
    found = trial("as_told", tries={"cold": (3, 3), "hot": (2, 0)})
    assert found.pattern == "as_told" and "1 more" in told(found)


def test_once_with_it_never_parts_conditions_however_few_tries_lack() -> None:
    found = trial("as_told", tries={"cold": (20, 1), "hot": (3, 0)})
    assert found.pattern == "as_told"
    assert "bring it about more often where it comes" in told(found)


def test_a_condition_where_it_came_is_never_called_one_where_it_stays_away() -> None:
    tries = (Tried("cold", "cold", 9, 9), Tried("hot", "hot", 9, 1), Tried("wet", "wet", 9, 0))
    assert [one.code for one in where_it_stays_away(tries)] == ["wet"]


# --- two runs held against each other ---------------------------------------------------------


def told_tries(**tries: tuple[int, int]) -> Readings:
    typed = {"given.came": "as_told", "given.driver": "technician"}
    for row, (tried, came) in tries.items():
        typed |= {f"tries.{row}.tried": str(tried), f"tries.{row}.came": str(came)}
    return run_data(PROCEDURE, {"typed": READY | typed}).checked.readings


def direction(before: tuple[int, int], after: tuple[int, int]) -> str:
    (change,) = compare(PROCEDURE, told_tries(as_told=before), told_tries(as_told=after)).changes
    return change.direction


@pytest.mark.parametrize(
    ("before", "after"), [((6, 5), (5, 4)), ((40, 10), (4, 1)), ((1, 1), (1, 0)), ((2, 2), (2, 0))]
)
def test_another_number_of_tries_or_a_little_luck_is_no_change(before: Any, after: Any) -> None:
    assert direction(before, after) == "no clear change"


@pytest.mark.parametrize(
    ("before", "after", "clear"),
    [((6, 5), (12, 0), "less"), ((20, 2), (20, 15), "more"), ((3, 3), (3, 0), "less")],
)
def test_a_share_that_is_plainly_another_is_one(before: Any, after: Any, clear: str) -> None:
    assert direction(before, after) == clear


@pytest.mark.parametrize("rate", [0.1, 0.25, 0.5, 0.8])
@pytest.mark.parametrize(("tried", "again"), [(2, 2), (4, 4), (5, 20), (10, 10), (30, 3)])
def test_runs_of_one_rate_are_called_unlike_hardly_more_than_one_time_in_twenty(
    tried: int, again: int, rate: float
) -> None:
    """Every outcome of the two with its chance; with few tries it is a little above 5 %."""
    unlike = 0.0
    for came in range(tried + 1):
        for came_again in range(again + 1):
            (one, u), (other, v) = rate_with_doubt(came, tried), rate_with_doubt(came_again, again)
            if abs(one - other) > K * math.hypot(u, v):
                unlike += binom.pmf(came, tried, rate) * binom.pmf(came_again, again, rate)
    assert unlike <= 0.075


def test_runs_are_compared_condition_by_condition() -> None:
    found = compare(
        PROCEDURE, told_tries(as_told=(6, 5), cold=(4, 4)), told_tries(as_told=(6, 5), hot=(9, 1))
    )
    assert [change.address for change in found.changes] == ["figure.expected_as_told"]
    assert {(one.address, one.reason) for one in found.apart} == {
        ("figure.expected_cold", "not known after"),
        ("figure.expected_hot", "not known before"),
    }


# --- customer's paper, form, chart ------------------------------------------------------------

counts = st.integers(0, 40)
answers = st.sampled_from(["", "as_told", "otherwise", "no"])
rows = st.dictionaries(
    st.sampled_from(["as_told", "cold", "hot", "wet"]), st.tuples(counts, st.just("") | counts)
)


@given(
    answers,
    st.sampled_from(["", *BY_US, "customer_alone"]),
    rows,
    st.sampled_from(["every", "second", "fourth", "tenth", "seldom", ""]),
)
def test_the_customer_reads_no_chance_and_no_per_cent(
    came: str, driver: str, tries: Any, often: str
) -> None:
    found = trial(came, driver, tries, often=often)
    said = " ".join(sentence.text for sentence in found.customer)
    assert not re.search(r"%|per cent|chance|luck|likely", said)
    assert all(one.quantity == "count" for one in found.figures)


@given(rows)
def test_it_is_never_called_seen_where_the_answer_is_that_it_did_not_come(tries: Any) -> None:
    assert trial("no", tries=tries).pattern in ("not_reproduced", "undecided")


@given(st.integers(1, 60), st.integers(0, 60), st.integers(0, 60))
def test_more_tries_without_it_never_weigh_less(tried: int, came: int, clean: int) -> None:
    came = min(came, tried)
    assert luck_of_none(came, tried, clean + 1) <= luck_of_none(came, tried, clean)


@given(st.integers(1, 200), st.integers(0, 200))
def test_what_was_counted_lies_between_its_bounds(tried: int, came: int) -> None:
    came = min(came, tried)
    assert rate_at_least(came, tried) <= came / tried <= rate_at_most(came, tried)


@pytest.mark.parametrize(("came", "tried"), [(1, 0), (3, 2), (-1, 4)])
def test_counts_that_cannot_be_are_refused(came: int, tried: int) -> None:
    with pytest.raises(ValueError, match="more often than it was tried"):
        rate_at_most(came, tried)


def test_one_row_stands_open_and_the_other_conditions_fold() -> None:
    (grid,) = layout(PROCEDURE, Context()).grids
    assert [row.row.code for row in grid.rows if not row.row.optional] == ["as_told"]


def test_the_chart_marks_where_it_came_and_where_not() -> None:
    found = trial("as_told", tries={"cold": (3, 3), "hot": (4, 0)})
    marks = {row["label"]: row["marks"][0] for row in found.chart["rows"]}
    assert marks["engine cold"] == {"label": "3 of 3", "firm": True}
    assert marks["engine hot"] == {"label": "0 of 4", "firm": False}
    assert "engine hot 0 of 4" in chart.draw(found.chart)
