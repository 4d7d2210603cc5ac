"""A test in words for page and report, and two of them side by side."""

from __future__ import annotations

import json
import re
from dataclasses import asdict

import pytest

from jobs.actions import runs
from jobs.compare import compare
from jobs.run_view import RunView, for_paper, limit_text, rule_words, run_view
from measurements.core.decision import RISK
from measurements.models import Run
from measurements.procedures import PROCEDURES
from shop.models import Profile
from tests.jobs.logged import with_stored_files
from tests.measurements.readings_files import Case, cases

CODE = re.compile(r"\b[a-z]+_[a-z_]+\b")


@pytest.fixture
def tell(ticket, owner):
    """Records a case's readings and gives the run."""

    def record(case: Case, **how) -> Run:
        judged = case.judged()
        Profile.objects.update(units=judged.context.units)
        car = ticket.car
        car.volts, car.high_voltage = judged.context.car.volts, judged.context.car.high_voltage
        car.fuel = judged.context.car.fuel
        engine = judged.context.car.engine
        car.engine = {
            "layout": "line",
            "cylinders": engine.cylinders,
            "numbering": "from_front",
        }
        car.save()
        how = {"fault_present": "yes", "state_of_car": "hot"} | how
        return runs.record_test(
            ticket=ticket, procedure=case.procedure, typed=with_stored_files(case), by=owner, **how
        ).run_link.run

    return record


def texts(value) -> list[str]:
    """Every text in plain data that a person reads."""
    if isinstance(value, str):
        return [value]
    if isinstance(value, dict):
        skip = {
            "procedure",
            "tone",
            "outcome",
            "fault_present",
            "state_of_car",
            "address",
            "strip",
            "chart",
            "advice",
        }
        return [t for key, item in value.items() if key not in skip for t in texts(item)]
    if isinstance(value, list):
        return [t for item in value for t in texts(item)]
    return []


def is_recorded(case: Case) -> bool:
    """Whether its readings are taken, and are more than ticks before the start."""
    typed = case.data["typed"]
    return case.judged().checked.ok and any(not a.startswith("ready.") for a in typed)


@pytest.mark.parametrize("procedure", PROCEDURES)
def test_every_kind_of_result_is_plain_data_without_codes(
    procedure, tell, django_assert_num_queries
) -> None:
    """All readings files of a procedure, one after the other on one ticket."""
    found = {}
    recorded = [case for case in cases(procedure) if is_recorded(case)]
    for case in recorded:
        run = Run.objects.select_related("by").get(pk=tell(case).pk)
        with django_assert_num_queries(0):
            view = run_view(run)
        plain = asdict(view)
        json.dumps(plain, allow_nan=False)
        if codes := [t for t in texts(plain) if CODE.search(t)]:
            found[case.name] = codes
    assert found == {}
    assert recorded


def strap(tell) -> RunView:
    return run_view(tell(Case("voltage_drop", "corroded_strap_hot")))


def test_the_headline_is_the_reading_that_says_most(tell) -> None:
    assert strap(tell).headline == (
        "Body to engine block 0.661\xa0V ± 0.007: outside the standard's limit of at most 0.20\xa0V"
    )


def test_the_pattern_names_its_place(tell) -> None:
    view = strap(tell)
    assert (view.pattern, view.where) == (
        "More is lost in one step than is usual",
        "body to engine block",
    )
    assert (view.tone, view.outcome) == ("seen", "outside")


def test_the_whole_closes_the_table_of_a_route(tell) -> None:
    (table,) = strap(tell).tables
    assert [row["total"] for row in table.rows] == [False] * 4 + [True]
    assert (table.unit, table.rows[2]["value"], table.rows[2]["u"]) == ("V", "0.661", "0.007")


def test_each_limit_refers_to_its_source(tell) -> None:
    (table,) = strap(tell).tables
    tags = {note["tag"]: note["text"] for note in table.notes}
    assert "engineering society" in tags[table.rows[0]["tag"]]
    assert tags[table.rows[-1]["tag"]] == "common practice."


def test_common_practice_is_marked_so(tell) -> None:
    (table,) = strap(tell).tables
    assert [row["common"] for row in table.rows] == [False] * 4 + [True]


def test_the_compact_rows_carry_their_own_units(tell) -> None:
    rows = strap(tell).compact_rows
    assert rows[0]["value"] == "0.661\xa0V"
    assert rows[0]["limit"] == "at most 0.20\xa0V"


def test_a_sound_test_with_the_fault_absent_says_that_it_proves_little(tell) -> None:
    view = run_view(tell(Case("voltage_drop", "strap_renewed_hot"), fault_present="no"))
    assert view.is_sound
    assert view.confounders == ["The complaint was not happening during this test."]
    assert "does not mean that it is gone" in view.customer_sentence


def test_the_instrument_stands_with_its_accuracy(tell) -> None:
    said = " ".join(strap(tell).instruments).replace("\N{NO-BREAK SPACE}", " ")
    assert "±(0.5 % + 3 counts) (typical of its kind)" in said


def test_a_place_that_only_says_the_pattern_again_is_left_out(tell) -> None:
    typed = Case("look_over", "tracker_at_the_battery").data["typed"]
    view = run_view(tell(Case("look_over", "tracker_at_the_battery")))
    assert typed["traces.accessories.seen"] == "bonnet"
    assert (view.pattern, view.where) == ("Added wires or devices", "")


def test_so_it_is_in_what_was_seen_besides(ticket, owner) -> None:
    typed = {"parts.belt.seen": "worn", "traces.accessories.seen": "inside"}
    entry = runs.record_test(ticket=ticket, procedure="look_over", typed=typed, by=owner)
    view = run_view(entry.run_link.run)
    assert (view.where, view.also) == ("belt", ["Added wires or devices"])


