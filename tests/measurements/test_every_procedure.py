"""What holds for every procedure, those added later too. There is no list of exceptions."""

from __future__ import annotations

import copy
import json
import re
import subprocess
import sys
from dataclasses import replace
from fnmatch import fnmatchcase
from pathlib import Path

import jsonschema
import pytest

from measurements.core import chart, units
from measurements.core.assessment import Assessment
from measurements.core.context import Car, Context, Engine
from measurements.core.decision import verdict_words
from measurements.core.instruments import KINDS
from measurements.core.judging import assess
from measurements.core.procedure import MAKER_FIRST, Free, Procedure, Quantity, fields_of
from measurements.core.readings import layout, validate
from measurements.core.run_file import as_text
from measurements.core.schema import schema_of
from measurements.procedures import PROCEDURES
from tests.measurements.readings_files import FOLDER, Case, all_cases, cases
from tests.measurements.svg import SVG, parsed

ROOT = FOLDER.parents[1]
FORBIDDEN = re.compile(r"\b(safe|passed|passes|fails|failed|cleared)\b|\bOK\b|\bpass\b|\bfail\b")
CASES = list(all_cases())


@pytest.fixture(params=list(PROCEDURES.values()), ids=lambda procedure: procedure.name)
def procedure(request: pytest.FixtureRequest) -> Procedure:
    return request.param


@pytest.fixture(params=CASES, ids=str)
def case(request: pytest.FixtureRequest) -> Case:
    return request.param


def quantities(procedure: Procedure) -> list[Quantity]:
    fields = list(procedure.given)
    for grid in procedure.grids:
        fields += fields_of(grid)
    return [entry for entry in fields if isinstance(entry, Quantity)]


def test_there_are_procedures() -> None:
    assert {"voltage_drop", "charging"} <= set(PROCEDURES)


def test_core_and_procedures_need_no_django_and_load_nothing_heavy() -> None:
    program = (
        "import sys; sys.modules['django'] = None\n"
        "import measurements.procedures, measurements.core.run_file, measurements.core.schema\n"
        "import measurements.core.chart\n"
        "print([name for name in ('pint', 'uncertainties', 'numpy') if name in sys.modules])\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", program], capture_output=True, text=True, cwd=ROOT, check=False
    )
    assert (done.returncode, done.stdout.strip()) == (0, "[]"), done.stderr


def test_says_what_it_is_for(procedure: Procedure) -> None:
    for words in (
        procedure.title,
        procedure.purpose,
        procedure.proves_nothing_when,
        procedure.group,
    ):
        assert words.strip(), procedure.name
    assert procedure.effort.minutes > 0
    assert procedure.version >= 1


def test_cautions_name_danger_and_remedy_and_end_with_the_maker(procedure: Procedure) -> None:
    assert len(procedure.cautions) >= 2
    assert procedure.cautions_for(Context())[-1] is MAKER_FIRST
    for caution in procedure.cautions:
        assert caution.danger.strip() and caution.text.strip()
    for caution in procedure.cautions[:-1]:
        assert caution.authority.strip(), caution.danger


NO_PUBLICATION = {
    "common practice",
    "maker's instructions",
    "the maker's instructions",
    "local rules",
    "local rules for electrical work",
}
READ = {
    "occupational limits for carbon monoxide",  # NIOSH, criteria for carbon monoxide, 1972
    "workplace guidance on electric vehicles",  # HSE, as quoted by others
}


def test_an_authority_whose_text_was_not_at_hand_is_marked_as_from_memory(
    procedure: Procedure,
) -> None:
    for caution in procedure.cautions[:-1]:
        named = set(caution.authority.split("; ")) - NO_PUBLICATION
        assert caution.from_memory == bool(named - READ), caution.danger


def test_quantities_have_known_units_ranges_and_instruments(procedure: Procedure) -> None:
    for entry in quantities(procedure):
        kind = units.QUANTITIES[entry.quantity]
        assert entry.unit == "" or entry.unit in kind.units, entry.key
        if entry.instrument:
            assert KINDS[entry.instrument][1] == entry.quantity, entry.key
        for bounds in (entry.possible, entry.likely):
            low, high = bounds(Context()) if callable(bounds) else bounds or (None, None)
            assert low is None or high is None or low < high, entry.key


