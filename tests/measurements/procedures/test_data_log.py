"""The data log: what it does not say first, then what it does."""

from __future__ import annotations

import json
import math
import tempfile
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from measurements.core import chart
from measurements.core.assessment import Assessment
from measurements.core.context import ChosenLimit, Context
from measurements.core.procedure import QuantityBy, Source
from measurements.core.readings import layout, validate
from measurements.core.run_file import run_data
from measurements.procedures.data_log import (
    PROCEDURE,
    SEEN_ENOUGH_S,
    WATCHED,
    _long,
    _moment,
    edges_of,
)

GIVEN = {
    "given.watched": "voltage",
    "given.limit_low": "13.2 V",
    "given.limit_from": "own",
    "given.least": "2 s",
    "given.accuracy_percent": "0.1 %",
    "log.file": "log.csv",
    "log.time.source": "1",
    "log.watched.source": "2",
}
SPEED = {"log.engine_speed.source": "rpm"}
LOAD = {"log.load.source": "load", "log.load.unit": "0/1"}


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return tmp_path


def judged(
    folder: Path, rows: list[tuple[Any, ...]], head: str = "t,u\ns,V", **context: Any
) -> Any:
    """Judge rows of (time, value, ...) written below `head`; more of what is typed by `typed=`."""
    typed = GIVEN | context.pop("typed", {})
    lines = [",".join("" if cell is None else str(cell) for cell in row) for row in rows]
    (folder / "log.csv").write_text("\n".join([head, *lines, ""]), encoding="utf-8")
    context.setdefault("fault_present", "no")
    return run_data(PROCEDURE, {"typed": typed, "context": context}, folder=folder)


def assessed(folder: Path, rows: list[tuple[Any, ...]], head: str = "t,u\ns,V", **more: Any):
    found = judged(folder, rows, head, **more)
    assert found.checked.ok, found.checked.faults
    return found.assessment


def steady(value: float, seconds: int = 60, start: int = 0) -> list[tuple[int, float]]:
    """Rows of a second each, with a last digit of 0.01."""
    return [(start + n, round(value + 0.01 * (n % 2), 2)) for n in range(seconds)]


def figure(found: Assessment, key: str) -> float:
    one = found.figure(key)
    assert one is not None and one.value is not None
    return one.value


def words(found: Assessment) -> str:
    said = " ".join(sentence.text for sentence in (*found.customer, *found.technician))
    return said.replace("\xa0", " ")


def table(found: Assessment, title: str) -> Any:
    return next(one for one in found.tables if one.title.startswith(title))


# --- cannot tell --------------------------------------------------------------------------------


def test_without_a_limit_there_are_statistics_and_no_verdict(folder) -> None:
    found = assessed(folder, steady(12.0), typed={"given.limit_low": ""})
    assert found.pattern == "undecided"
    assert {verdict.outcome for verdict in found.verdicts} == {"no_limit"}
    assert figure(found, "middle") == pytest.approx(12.0, abs=0.011)
    assert found.figure("beyond_count") is None
    assert "statistics only" in words(found)


def test_a_level_within_the_loggers_doubt_of_the_limit_is_left_open(folder) -> None:
    found = assessed(folder, steady(13.15), typed={"given.accuracy_percent": "1 %"})
    assert (found.pattern, found.verdict("figure.held_low").outcome) == ("undecided", "cannot_tell")


def test_a_log_shorter_than_what_counts_says_nothing(folder) -> None:
    found = assessed(folder, steady(12.0, seconds=2), typed={"given.least": "5 s"})
    assert found.pattern == "undecided"
    assert found.figure("held_low").absent_because
    assert "nowhere 5 s long" in words(found)


def test_a_column_without_one_value_says_nothing(folder) -> None:
    found = assessed(folder, [(0, None, 1), (1, None, 2)], "t,u,x\ns,V,")
    assert found.pattern == "undecided"
    assert "Not one row of the watched column" in words(found)


def test_a_good_log_while_the_complaint_was_absent_says_so(folder) -> None:
    found = assessed(folder, steady(14.0))
    assert found.pattern == "stays_inside"
    assert "fault_absent" in found.confounders
    assert "no_marker" not in found.confounders


def test_a_gap_is_no_proof_of_what_happened_in_it(folder) -> None:
    found = assessed(folder, steady(14.0) + steady(14.0, start=100))
    assert found.pattern == "gaps_in_log"
    assert figure(found, "gap_time") == 41
    assert "41 s of the log are missing" in words(found)


