"""The form that a procedure's declaration makes: names are addresses, nothing typed is lost."""

from __future__ import annotations

import pytest

from measurements.core.context import Car, ChosenLimit, Context, Engine
from measurements.core.procedure import Source
from measurements.forms.run_form import form_for
from measurements.procedures import PROCEDURES

DROP, CHARGE, HOLD = (PROCEDURES[n] for n in ("voltage_drop", "charging", "pressure_hold"))
PLUGS = PROCEDURES["spark_plugs"]
GROUND = {"given.path": "starter_ground", "given.current": "205"}


def shown(procedure=DROP, context=None, **typed):
    return form_for(procedure, context or Context(), initial=typed)


def box(form, address):
    return form.view_of(next(slot for slot in form.layout.slots if slot.address == address))


@pytest.mark.parametrize("procedure", PROCEDURES.values(), ids=lambda p: p.name)
def test_every_procedure_has_a_form_whose_names_are_its_addresses(procedure) -> None:
    form = form_for(procedure, Context())
    addresses = {slot.address for slot in form.layout.slots}
    assert addresses <= set(form.fields)
    assert all(name.startswith("unit.") for name in set(form.fields) - addresses)


@pytest.mark.parametrize("procedure", PROCEDURES.values(), ids=lambda p: p.name)
def test_every_box_is_on_the_page_once(procedure) -> None:
    form = form_for(procedure, Context(), initial=GROUND if procedure is DROP else {})
    views = [*form.ready, *form.open_facts, *form.folded_facts]
    for grid in form.grids:
        views += [view for row in [*grid.rows, *grid.seldom] for view in row.boxes]
        views += [grid.closing] if grid.closing else []
    addresses = [view.slot.address for view in views]
    assert sorted(addresses) == sorted(slot.address for slot in form.layout.slots)


def test_a_row_that_need_not_be_measured_waits_behind_a_fold_until_something_is_typed() -> None:
    cranking = PROCEDURES["cranking"]
    attempts = form_for(cranking, Context()).grids[0]
    assert [row.row.row.code for row in attempts.rows] == ["first"]
    assert attempts.seldom_names == "second attempt, third attempt"
    second = next(a for a in form_for(cranking, Context()).fields if ".second." in a)
    typed = form_for(cranking, Context(), initial={second: "10.2"}).grids[0]
    assert [row.row.row.code for row in typed.rows] == ["first", "second"]


def test_a_finer_box_is_folded_until_it_is_filled() -> None:
    tyres = PROCEDURES["tyres"]
    (column,) = {
        c.key for grid in tyres.grids for c in grid.columns if c.finer and c.key == "outer"
    }
    row = form_for(tyres, Context()).grids[0].rows[0]
    assert column in {view.slot.field.key for view in row.folded}
    address = next(v.slot.address for v in row.folded if v.slot.field.key == column)
    filled = form_for(tyres, Context(), initial={address: "4.0"}).grids[0].rows[0]
    assert filled.unfold or column in {view.slot.field.key for view in filled.open}


def test_ids_have_no_dots() -> None:
    assert form_for(DROP, Context())["given.current"].auto_id == "f-given-current"


def test_a_path_of_stations_is_a_route_that_its_whole_closes() -> None:
    grid = shown(**GROUND).grids[0]
    assert grid.is_route
    assert grid.closing.slot.address == "given.whole"
    assert [row.before_code for row in grid.rows] == ["", "post", "cable", "strap"]


def test_rows_named_by_hand_are_no_route() -> None:
    grid = shown(**{"given.path": "accessory_ground"}).grids[0]
    assert not grid.is_route
    assert grid.can_add


def test_an_echo_says_what_was_understood() -> None:
    view = box(shown(**GROUND, **{"path.strap.drop": "661 mV"}), "path.strap.drop")
    assert view.echo == "Understood: 0.661\xa0V ± 0.007"
    assert (view.outcome, view.limit, view.limit_words) == ("outside", "0.20", "at most")


def test_near_a_limit_it_says_that_the_limit_lies_inside_the_doubt() -> None:
    view = box(shown(**GROUND, **{"path.post.drop": "0,098"}), "path.post.drop")
    assert view.outcome == "cannot_tell"
    assert view.echo.endswith("The limit lies inside that.")


def test_an_improbable_value_asks_and_stands() -> None:
    form = shown(**GROUND, **{"path.strap.drop": "19"})
    view = box(form, "path.strap.drop")
    assert view.ask
    assert view.echo.startswith("Is 19\xa0V right? From −5\xa0V to 5\xa0V is usual here.")
    assert form.checked.ok


def test_an_impossible_value_is_said_while_typing_and_refused_when_sent() -> None:
    live = shown(**GROUND, **{"path.strap.drop": "abc"})
    assert "is not a number" in box(live, "path.strap.drop").echo
    sent = form_for(DROP, Context(), GROUND | {"path.strap.drop": "abc"})
    assert not sent.is_valid()
    assert list(sent.errors) == ["path.strap.drop"]
    assert sent.named_faults[0]["href"] == "#f-path-strap-drop"
    assert sent.named_faults[0]["text"].startswith("Body to engine block, drop: “abc” is not")