def test_handling_belongs_to_a_quantity(procedure: Procedure) -> None:
    assert set(procedure.handling_u) <= {entry.key for entry in quantities(procedure)}


def test_limits_match_a_field_and_have_a_source(procedure: Procedure) -> None:
    addresses = set()
    for case in cases(procedure.name):
        judged = case.judged()
        for slot in layout(procedure, judged.context, case.data["typed"]).slots:
            addresses.add(slot.address)
            if slot.limit is not None:
                assert slot.limit.source.text.strip(), slot.address
                assert slot.limit.low is not None or slot.limit.high is not None, slot.address
    for limit in procedure.limits:
        pattern = re.compile(re.escape(limit.address).replace(r"\*", r"[^.]+") + r"\Z")
        assert any(pattern.match(address) for address in addresses), limit.address


def test_tests_and_readings_exist(procedure: Procedure) -> None:
    assert (Path(__file__).parent / "procedures" / f"test_{procedure.name}.py").is_file()
    assert cases(procedure.name), f"fixtures/readings/{procedure.name} is empty"
    for case in cases(procedure.name):
        assert case.data["about"].strip(), f"{case}: where do the numbers come from?"
        assert case.expected, case


def test_every_pattern_is_reached(procedure: Procedure) -> None:
    reached = {case.judged().assessment.pattern for case in cases(procedure.name)}
    wanted = {pattern.code for pattern in procedure.patterns} - {"undecided"}
    assert wanted <= reached, f"no readings lead to {sorted(wanted - reached)}"


def test_form_can_be_made_for_any_car(procedure: Procedure) -> None:
    for car in (Car(), Car(volts=24), Car(high_voltage=True), Car(engine=Engine("v", 6))):
        made = layout(procedure, Context(car=car))
        addresses = [slot.address for slot in made.slots]
        assert len(set(addresses)) == len(addresses)
        assert all(slot.label.strip() for slot in made.slots)
        assert made.grids or made.given


def test_free_rows_can_be_added_to_the_form(procedure: Procedure) -> None:
    plain = layout(procedure, Context())
    more = layout(procedure, Context(), more={grid.key: 1 for grid in procedure.grids})
    for before, after in zip(plain.grids, more.grids, strict=True):
        assert len(after.rows) == len(before.rows) + (1 if before.can_add else 0)


def test_nothing_typed_is_undecided(procedure: Procedure) -> None:
    context = Context()
    checked = validate(procedure, {}, context)
    assert checked.ok
    assert assess(procedure, checked.readings, context).pattern == "undecided"


def test_schema_is_valid_and_takes_the_readings_files(procedure: Procedure) -> None:
    made = {}  # most cases are of like cars, and a schema takes long to check
    for case in cases(procedure.name):
        schema = schema_of(procedure, case.judged().context)
        text = json.dumps(schema, sort_keys=True)
        if text not in made:
            jsonschema.Draft202012Validator.check_schema(schema)
            made[text] = jsonschema.Draft202012Validator(schema)
        made[text].validate(case.data["typed"])


def test_schema_offers_each_answer_once(procedure: Procedure) -> None:
    for address, told in schema_of(procedure)["properties"].items():
        offered = told.get("enum", [])
        assert len(offered) == len(set(offered)), address


def test_schema_refuses_an_unknown_address(procedure: Procedure) -> None:
    validator = jsonschema.Draft202012Validator(schema_of(procedure))
    assert not validator.is_valid({"nowhere.at.all": "1"})


def test_readings_give_what_is_expected(case: Case) -> None:
    judged, expected = case.judged(), case.expected
    result = judged.assessment
    found: dict[str, object] = {}
    wanted = dict(expected)
    for key, value in (
        ("pattern", result.pattern),
        ("where", list(result.where)),
        ("also", [item.pattern for item in result.also]),
        ("confounders", list(result.confounders)),
        ("missing", list(result.missing)),
        ("refused", [f.address for f in judged.checked.faults if f.kind == "refused"]),
        ("asks", [f.address for f in judged.checked.faults if f.kind == "asks"]),
    ):
        if key in wanted:
            found[key] = value
    if "verdicts" in wanted:
        outcomes = {verdict.address: verdict.outcome for verdict in result.verdicts}
        found["verdicts"] = {address: outcomes.get(address) for address in wanted["verdicts"]}
    figures = wanted.pop("figures", {})
    assert found == wanted
    for key, (value, tolerance) in figures.items():
        figure = result.figure(key)
        assert figure is not None, f"no figure {key}"
        assert figure.value == pytest.approx(value, abs=tolerance), key


