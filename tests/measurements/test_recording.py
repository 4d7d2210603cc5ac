"""A recorded test: its content once, and tables that are read from it."""

from __future__ import annotations

import json
from dataclasses import replace

import pytest

from measurements.actions import runs
from measurements.core.context import Context
from measurements.core.judging import assess
from measurements.models import Figure, Reading, Run
from measurements.procedures import PROCEDURES
from shop.append_only import AppendOnlyError
from tests.measurements.readings_files import Case

DROP = PROCEDURES["voltage_drop"]
STRAP = Case("voltage_drop", "corroded_strap_hot")


@pytest.fixture
def run(van, owner) -> Run:
    return record(van, owner)


def record(van, owner, *, procedure=DROP, typed=None, context=None) -> Run:
    return runs.record(
        car=van,
        procedure=procedure,
        typed=typed or STRAP.data["typed"],
        context=context or Context(state_of_car="hot", fault_present="yes"),
        by=owner,
    )


def test_a_run_reads_back_as_it_was_judged(run) -> None:
    found = runs.read(run)
    assert found.assessment == assess(DROP, found.readings, found.context)
    assert found.typed["given.current"] == ("205", "A")
    assert found.readings.get("path.strap.drop").u > 0


def test_equal_tests_have_different_digests(van, owner) -> None:
    assert record(van, owner).digest != record(van, owner).digest


def test_the_digest_is_that_of_the_stored_text(run) -> None:
    from jobs.record.chain import content_digest

    assert run.digest == content_digest(run.content)
    assert run.content == runs.canonical(json.loads(run.content))


def test_a_later_version_does_not_judge_it_again(run, monkeypatch) -> None:
    other = replace(DROP, version=2, title="Another title", assess=lambda r, c: 1 / 0)
    monkeypatch.setitem(PROCEDURES, "voltage_drop", other)
    found = runs.read(run)
    assert found.assessment.pattern == "lost_in_one_step"
    assert (found.version, found.words.title) == (1, "Voltage drop under load")


def test_a_run_can_be_read_after_its_procedure_is_gone(run, monkeypatch) -> None:
    monkeypatch.delitem(PROCEDURES, "voltage_drop")
    assert runs.read(run).words.pattern == "more is lost in one step than is usual"
    assert runs.projection_faults(run) == []


def test_an_impossible_value_stops_the_whole(van, owner) -> None:
    with pytest.raises(runs.RunRefused, match="abc") as refusal:
        record(van, owner, typed=STRAP.data["typed"] | {"path.post.drop": "abc"})
    assert [fault.address for fault in refusal.value.faults] == ["path.post.drop"]
    assert not Run.objects.exists()


def test_the_tables_equal_the_content(run) -> None:
    assert runs.projection_faults(run) == []
    strap = run.readings.get(address="path.strap.drop")
    assert (strap.row, strap.column, strap.verdict) == ("strap", "drop", "outside")
    assert run.readings.get(address="given.path").status == "choice"
    assert run.readings.get(address="ready.battery").status == "choice"
    assert run.summary.where == ["strap"]


@pytest.mark.parametrize(
    ("model", "change"),
    [(Reading, {"value": 9.0}), (Figure, {"value": 9.0}), (Reading, {"verdict": "within"})],
)
def test_a_changed_table_is_found_and_can_be_made_again(run, model, change) -> None:
    model.objects.filter(run=run).exclude(**dict.fromkeys(change)).update(**change) if (
        model is Figure
    ) else model.objects.filter(run=run, address="path.strap.drop").update(**change)
    run = Run.objects.get(pk=run.pk)
    assert runs.projection_faults(run) == [
        f"the table {model._meta.db_table} says otherwise than the content"
    ]
    runs.rebuild(run)
    assert runs.projection_faults(Run.objects.get(pk=run.pk)) == []


def test_a_lost_row_is_found(run) -> None:
    Reading.objects.filter(run=run, address="path.strap.drop").delete()
    assert runs.projection_faults(Run.objects.get(pk=run.pk))


def test_a_newer_format_is_not_guessed_at(run) -> None:
    run.__dict__["data"] = run.data | {"format": 99}
    with pytest.raises(runs.UnreadableRun, match="99"):
        runs.read(run)


def test_a_run_is_never_changed(run) -> None:
    run.subject = "other"
    with pytest.raises(AppendOnlyError):
        run.save()


def test_a_status_without_a_value_has_none_in_the_table(van, owner) -> None:
    typed = STRAP.data["typed"] | {"path.strap.drop": "OL", "path.case.drop": "<0.01"}
    run = record(van, owner, typed=typed)
    kept = dict(run.readings.filter(column="drop").values_list("row", "status"))
    assert (kept["strap"], kept["case"]) == ("overload", "below")
    assert runs.projection_faults(run) == []


def test_long_words_are_cut_in_the_table_only(van, owner) -> None:
    plugs = PROCEDURES["spark_plugs"]
    note = "x" * 120
    run = record(
        van,
        owner,
        procedure=plugs,
        typed={"plugs.c1.look": "normal", "plugs.c1.note": note},
        context=Context(),
    )
    assert runs.read(run).readings.value("plugs.c1.note") == note
    assert run.readings.get(address="plugs.c1.note").status == "text"


def test_the_content_holds_the_instrument_even_where_it_was_a_typical_one(van, owner) -> None:
    from measurements.actions import instruments

    kinds = instruments.kinds_of(DROP)
    context = Context(instruments=instruments.for_context(kinds, {}))
    run = record(van, owner, context=context)
    assert runs.read(run).context.instruments["multimeter"].accuracy == "±(0.5 % + 3 counts)"
