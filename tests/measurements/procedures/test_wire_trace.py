"""Wires between two connectors: what must not be trusted first, then what probing proves."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from measurements.core import chart
from measurements.core.assessment import Assessment
from measurements.core.context import Car, Context
from measurements.core.judging import assess
from measurements.core.readings import Checked, layout, validate
from measurements.procedures.wire_trace import PROCEDURE

CONTEXT = Context(car=Car(fuel="petrol"), fault_present="yes")
FREE_ENDS = {
    "given.serves": "load",
    "given.both_off": "yes",
    "given.battery_off": "yes",
    "given.module_on": "no",
    "given.leads": "0.2 Ω",
    "given.length": "3.00 m",
}


def typed(
    left: str, right: str, *probes: str, given_values: dict[str, str] | None = None, **pins: str
) -> dict[str, str]:
    """Pins named by the words of `left` and `right`; a probe is "A1 B2 0.3"; pins: A1_section."""
    made = {f"ready.{item.code}": "yes" for item in PROCEDURE.preconditions} | FREE_ENDS
    for grid, names in (("left", left), ("right", right)):
        made |= {f"{grid}.r{n}.name": name for n, name in enumerate(names.split(), start=1)}
    for n, probe in enumerate(probes, start=1):
        start, end, ohms = probe.split(" ", 2)
        made[f"probe.p{n}.start"], made[f"probe.p{n}.end"] = place(start), place(end)
        made[f"probe.p{n}.ohms"] = ohms
    for key, text in pins.items():
        pin, column = key.split("_", 1)
        made[f"{place(pin)}.{column}"] = text
    return made | {f"given.{key}": text for key, text in (given_values or {}).items()}


def place(pin: str) -> str:
    return ("left.r" if pin[0] == "A" else "right.r") + pin[1:]


def check(*args: str, **options: object) -> Checked:
    return validate(PROCEDURE, typed(*args, **options), CONTEXT)  # type: ignore[arg-type]


def trace(*args: str, **options: object) -> Assessment:
    checked = check(*args, **options)
    assert checked.ok, checked.faults
    return assess(PROCEDURE, checked.readings, CONTEXT)


def words(found: Assessment) -> str:
    said = " ".join(sentence.text for sentence in (*found.customer, *found.technician))
    return said.replace("\xa0", " ")


def also(found: Assessment) -> list[str]:
    return [item.pattern for item in found.also]


def proposal(*args: str, **options: object) -> tuple[str, str]:
    assert PROCEDURE.next_step is not None
    ((address, why),) = PROCEDURE.next_step(check(*args, **options).readings, CONTEXT)
    return address, why


def nothing_proposed(*args: str, **options: object) -> bool:
    assert PROCEDURE.next_step is not None
    return PROCEDURE.next_step(check(*args, **options).readings, CONTEXT) == ()


# --- what must not be trusted -----------------------------------------------------------------


@pytest.mark.parametrize("serves", ["air_bag", "signal", "orange"])
def test_lines_that_no_ohmmeter_may_touch_are_not_judged_and_not_probed_further(
    serves: str,
) -> None:
    options = {"given_values": {"serves": serves}, "A1_section": "0.75"}
    found = trace("1 2", "1 2", "A1 B1 0.3", **options)
    assert (found.pattern, found.confounders) == ("undecided", ("forbidden_line",))
    assert (found.figures, found.tables, found.chart) == ((), (), {})
    assert [v.outcome for v in found.verdicts] == ["no_limit"]
    assert nothing_proposed("1 2", "1 2", "A1 B1 0.3", **options)


@pytest.mark.parametrize(
    ("key", "text"),
    [("battery_off", "no"), ("module_on", "yes"), ("both_off", "no"), ("volts", "11.9 V")],
)
def test_a_wire_that_is_not_dead_and_free_gives_no_trusted_ohms(key: str, text: str) -> None:
    options = {"given_values": {key: text}, "A1_section": "0.75"}
    found = trace("1 2", "1 2", "A1 B1 9", "A2 B2 OL", **options)
    assert found.pattern == "not_trustworthy"
    assert (found.figures, found.chart) == ((), {})
    assert all(v.outcome == "no_limit" for v in found.verdicts)
    assert {row[-1] for row in found.tables[0].rows} == {"not to be trusted"}
    address, why = proposal("1 2", "1 2", **options)
    assert address == f"given.{key}"
    assert "first" in why


def test_the_meters_own_doubt_is_no_voltage_on_the_wire() -> None:
    assert trace("1", "1", "A1 B1 0.3", given_values={"volts": "0.00 V"}).pattern == "all_paired"


@pytest.mark.parametrize("ohms", ["11", "220 Ω", "4.7 kΩ", "0.9 MΩ", "> 20 kΩ"])
def test_neither_a_wire_nor_an_open_end_proves_nothing(ohms: str) -> None:
    found = trace("1", "1", f"A1 B1 {ohms}")
    assert (found.pattern, found.where) == ("not_trustworthy", ("p1",))
    assert found.tables[0].rows[0][-1] == "not proven"


def test_less_than_nothing_is_asked_about_and_proves_nothing() -> None:
    checked = check("1", "1", "A1 B1 -1.5")
    assert [(f.kind, f.address) for f in checked.faults] == [("asks", "probe.p1.ohms")]
    assert trace("1", "1", "A1 B1 -1.5").pattern == "not_trustworthy"


def test_a_little_less_than_the_leads_is_the_meters_doubt() -> None:
    assert trace("1", "1", "A1 B1 0.1").pattern == "all_paired"


def test_a_reading_that_does_not_stand_still_proves_nothing() -> None:
    shaky = typed("1", "1", "A1 B1 0.3") | {"probe.p1.unsteady": "yes"}
    found = assess(PROCEDURE, validate(PROCEDURE, shaky, CONTEXT).readings, CONTEXT)
    assert found.pattern == "not_trustworthy"
    assert "bend the cable" in words(found)


def test_joined_once_and_apart_once_is_neither_a_wire_nor_an_open() -> None:
    found = trace("1", "1", "A1 B1 0.3", "A1 B1 OL")
    assert (found.pattern, found.where) == ("not_trustworthy", ("p1", "p2"))
    assert "opens and closes" in words(found)


def test_both_ends_on_one_pin_say_nothing() -> None:
    found = trace("1 2", "1 2", "A1 A1 0.2")
    assert found.pattern == "not_trustworthy"
    assert "both ends are one pin" in words(found)


def test_ends_that_nobody_noted_weaken_it() -> None:
    unsaid = typed("1", "1", "A1 B1 0.3")
    del unsaid["given.battery_off"]
    found = assess(PROCEDURE, validate(PROCEDURE, unsaid, CONTEXT).readings, CONTEXT)
    assert "ends_unknown" in found.confounders
    assert "given.battery_off" in found.missing


# --- what probing proves ----------------------------------------------------------------------


def test_all_wires_proven_still_asks_for_a_load() -> None:
    found = trace("1 2", "1 2", "A1 B1 0.3", "A2 B2 0.3")
    assert found.pattern == "all_paired"
    assert "no_load" in found.confounders
    assert "one strand left" in words(found)
    assert "Lamp of 21 W" in words(found)


def test_no_lamp_is_advised_where_it_is_not_known_what_the_wires_serve() -> None:
    found = trace("1", "1", "A1 B1 0.3", given_values={"serves": "other"})
    assert "Lamp of 21 W" not in words(found)
    assert "never on air-bag, sensor or bus lines" in words(found)


def test_a_pin_tried_against_all_is_open() -> None:
    found = trace("1 2", "1 2", "A1 B1 OL", "A1 B2 OL")
    assert (found.pattern, found.where) == ("open_wire", ("p1", "p2"))
    assert "A 1: open, tried against every other pin." in words(found)


def test_the_last_pin_that_does_not_reach_its_partner_is_open_by_reasoning() -> None:
    found = trace("1 2", "1 2", "A1 B1 0.3", "A2 B2 OL")
    assert (found.pattern, found.where) == ("open_wire", ("p2",))
    assert "all others have their partner" in words(found)


def test_a_pin_with_a_partner_left_to_try_is_not_called_open() -> None:
    assert trace("1 2", "1 2", "A1 B1 OL").pattern == "undecided"


@pytest.mark.parametrize("probes", [("A1 B1 0.3", "A2 B1 0.3"), ("A1 A2 0.3",), ("B1 B2 0.3",)])
def test_a_pin_joined_with_two_or_with_its_neighbour_hangs_together(
    probes: tuple[str, ...],
) -> None:
    found = trace("1 2", "1 2", *probes)
    assert found.pattern == "short_between_wires"
    assert found.where == tuple(f"p{n}" for n in range(1, len(probes) + 1))


def test_two_faults_are_both_said() -> None:
    found = trace("1 2 3", "1 2 3", "A1 B1 0.3", "A2 B1 0.3", "A3 B2 OL", "A3 B3 OL")
    assert (found.pattern, also(found)) == ("short_between_wires", ["open_wire"])
    assert len(found.customer) == 2


def test_changed_over_is_seen_where_names_are_shared() -> None:
    found = trace("1 2", "1 2", "A1 B2 0.3", "A2 B1 0.3")
    assert (found.pattern, found.where) == ("crossed", ("p1", "p2"))


def test_other_names_at_the_other_end_are_no_crossing() -> None:
    assert trace("30 31", "a b", "A1 B2 0.3", "A2 B1 0.3").pattern == "all_paired"


def test_a_place_without_a_partner_at_the_second_connector_is_no_fault() -> None:
    found = trace("1", "1 2", "A1 B1 0.3")
    assert found.pattern == "all_paired"
    assert "No partner among these for: B 2." in words(found)


def test_wires_not_tried_against_each_other_weaken_a_good_result() -> None:
    found = trace("1 2", "1 2", "A1 B1 0.3", "A2 B2 0.3")
    assert "shorts_not_tried" in found.confounders
    found = trace("1 2", "1 2", "A1 B1 0.3", "A2 B2 0.3", "A1 A2 OL")
    assert "shorts_not_tried" not in found.confounders


# --- resistance -------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("ohms", "pattern", "outcome"),
    [
        ("0.2", "all_paired", "cannot_tell"),
        ("0.4", "all_paired", "cannot_tell"),
        ("2.6", "resistance_high", "outside"),
        ("9.9", "resistance_high", "outside"),
    ],
)
def test_more_ohms_than_copper_explains_are_seen_and_no_continuity_hides_them(
    ohms: str, pattern: str, outcome: str
) -> None:
    found = trace("1", "1", f"A1 B1 {ohms}", A1_section="1.5")
    verdict = found.verdict("probe.p1.ohms")
    assert verdict is not None
    assert (found.pattern, verdict.outcome) == (pattern, outcome)


@pytest.mark.parametrize("lacking", ["given.length", "given.leads", "left.r1.section"])
def test_without_length_section_or_leads_no_resistance_is_judged(lacking: str) -> None:
    known = typed("1", "1", "A1 B1 2.6", A1_section="1.5")
    del known[lacking]
    found = assess(PROCEDURE, validate(PROCEDURE, known, CONTEXT).readings, CONTEXT)
    assert found.pattern == "all_paired"
    assert [v.outcome for v in found.verdicts] == ["no_limit"]
    assert "resistance_unjudged" in found.confounders


def test_of_two_cross_sections_the_thinner_one_counts() -> None:
    found = trace("1", "1", "A1 B1 0.3", A1_section="1.5", B1_section="0.5")
    figure = found.figure("expected_r1")
    assert figure is not None and figure.value == pytest.approx(3 / (58 * 0.5))


def test_a_cross_section_that_is_not_understood_is_asked_about_and_stands() -> None:
    checked = check("1", "1", A1_section="thick")
    (fault,) = checked.faults
    assert (fault.kind, fault.address) == ("asks", "left.r1.section")
    assert checked.readings.value("left.r1.section") == "thick"


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("18 AWG", "0.82 mm² (18 AWG)"),
        ("0,75", "0.75 mm²"),
        ("1.5 mm2", "1.50 mm²"),
        ("fat", "fat"),
    ],
)
def test_a_cross_section_stands_in_square_millimetres_beside_its_gauge(
    text: str, shown: str
) -> None:
    found = trace("1", "1", "A1 B1 0.3", A1_section=text)
    assert found.tables[0].rows[0][2].replace("\xa0", " ") == shown


def test_a_colour_stands_with_the_name_of_its_code_set() -> None:
    found = trace("1", "1", "A1 B1 0.3", A1_colour="RDBU", A1_code_set="iec")
    assert found.tables[0].rows[0][1] == "RDBU (red, blue; IEC 60757)"
    found = trace("1", "1", "A1 B1 0.3", A1_colour="R/L", given_values={"code_set": "maker"})
    assert found.tables[0].rows[0][1] == "R/L (the maker's own)"


# --- what to probe next -----------------------------------------------------------------------


def test_pins_are_named_first() -> None:
    assert proposal("", "")[0] == "left.r1.name"
    assert proposal("1 2", "")[0] == "right.r1.name"


def test_the_next_probe_goes_into_the_first_empty_row_and_starts_with_the_same_name() -> None:
    address, why = proposal("1 2 3", "3 2 1")
    assert address == "probe.p1.start"
    assert why.startswith("A 1 against B 1: of 9 pairs")
    address, why = proposal("1 2 3", "3 2 1", "A1 B3 0.3")
    assert address == "probe.p2.start"
    assert why.startswith("A 2 against B 2: of 4 pairs")


def test_a_pin_in_doubt_is_tried_again_after_all_others() -> None:
    assert proposal("1 2", "1 2", "A1 B1 220")[1].startswith("A 1 against B 2")
    _, why = proposal("1", "1", "A1 B1 220")
    assert why.startswith("A 1 against B 1 once more")


@pytest.mark.parametrize(
    ("trusted", "first"), [("yes", "A 1 against B 3"), ("no", "A 1 against B")]
)
def test_equal_colours_go_first_only_where_they_can_be_trusted(trusted: str, first: str) -> None:
    colours = {"A1_colour": "red", "B3_colour": "RED"}
    options = {"given_values": {"colours_trusted": trusted}}
    _, why = proposal("1 2 3", "1 2 3", **options, **colours)
    assert why.startswith(first)
    assert ("same colour" in why) == (trusted == "yes")


def test_codes_of_two_sets_are_not_compared() -> None:
    colours = {"A1_colour": "B", "B3_colour": "B", "A1_code_set": "maker", "B3_code_set": "seen"}
    options = {"given_values": {"colours_trusted": "yes"}}
    assert proposal("1 2 3", "1 2 3", **options, **colours)[1].startswith("A 1 against B 1")


def test_once_all_is_settled_neighbours_are_tried_against_each_other() -> None:
    proven = ("A1 B1 0.3", "A2 B2 0.3")
    assert proposal("1 2", "1 2", *proven) == (
        "probe.p3.start",
        "A 1 against A 2: two wires that touch show only between pins of one side.",
    )
    assert nothing_proposed("1 2", "1 2", *proven, "A1 A2 OL")


@given(st.data())
@settings(max_examples=40)
def test_following_the_proposals_traces_any_harness(data: st.DataObject) -> None:
    """Whatever leads where, the page comes to an end and the end is right."""
    n, m = data.draw(st.integers(1, 4)), data.draw(st.integers(1, 4))
    ends = data.draw(st.permutations([*range(1, m + 1), *[0] * n]))[:n]
    truth = {f"A {k}": f"B {end}" for k, end in enumerate(ends, start=1) if end}
    names = " ".join(map(str, range(1, n + 1))), " ".join(map(str, range(1, m + 1)))
    probes: list[str] = []
    while not nothing_proposed(*names, *probes):
        address, why = proposal(*names, *probes)
        assert address == f"probe.p{len(probes) + 1}.start"
        start, end = why.split(":")[0].split(" against ")
        joined = truth.get(start) == end
        probes.append(f"{start} {end}".replace("A ", "A").replace("B ", "B"))
        probes[-1] += " 0.3" if joined else " OL"
    found = trace(*names, *probes)
    proven = {row[0]: row[3] for row in found.tables[0].rows if row[3] != "–"}
    assert proven == truth
    assert (found.pattern == "open_wire") == (len(truth) < n)


# --- form and drawing -------------------------------------------------------------------------


def test_a_row_for_the_next_probe_is_always_there() -> None:
    probes = [f"A1 B{n} OL" for n in (1, 2, 3)]
    rows = layout(PROCEDURE, CONTEXT, typed("1", "1 2 3 4", *probes)).grids[2].rows
    assert [row.row.code for row in rows] == ["p1", "p2", "p3", "p4"]


def test_the_drawing_tells_wires_opens_and_groups_and_nothing_unproven() -> None:
    found = trace("1 2 3", "1 2 3", "A1 B2 0.3", "A2 A3 0.3")
    assert found.chart["title"] == "Proven so far: A 1 to B 2; together A 2, A 3."
    assert found.chart["wires"] == [{"from": 0, "to": 1, "high": False}]
    assert found.chart["groups"] == [{"left": [1, 2], "right": []}]
    svg = chart.draw(found.chart)
    assert "proven</text>" in svg
    assert "leads to none" not in svg


def test_an_open_pin_is_a_stub_and_the_key_says_so() -> None:
    svg = chart.draw(trace("1", "1", "A1 B1 OL").chart)
    assert "leads to none of the other pins</text>" in svg
    assert 'stroke-dasharray="4 4"' in svg


def test_wires_of_the_run_before_are_found_by_the_names_of_their_pins() -> None:
    before = trace("1 2", "1 2", "A1 B1 0.3").chart
    after = trace("2 1", "1 2", "A1 B2 0.3").chart
    svg = chart.draw(after, earlier=before)
    # pin 1 of A stands second now: its earlier wire runs from the second row to the first
    assert '<path d="M104 64 L216 40" stroke-width="1.4" stroke-dasharray="6 4"/>' in svg
    assert "before</text>" in svg


# --- over all readings ------------------------------------------------------------------------

READING = st.one_of(
    st.just("OL"),
    st.just("-"),
    st.decimals(-100, 10**7, places=2).map(str),
    st.decimals(0, 20, places=3).map("{} mΩ".format),
    st.integers(0, 10**6).map("> {}".format),
)
ENDS = st.sampled_from(["A1", "A2", "A3", "B1", "B2"])


@given(st.lists(st.tuples(ENDS, ENDS, READING), max_size=8), st.sampled_from(["yes", "no"]))
@settings(max_examples=150)
def test_no_probe_in_range_crashes(probes: list[tuple[str, str, str]], module: str) -> None:
    found = trace(
        "1 2 3",
        "1 x",
        *(" ".join(probe) for probe in probes),
        given_values={"module_on": module},
        A1_section="AWG 20",
        B1_section="0,35",
    )
    if found.chart:
        chart.draw(found.chart)
    assert found.customer and found.technician


@given(st.integers(0, 9900))
def test_the_unit_shown_never_changes_a_verdict(milliohm: int) -> None:
    verdicts = [
        trace("1", "1", f"A1 B1 {text}", A1_section="1.5").verdict("probe.p1.ohms")
        for text in (f"{milliohm} mΩ", f"{milliohm / 1000:.3f} Ω")
    ]
    assert verdicts[0] is not None and verdicts[1] is not None
    assert verdicts[0].outcome == verdicts[1].outcome


@given(st.integers(0, 98), st.integers(0, 98))
def test_more_ohms_never_look_better(one: int, other: int) -> None:
    order = ["within", "cannot_tell", "outside"]
    outcomes = []
    for tenths in sorted((one, other)):
        verdict = trace("1", "1", f"A1 B1 {tenths / 10:.1f}", A1_section="1.5").verdicts[0]
        outcomes.append(order.index(verdict.outcome))
    assert outcomes == sorted(outcomes)