def test_same_readings_same_assessment(case: Case) -> None:
    assert case.judged().assessment == case.judged().assessment


def test_order_of_typing_does_not_matter(case: Case) -> None:
    judged = case.judged()
    backwards = dict(reversed(list(case.data["typed"].items())))
    checked = validate(judged.procedure, backwards, judged.context, judged.files)
    assert assess(judged.procedure, checked.readings, judged.context) == judged.assessment


def test_assessment_and_context_come_back_from_storage(case: Case) -> None:
    judged = case.judged()
    stored = json.loads(json.dumps(judged.assessment.to_dict(), allow_nan=False))
    assert Assessment.from_dict(stored) == judged.assessment
    context = json.loads(json.dumps(judged.context.to_dict(), allow_nan=False))
    assert Context.from_dict(context) == judged.context


def test_reading_on_its_limit_cannot_tell(procedure: Procedure) -> None:
    """Put each judged reading exactly on its limit, the rest as it was."""
    checked = 0
    for case in cases(procedure.name):
        judged = case.judged()
        for verdict in judged.assessment.verdicts:
            reading = judged.checked.readings.get(verdict.address)
            limit = verdict.high if verdict.high is not None else verdict.low
            if verdict.outcome == "no_limit" or limit is None or reading is None or reading.u == 0:
                continue
            typed = copy.deepcopy(case.data["typed"])
            typed[verdict.address] = [
                f"{limit:.9f}".rstrip("0").rstrip("."),
                units.QUANTITIES[reading.quantity].unit,
            ]
            again = validate(judged.procedure, typed, judged.context, judged.files)
            outcome = assess(judged.procedure, again.readings, judged.context).verdict(
                verdict.address
            )
            assert outcome is not None and outcome.outcome == "cannot_tell", (
                f"{case}: {verdict.address} on {limit} gives {outcome}"
            )
            checked += 1
    has_uncertain_limits = any(
        slot.limit is not None and isinstance(slot.field, Quantity) and slot.field.instrument
        for case in cases(procedure.name)
        for slot in layout(procedure, case.judged().context, case.data["typed"]).slots
    )
    assert checked or not has_uncertain_limits, "no readings file puts a reading beside a limit"


def test_verdicts_of_common_practice_say_usual(case: Case) -> None:
    for verdict in case.judged().assessment.verdicts:
        words = verdict_words(verdict)
        if verdict.outcome == "no_limit":
            assert words == "no limit known"
        elif verdict.source is not None and verdict.source.tag == "C" and not verdict.safety:
            assert "usual" in words or "cannot decide" in words, words
        assert not FORBIDDEN.search(words), words


def test_unusual_is_shown_by_an_outside_verdict_or_an_observation(case: Case) -> None:
    result = case.judged().assessment
    if case.judged().procedure.pattern(result.pattern).sound:
        assert not result.outside, f"{case} is called sound with {result.outside}"


def test_every_figure_has_a_formula_and_every_formula_a_figure(procedure: Procedure) -> None:
    """Figures of all readings files; `*` in a formula stands for one part of their key."""
    keys = {f.key for case in cases(procedure.name) for f in case.judged().assessment.figures}
    formulas = {formula.figure for formula in procedure.formulas}
    assert len(formulas) == len(procedure.formulas), "a figure has two formulas"
    assert {key for key in keys if not any(fnmatchcase(key, one) for one in formulas)} == set()
    assert {one for one in formulas if not any(fnmatchcase(key, one) for key in keys)} == set()


def test_formulas_are_words_for_a_reader(procedure: Procedure) -> None:
    for formula in procedure.formulas:
        assert formula.text.strip()
        assert not re.search(r"[a-z0-9]_[a-z0-9]|[{}]", formula.text + formula.source), formula


def test_what_it_computes_is_held_against_published_values(procedure: Procedure) -> None:
    """Where any readings file gives a figure; what stands there is checked by its own tests."""
    if any(case.judged().assessment.figures for case in cases(procedure.name)):
        path = ROOT / "tests" / "reference" / f"test_{procedure.name}.py"
        assert path.is_file(), f"no {path.relative_to(ROOT)}"
        assert path.read_text("utf-8").count("against(") >= 2, "fewer than two published checks"