def test_a_stretch_does_not_run_through_a_gap(folder) -> None:
    """Low for one second before and one after a minute of nothing: never two seconds on end."""
    rows = [*steady(14.0), (60, 12.0), (61, 12.0), (121, 12.0), (122, 12.0)]
    found = assessed(folder, rows + steady(14.0, start=123), typed={"given.least": "3 s"})
    assert figure(found, "longest") == 2
    assert figure(found, "beyond_long") == 0


def test_with_a_marker_elsewhere_a_stretch_weighs_less(folder) -> None:
    rows = steady(14.0) + steady(12.0, 10, 60) + steady(14.0, 60, 70)
    near = assessed(folder, rows, typed={"given.noticed_at": "72 s"}, fault_present="yes")
    far = assessed(folder, rows, typed={"given.noticed_at": "20 s"}, fault_present="yes")
    assert "marker_elsewhere" not in near.confounders
    assert "marker_elsewhere" in far.confounders
    assert "1:12.0 lies at a stretch" in words(near)
    assert "0:20.0 lies at no stretch" in words(far)


def test_a_marker_in_the_file_counts_once_for_each_press(folder) -> None:
    rows = [(t, u, int(10 <= t < 13 or t == 40)) for t, u in steady(14.0)]
    found = assessed(folder, rows, "t,u,event\ns,V,", fault_present="yes", typed={
        "log.marker.source": "event", "log.marker.unit": "0/1",
    })  # fmt: skip
    assert "no_marker" not in found.confounders
    assert words(found).count("lies at no stretch that counts") == 2


def test_asking_as_seldom_as_what_counts_weakens(folder) -> None:
    assert (
        "sampled_slowly" in assessed(folder, steady(14.0), typed={"given.least": "1 s"}).confounders
    )
    assert "sampled_slowly" not in assessed(folder, steady(14.0)).confounders


def test_many_lines_left_out_weaken_and_are_listed(folder) -> None:
    rows = [(t, "x" if t % 20 == 5 else u) for t, u in steady(14.0)]
    found = assessed(folder, rows)
    assert "lines_left_out" in found.confounders
    assert table(found, "Lines left out: 3").rows[0] == ("8", "“x” is no number")


# --- what was seen ------------------------------------------------------------------------------


def test_moments_are_no_stretch(folder) -> None:
    rows = [(t, 9.0 if t in (10, 30) else u) for t, u in steady(14.0)]
    found = assessed(folder, rows)
    assert found.pattern == "short_dips_only"
    assert (figure(found, "beyond_count"), figure(found, "beyond_long")) == (2, 0)


def test_long_enough_to_the_row_is_long_enough(folder) -> None:
    rows = [(t, 9.0 if t in (10, 11) else u) for t, u in steady(14.0)]
    assert assessed(folder, rows).pattern == "beyond_for_long"
    assert assessed(folder, rows, typed={"given.least": "2.1 s"}).pattern == "short_dips_only"


def test_the_held_level_is_no_single_peak(folder) -> None:
    rows = [(t, 9.0 if t == 10 else 12.0 if 20 <= t < 25 else u) for t, u in steady(14.0)]
    found = assessed(folder, rows)
    assert (figure(found, "least"), figure(found, "held_low")) == (9.0, 12.0)


def test_an_upper_limit_is_held_against_the_highest_level_held(folder) -> None:
    typed = {"given.limit_low": "", "given.limit_high": "15 V", "given.limit_from": "maker"}
    found = assessed(folder, steady(14.0) + steady(15.6, 10, 60) + steady(14, 5, 70), typed=typed)
    assert found.pattern == "beyond_for_long"
    verdict = found.verdict("figure.held_high")
    assert (verdict.outcome, verdict.source.tag) == ("outside", "maker")
    assert "The car maker's limit is at most 15.0 V." in words(found)