def test_the_customers_cautions_are_the_procedures_own(tell) -> None:
    view = run_view(tell(Case("pressure_hold", "steady_cold")))
    assert any("Never open a hot cooling system" in text for text in view.owner_cautions)
    assert not any("HSG261" in text or "common practice" in text for text in view.owner_cautions)


def test_on_paper_the_chart_stands_on_white(tell) -> None:
    view = run_view(tell(Case("voltage_drop", "leads_reversed")))
    assert "var(--paper)" not in for_paper(view).chart


def test_the_rule_names_the_risk() -> None:
    assert "1 chance in 44" in rule_words(RISK)


@pytest.mark.parametrize(
    ("low", "high", "words"),
    [
        (None, 0.2, "at most 0.20"),
        (13.0, None, "at least 13"),
        (13.8, 14.8, "13.8 to 14.8"),
        (None, 0.05, "at most 0.05"),
        (None, None, ""),
    ],
)
def test_a_limit_in_words(low, high, words) -> None:
    assert limit_text(low, high, "voltage", "V") == words


def test_a_test_is_shown_after_its_procedure_is_gone(tell, monkeypatch) -> None:
    run = tell(Case("voltage_drop", "corroded_strap_hot"))
    monkeypatch.delitem(PROCEDURES, "voltage_drop")
    assert run_view(run).title == "Voltage drop under load"


# --- before and after ---------------------------------------------------------------------------


@pytest.fixture
def pair(ticket, owner):
    """A test before and one after, with changes to what was typed after."""

    def record(**changes) -> tuple[Run, Run]:
        before = Case("voltage_drop", "corroded_strap_hot").data["typed"]
        after = Case("voltage_drop", "strap_renewed_hot").data["typed"]
        state = changes.pop("state_of_car", "hot")
        after = dict(after) | {k.replace("__", "."): v for k, v in changes.items()}
        first = runs.record_test(
            ticket=ticket, procedure="voltage_drop", typed=before, by=owner, state_of_car="hot"
        )
        second = runs.record_test(
            ticket=ticket, procedure="voltage_drop", typed=after, by=owner, state_of_car=state
        )
        return first.run_link.run, second.run_link.run

    return record


def test_points_are_matched_with_their_change_and_its_doubt(pair) -> None:
    found = compare(*pair())
    rows = {row["label"]: row for row in found.rows}
    assert found.refused == ""
    assert rows["Body to engine block"] == {
        "label": "Body to engine block",
        "before": "0.661\xa0V",
        "after": "0.071\xa0V",
        "change": "−0.590\xa0V",
        "u": "0.006",
        "direction": "less",
    }
    assert found.rows[-1]["label"] == "Whole path, end to end"
    assert "<svg" in found.chart
    json.dumps(asdict(found))


def test_a_change_inside_its_doubt_is_called_none(pair) -> None:
    rows = {row["label"]: row for row in compare(*pair(path__case__drop="0.020")).rows}
    assert rows["Engine block to starter case"]["direction"] == "no clear change"


@pytest.mark.parametrize(
    ("changes", "reason"),
    [
        ({"given__current": "60"}, "too far apart"),
        ({"state_of_car": "cold"}, "the engine was hot before and cold after"),
    ],
)
def test_other_conditions_are_not_compared_and_it_says_which(pair, changes, reason) -> None:
    found = compare(*pair(**changes))
    assert found.rows == []
    assert reason in found.refused


def test_another_path_is_not_compared(pair, ticket, owner) -> None:
    before, _after = pair()
    other = runs.record_test(
        ticket=ticket,
        procedure="voltage_drop",
        by=owner,
        typed={"given.path": "starter_feed", "given.current": "205", "path.post.drop": "0.1"},
    ).run_link.run
    assert compare(before, other).refused == "Not compared: they were made on different parts."


def test_two_procedures_are_not_compared(pair, ticket, owner) -> None:
    before, _after = pair()
    oil = runs.record_test(
        ticket=ticket, procedure="oil_level", typed={"stick.first.level": "5"}, by=owner
    ).run_link.run
    assert "two different tests" in compare(before, oil).refused


def test_a_point_that_only_one_has_is_noted(pair) -> None:
    found = compare(*pair(path__post__drop="-"))
    assert any(note.startswith("No value in one of the two: ") for note in found.notes)


def test_all_that_was_not_measured_before_stands_in_one_sentence(pair) -> None:
    found = compare(*pair(path__post__drop="", path__strap__drop=""))
    told = [note for note in found.notes if note.startswith("Not measured after: ")]
    assert len(told) == 1
    assert told[0].count(";") == 1


def figures_of(view) -> dict[str, str]:
    return {f["label"]: f["value"].replace("\N{NO-BREAK SPACE}", " ") for f in view.figures}


def test_a_coarsely_typed_fact_does_not_hide_a_figure_and_its_doubt(tell) -> None:
    view = run_view(tell(Case("oil_level", "milky_losing_coolant")))
    assert figures_of(view)["Litres to the upper mark"] == "0.3 L ± 0.1"


def test_an_exact_figure_finer_than_what_was_typed_is_not_rounded_to_nought(tell) -> None:
    view = run_view(tell(Case("data_log", "low_with_lights")))
    assert figures_of(view)["Usual time from row to row"] == "0.50 s"


def test_no_line_ends_between_a_value_and_its_doubt(tell) -> None:
    view = run_view(tell(Case("oil_level", "milky_losing_coolant")))
    said = [*view.technician, *view.customer, *(item["value"] for item in view.figures)]
    assert any("±" in text for text in said)
    assert not any(" ± " in text for text in said)