def test_sentences_carry_no_code_and_no_forbidden_word(case: Case) -> None:
    judged = case.judged()
    result = judged.assessment
    assert result.customer and result.technician
    codes = set(judged.checked.readings.by_address) | {
        pattern.code for pattern in judged.procedure.patterns if "_" in pattern.code
    }
    for sentence in (*result.customer, *result.technician):
        assert sentence.text.strip()
        assert not re.search(r"[a-z0-9]_[a-z0-9]|[{}]|\bNone\b|\bnan\b", sentence.text), sentence
        assert not any(code in sentence.text for code in codes), sentence
        assert not FORBIDDEN.search(sentence.text), sentence


def test_customer_sees_no_odds_and_no_third_decimal(case: Case) -> None:
    for sentence in case.judged().assessment.customer:
        assert not re.search(r"[.,][0-9]{3}", sentence.text), sentence
        assert not re.search(r"sigma|odds|probab|likelihood", sentence.text), sentence


def test_pattern_labels_are_words(procedure: Procedure) -> None:
    for pattern in procedure.patterns:
        assert pattern.label.strip() and "_" not in pattern.label
        assert not FORBIDDEN.search(pattern.label), pattern.label


def test_declared_confounders_have_words_and_weights(procedure: Procedure) -> None:
    for confounder in procedure.confounders:
        assert confounder.text.strip()
        assert 0 <= confounder.weight <= 1


def test_chart_draws_the_same_on_any_ground(case: Case) -> None:
    data = case.judged().assessment.chart
    if not data:
        return
    svg = chart.draw(data, ground="#fbf8f1")
    root = parsed(svg)
    title = root.find(f"{SVG}title")
    assert root.get("viewBox", "").startswith("0 0 320 ")
    assert title is not None and re.search(r"[0-9a-z]", title.text or "")
    assert not re.search(r"style=|<pattern|nan|inf[^o]|class=", svg)
    assert svg == chart.draw(data, ground="#fbf8f1")


def test_some_readings_make_a_chart(procedure: Procedure) -> None:
    assert any(case.judged().assessment.chart for case in cases(procedure.name))


def test_a_chart_lies_over_its_earlier_one(procedure: Procedure) -> None:
    charts = [case.judged().assessment.chart for case in cases(procedure.name)]
    charts = [data for data in charts if data]
    same = [
        data
        for data in charts
        if len(data.get("stations", ())) == len(charts[0].get("stations", ()))
    ]
    svg = chart.draw(same[-1], earlier=same[0])
    assert parsed(svg) is not None


def test_text_for_the_terminal_names_everything(case: Case) -> None:
    judged = case.judged()
    text = as_text(judged)
    assert judged.procedure.title in text
    assert judged.procedure.pattern(judged.assessment.pattern).label in text


def test_next_step_points_at_a_field_with_a_reason(case: Case) -> None:
    judged = case.judged()
    if judged.procedure.next_step is None:
        return
    known = {
        slot.address for slot in layout(judged.procedure, judged.context, case.data["typed"]).slots
    }
    for address, why in judged.procedure.next_step(judged.checked.readings, judged.context):
        assert address in known
        assert why.strip()


def test_not_for_this_car_is_said_in_words(procedure: Procedure) -> None:
    hybrid = Context(car=Car(high_voltage=True, fuel="petrol"))
    if procedure.not_for and procedure.not_for(hybrid):
        result = assess(procedure, validate(procedure, {}, hybrid).readings, hybrid)
        assert (result.pattern, result.confounders[0]) == ("undecided", "not_for_this_car")
    else:
        assert procedure.cautions_for(hybrid)[-1] is MAKER_FIRST


def test_fault_absent_weakens_only_a_good_result(case: Case) -> None:
    judged = case.judged()
    context = replace(judged.context, fault_present="no")
    result = assess(judged.procedure, judged.checked.readings, context)
    assert "fault_absent" in result.confounders
    assert result.pattern == judged.assessment.pattern
    assert judged.procedure.confounder("fault_absent").only_sound


def test_named_rows_have_a_column_for_their_name(procedure: Procedure) -> None:
    for grid in procedure.grids:
        if isinstance(grid.axis, Free):
            keys = {column.key for column in grid.columns}
            assert {grid.axis.named, *grid.axis.own} <= keys