def test_a_question_is_unseen_until_the_page_has_shown_it() -> None:
    sent = GROUND | {"path.strap.drop": "19"}
    form = form_for(DROP, Context(), sent)
    assert form.has_unseen_questions
    assert not form_for(DROP, Context(), sent | {"seen": form.seen}).has_unseen_questions
    other = sent | {"seen": form.seen, "path.strap.drop": "18"}
    assert form_for(DROP, Context(), other).has_unseen_questions


def test_what_stays_empty_is_counted() -> None:
    assert shown(**GROUND).state == "0 of 4 readings."
    form = shown(**GROUND, **{"path.post.drop": "0.01", "path.strap.drop": "abc"})
    assert form.state == "1 of 4 readings. One to put right."


def test_a_choice_that_is_needed_is_named_when_it_lacks() -> None:
    assert "Still to say: path." in shown(**{"path.r1.drop": "0.1"}).state


def test_a_unit_of_a_column_holds_for_bare_numbers_only() -> None:
    form = shown(
        **GROUND,
        **{
            "unit.path.drop": "mV",
            "path.strap.drop": "661",
            "path.post.drop": "0.098 V",
        },
    )
    assert form.checked.readings.value("path.strap.drop") == pytest.approx(0.661)
    assert form.checked.readings.value("path.post.drop") == pytest.approx(0.098)


def test_a_unit_that_is_not_offered_is_refused_with_the_list() -> None:
    form = form_for(
        DROP, Context(), GROUND | {"unit.path.drop": "furlong", "path.strap.drop": "661"}
    )
    assert "use V, mV, kV" in str(form.errors)


def test_rows_of_another_choice_are_kept() -> None:
    form = shown(**{"given.path": "starter_feed", "path.strap.drop": "0.661"})
    assert form.kept == [("path.strap.drop", "0.661")]
    assert "path.strap.drop" not in form.typed


def test_a_made_up_field_is_not_taken() -> None:
    form = form_for(DROP, Context(), GROUND | {"path.strap.drop": "0.1", "nonsense.a.b": "5"})
    assert form.is_valid()
    assert "nonsense.a.b" not in form.typed


@pytest.mark.parametrize(("count", "rows"), [("2", 5), ("x", 3), ("999999", 40), ("-1", 3)])
def test_rows_more_are_added_up_to_a_limit(count, rows) -> None:
    form = shown(HOLD, **{"more.hold": count})
    assert len(form.grids[0].rows) >= rows
    assert len(form.grids[0].rows) <= 60


def test_the_rows_are_the_cars_own_cylinders() -> None:
    six = Context(car=Car(fuel="petrol", engine=Engine("v", 6)))
    assert [row.label for row in shown(PLUGS, six).grids[0].rows][-1] == "cylinder 6"


def test_conditions_of_a_ready_point_are_folded_away() -> None:
    row = shown(CHARGE).grids[0].rows[0]
    assert "battery_v" in [view.slot.field.key for view in row.open]
    assert {"rpm", "loads"} <= {view.slot.field.key for view in row.folded}
    assert not row.unfold


def test_a_fold_with_something_in_it_stands_open() -> None:
    assert shown(CHARGE, **{"points.idle.ripple": "20"}).grids[0].rows[1].unfold


def test_the_makers_limit_stands_left_of_the_field() -> None:
    source = Source("maker", "Workshop book, page 12")
    context = Context(limits=(ChosenLimit("path.strap.drop", None, 0.15, source),))
    assert box(shown(context=context, **GROUND), "path.strap.drop").limit == "0.15"


def test_a_us_shop_reads_its_own_units() -> None:
    form = shown(HOLD, Context(units="us"))
    assert box(form, "hold.s1.pressure").unit == "psi"


def test_a_sign_button_stands_where_a_minus_is_usual() -> None:
    assert box(shown(HOLD), "hold.s1.temperature").negative is False
    assert box(shown(CHARGE), "points.idle.current").negative is True
    assert box(shown(**GROUND), "path.strap.drop").negative is False


def test_a_value_offered_is_not_a_value_entered() -> None:
    form = form_for(DROP, Context(), carry={"given.rated": {"value": "284 A", "at": "10:26"}})
    assert box(form, "given.rated").carry == {"value": "284 A", "at": "10:26"}
    assert form.typed == {}


def test_the_button_for_a_row_named_by_hand_says_what_it_is() -> None:
    words = [grid.add_words for grid in form_for(PROCEDURES["wire_trace"], Context()).grids]
    assert words == ["One more pin", "One more pin", "One more probe"]


def test_rows_of_two_grids_never_share_an_id() -> None:
    form = form_for(PROCEDURES["wire_trace"], Context())
    anchors = [row.anchor for grid in form.grids for row in grid.rows]
    assert anchors[0] == "left-r1"
    assert len(set(anchors)) == len(anchors)


def test_where_to_measure_next_links_to_its_box() -> None:
    pins = {"left.r1.name": "1", "right.r1.name": "1"}
    (step,) = form_for(PROCEDURES["wire_trace"], Context(), initial=pins).proposals
    assert step["href"] == "#f-probe-p1-start"
    assert step["why"].startswith("A 1 against B 1")