@pytest.mark.parametrize(
    ("low_where", "pattern"),
    [
        (lambda rpm, load: load, "beyond_with_load"),
        (lambda rpm, load: rpm < 1000, "beyond_at_low_speed"),
        (lambda rpm, load: rpm > 2000, "beyond_at_high_speed"),
        (lambda rpm, load: (rpm // 100) % 5 < 2, "beyond_for_long"),
    ],
    ids=["load", "low", "high", "neither"],
)
def test_with_what_a_stretch_goes(folder, low_where, pattern) -> None:
    rows = []
    for t in range(240):
        rpm, load = (800, 1500, 2600)[t // 20 % 3] + t % 3 * 100, int(t // 60 % 2)
        rows.append((t, 12.5 if low_where(rpm, load) else 14.0, rpm, load))
    found = assessed(
        folder, rows, "t,u,rpm,load\ns,V,rpm,", typed=SPEED | LOAD | {"given.least": "1 s"}
    )
    assert found.pattern == pattern


def test_what_was_hardly_logged_otherwise_is_not_said_to_be_good(folder) -> None:
    """All low, at idle, and only a few seconds faster: nothing is said about speed."""
    rows = [(t, 12.5, 800) for t in range(60)]
    rows += [(60 + t, 14.0, 2000) for t in range(int(SEEN_ENOUGH_S) - 1)]
    found = assessed(folder, rows, "t,u,rpm\ns,V,rpm", typed=SPEED)
    assert found.pattern == "beyond_for_long"


def test_a_standing_engine_is_left_out_where_wanted(folder) -> None:
    rows = [(t, 12.4, 0) for t in range(30)] + [(30 + t, 14.1, 800) for t in range(60)]
    head = "t,u,rpm\ns,V,rpm"
    assert assessed(folder, rows, head, typed=SPEED).pattern.startswith("beyond")
    found = assessed(folder, rows, head, typed=SPEED | {"given.running_only": "yes"})
    assert found.pattern == "stays_inside"
    assert figure(found, "gaps") == 0


def test_values_asked_for_in_turn_stand_beside_each_other(folder) -> None:
    """A logger that writes volts and engine speed into rows of their own."""
    rows = []
    for n in range(240):
        rpm = 800 if n < 120 else 2000
        rows.append(
            (n / 2, (12.5 if rpm == 800 else 14.0) if n % 2 else None, None if n % 2 else rpm)
        )
    found = assessed(folder, rows, "t,u,rpm\ns,V,rpm", typed=SPEED)
    assert found.pattern == "beyond_at_low_speed"
    assert {row[0] for row in table(found, "By engine speed").rows} == {
        "0 to 900\xa0rpm", "1800 to 2500\xa0rpm",
    }  # fmt: skip


def test_the_table_of_stretches_names_worst_speed_and_load(folder) -> None:
    rows = [
        (t, 12.1 if t == 25 else 12.5 if 20 <= t < 30 else 14.0, 850, int(t >= 25))
        for t in range(60)
    ]
    found = assessed(folder, rows, "t,u,rpm,load\ns,V,rpm,", typed=SPEED | LOAD)
    stretches = table(found, "Stretches beyond the limit")
    assert stretches.head == ("from", "for", "worst", "engine speed", "load")
    assert stretches.rows[0][:4] == ("0:20.0", "10\xa0s", "12.1\xa0V", "850\xa0rpm")
    assert stretches.rows[0][4] == "on for 50\xa0% of it"


def test_only_the_first_stretches_are_listed_and_all_are_counted(folder) -> None:
    rows = [(t, 12.0 if t % 10 < 3 else 14.0) for t in range(400)]
    found = assessed(folder, rows)
    assert table(found, "Stretches beyond the limit: the first 20 of 40")
    assert len(table(found, "Stretches").rows) == 20
    assert figure(found, "beyond_long") == 40


def test_bands_are_those_that_were_typed(folder) -> None:
    rows = [(t, 14.0 + t % 2 / 100, 500 * (t // 20)) for t in range(60)]
    head = "t,u,rpm\ns,V,rpm"
    found = assessed(folder, rows, head, typed=SPEED | {"given.bands": "0 600 900"})
    assert [row[0] for row in table(found, "By engine").rows] == [
        "0 to 600\xa0rpm",
        "900\xa0rpm and above",
    ]


def test_bands_that_cannot_be_read_are_asked_about_and_the_usual_stand(folder) -> None:
    rows = [(t, 14.0, 500) for t in range(60)]
    found = judged(folder, rows, "t,u,rpm\ns,V,rpm", typed=SPEED | {"given.bands": "slow, fast"})
    (fault,) = found.checked.faults
    assert (fault.kind, fault.meant) == ("asks", "0, 900, 1200, 1800, 2500, 4000")
    assert table(found.assessment, "By engine").rows[0][0] == "0 to 900\xa0rpm"


@pytest.mark.parametrize(
    "text", ["", "5", "5,4", "1,1", "a,b", "-1,2", "1.5,2", ",".join("12345" * 9)]
)
def test_what_are_no_bands(text: str) -> None:
    assert edges_of(text) is None


# --- what is typed ------------------------------------------------------------------------------


def test_limits_take_the_unit_of_what_is_watched() -> None:
    typed = {"given.watched": "gauge_pressure", "given.limit_low": "3.5 bar"}
    readings = validate(PROCEDURE, typed, Context()).readings
    assert readings.given("limit_low") == pytest.approx(350)
    slots = {slot.address: slot for slot in layout(PROCEDURE, Context(units="us"), typed).slots}
    assert slots["given.limit_low"].unit == "psi"


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ({"given.limit_low": "13 V"}, "Say first of what"),
        ({"given.watched": "current", "given.limit_low": "13 V"}, "is no unit of current"),
        ({"given.watched": "voltage", "given.limit_high": "5 kV"}, "is not possible here"),
    ],
)
def test_a_limit_of_nothing_or_of_something_else_is_refused(typed, said) -> None:
    (fault,) = validate(PROCEDURE, typed, Context()).faults
    assert said in fault.text


def test_a_limit_kept_for_the_car_is_not_taken_for_another_quantity(folder) -> None:
    kept = ChosenLimit("figure.held_low", 99.0, None, Source("maker", "page 1"))
    context = json.loads(json.dumps(Context(limits=(kept,)).to_dict()))
    rows = "\n".join(f"{t},{u}" for t, u in steady(14.0))
    (folder / "log.csv").write_text(f"t,u\ns,V\n{rows}\n")
    found = run_data(PROCEDURE, {"typed": GIVEN, "context": context}, folder=folder).assessment
    assert found.verdict("figure.held_low").low == 13.2


@pytest.mark.parametrize(
    ("changes", "address", "said"),
    [
        ({"log.file": "other.csv"}, "log.file", "cannot be read"),
        ({"log.file": "../log.csv"}, "log.file", "beside the readings"),
        ({"log.file": "/etc/passwd"}, "log.file", "beside the readings"),
        ({"log.file": "lo\x00g"}, "log.file", "no name of a file"),
        ({"log.watched.source": "amps"}, "log.watched.source", "has no column “amps”"),
        ({"log.watched.unit": "bar"}, "log.watched.unit", "no unit of voltage"),
        ({"log.engine_speed.source": "u"}, "log.engine_speed.unit", "does not say in which unit"),
    ],
)
def test_what_cannot_be_read_is_named_by_its_place(folder, changes, address, said) -> None:
    found = judged(folder, steady(14.0), typed=changes)
    assert not found.checked.ok
    (fault,) = found.checked.faults_at(address)
    assert said in fault.text
    assert found.assessment.pattern == "undecided"


def test_a_link_out_of_the_folder_is_not_followed(folder, tmp_path_factory) -> None:
    elsewhere = tmp_path_factory.mktemp("elsewhere") / "log.csv"
    elsewhere.write_text("t,u\ns,V\n0,14\n1,14\n")
    (folder / "link.csv").symlink_to(elsewhere)
    found = judged(folder, steady(14.0), typed={"log.file": "link.csv"})
    assert "beside the readings" in found.checked.faults_at("log.file")[0].text


def test_every_quantity_that_can_be_watched_has_its_words_and_bounds() -> None:
    choice = PROCEDURE.given[0]
    assert list(choice.choices) == list(WATCHED)
    for entry in PROCEDURE.given:
        if isinstance(entry, QuantityBy):
            assert set(entry.possible) == set(WATCHED)
            assert all(entry.of(quantity).quantity == quantity for quantity in WATCHED)


# --- words --------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("seconds", "shown"),
    [(0, "0:00.0"), (59.96, "1:00.0"), (64.5, "1:04.5"), (3599.96, "60:00.0"), (3723, "1:02:03")],
)
def test_moments(seconds: float, shown: str) -> None:
    assert _moment(seconds) == shown


@pytest.mark.parametrize(
    ("seconds", "shown"),
    [
        (0.05, "0.05 s"),
        (2, "2 s"),
        (12.34, "12.3 s"),
        (100, "100 s"),
        (150, "2.5 min"),
        (7200, "2.0 h"),
    ],
)
def test_durations(seconds: float, shown: str) -> None:
    assert _long(seconds).replace("\xa0", " ") == shown


def test_the_chart_marks_stretches_and_lies_over_an_earlier_one(folder) -> None:
    rows = [(t, 12.5 if t < 30 else 14.0, 800 + t) for t in range(60)]
    head = "t,u,rpm\ns,V,rpm"
    before = assessed(folder, rows, head, typed=SPEED).chart
    after = assessed(folder, [(t, 14.0, 800) for t in range(60)], head, typed=SPEED).chart
    assert (before["stretches"], after["stretches"]) == ([[0.0, 30.0]], [])
    svg = chart.draw(after, earlier=before)
    assert "before" in svg
    assert "limit 13.2 V" in svg
    assert "no stretch beyond the limit counts" in svg


def test_a_chart_of_another_unit_is_not_laid_under_it(folder) -> None:
    volts = assessed(folder, steady(14.0)).chart
    typed = {"given.watched": "current", "given.limit_low": "", "log.watched.unit": "A"}
    amps = assessed(folder, steady(14.0), "t,i\ns,A", typed=typed).chart
    assert chart.draw(amps, earlier=volts) == chart.draw(amps)


# --- promises -----------------------------------------------------------------------------------

numbers = st.one_of(
    st.floats(-900, 900).map(lambda x: round(x, 3)), st.sampled_from([None, "x", 13.2, 1e300])
)
logs = st.lists(st.tuples(st.floats(0, 500), numbers, numbers, numbers), min_size=1, max_size=40)


def in_a_folder(rows, **more: Any) -> Any:
    with tempfile.TemporaryDirectory() as folder:
        return judged(Path(folder), rows, "t,u,rpm,load\ns,V,rpm,", **more)


@given(logs, st.sampled_from(["0 s", "2 s", "1 h"]), st.sampled_from(["", "-5 V", "13.2 V"]))
@settings(max_examples=60)
def test_no_log_that_can_be_read_breaks_it(rows, least, high) -> None:
    ordered = sorted(rows, key=lambda row: row[0])
    typed = SPEED | LOAD | {"given.least": least, "given.limit_low": "", "given.limit_high": high}
    found = in_a_folder(ordered, typed=typed)
    stored = json.dumps(found.assessment.to_dict(), allow_nan=False)
    assert Assessment.from_dict(json.loads(stored)) == found.assessment
    if found.assessment.chart:
        assert chart.draw(found.assessment.chart).startswith("<svg")


@given(
    st.lists(st.floats(0, 20).map(lambda x: round(x, 2)), min_size=3, max_size=40),
    st.sampled_from([0.01, 0.5, 3.0]),
)
@settings(max_examples=60)
def test_more_volts_never_make_a_lower_limit_worse(values, more) -> None:
    """The outcomes against a lower limit go one way when every value rises by as much; an accuracy
    of nought per cent keeps the doubt the same."""
    typed = {"given.accuracy_percent": "0 %"}
    order = ["outside", "cannot_tell", "within"]

    def outcome(by: float) -> int:
        rows = [(n, round(value + by, 2), "", "") for n, value in enumerate(values)]
        return order.index(
            in_a_folder(rows, typed=typed).assessment.verdict("figure.held_low").outcome
        )

    assert outcome(0) <= outcome(more)


@given(st.lists(st.integers(0, 400), min_size=3, max_size=40), st.sampled_from(["us", "imperial"]))
@settings(max_examples=40)
def test_the_unit_that_is_shown_changes_no_verdict(values, system) -> None:
    typed = {
        "given.watched": "gauge_pressure", "given.limit_low": "150 kPa",
        "given.accuracy_percent": "1",
    }  # fmt: skip
    rows = [(n, value, "", "") for n, value in enumerate(values)]

    def outcomes(units: str) -> Any:
        with tempfile.TemporaryDirectory() as folder:
            found = judged(
                Path(folder), rows, "t,p,r,l\ns,kPa,,", typed=typed, units=units
            ).assessment
        return found.pattern, [(v.outcome, v.p) for v in found.verdicts]

    assert outcomes("metric") == outcomes(system)


def test_doubt_grows_with_the_value_and_the_last_digit(folder) -> None:
    found = assessed(folder, steady(14.0), typed={"given.accuracy_percent": "1 %"})
    bound = math.hypot(0.14 / math.sqrt(3), 0.01 / math.sqrt(12))
    assert found.figure("held_low").u == pytest.approx(bound, rel=2e-3)
