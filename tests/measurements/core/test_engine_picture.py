"""The engine picture: several tests on one drawing, every mark of its own test kept."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from measurements.core import chart
from measurements.core.charts.sheet import ChartError
from measurements.core.engine_picture import engine_chart, picture
from tests.measurements.readings_files import Case
from tests.measurements.svg import SVG, parsed


def chart_of(procedure: str, case: str) -> dict:
    return dict(Case(procedure, case).judged().assessment.chart)


def three() -> dict:
    return picture(
        [
            chart_of("spark_plugs", "one_oily"),
            chart_of("compression", "one_rises_with_oil"),
            chart_of("leak_down", "past_exhaust"),
        ]
    )


def third(data: dict) -> dict:
    return next(one for one in data["cylinders"] if one["label"] == "3")


def texts(svg: str) -> list[str]:
    return [item.text or "" for item in parsed(svg).iter(f"{SVG}text")]


def test_each_cylinder_carries_what_each_test_says_of_it() -> None:
    seen = third(three())
    assert (seen["dry"], seen["wet"], seen["leak"]) == (860.0, 1120.0, 40.0)
    assert (seen["air"], seen["plug"], seen["marked"]) == (["tailpipe"], "oily", True)


def test_a_mark_of_any_test_stays() -> None:
    data = picture(
        [chart_of("compression", "even"), chart_of("spark_plugs", "one_oily")],
    )
    assert [one["label"] for one in data["cylinders"] if one["marked"]] == ["3"]


def test_the_later_test_counts_where_two_tell_the_same() -> None:
    data = picture([chart_of("leak_down", "past_exhaust"), chart_of("leak_down", "tight")])
    assert third(data)["leak"] == 5.0


def test_the_title_tells_the_whole_of_a_cylinder() -> None:
    said = three()["title"].replace("\xa0", " ")
    assert "Cylinder 3: 860 kPa dry, 1120 kPa with oil, leaks 40 %, air heard at tailpipe" in said
    assert said.count("plug oily") == 1


def test_the_drawing_shows_numbers_and_words_of_all_three() -> None:
    shown = texts(chart.draw(three()))
    for words in ("860", "1120", "40 %", "tailpipe", "oily", "dry", "oiled", "leak", "plug"):
        assert words in shown


def test_the_banks_stand_as_in_the_engine() -> None:
    data = picture(
        [
            chart_of("compression", "next_numbers_other_banks"),
            chart_of("leak_down", "v6_other_bank"),
        ]
    )
    assert [(one["label"], one["bank"]) for one in data["cylinders"]] == [
        ("1", 0),
        ("3", 0),
        ("5", 0),
        ("2", 1),
        ("4", 1),
        ("6", 1),
    ]
    shown = texts(chart.draw(data))
    assert {"bank 1", "bank 2"} <= set(shown)


def test_what_no_test_looked_at_is_not_drawn() -> None:
    shown = texts(chart.draw(chart_of("leak_down", "tight")))
    assert "leak" in shown
    assert not {"dry", "oiled", "plug"} & set(shown)
    assert not any("Hatched" in words for words in shown)


def test_two_places_stand_on_two_lines() -> None:
    shown = texts(chart.draw(chart_of("leak_down", "at_overlap")))
    assert {"throttle", "tailpipe", "and at"} <= set(shown)


def test_air_leaves_by_an_arrow_or_bubbles() -> None:
    def parts(*air: str) -> int:
        drawn = engine_chart([{"label": "1", "bank": 0, "air": list(air)}], layout="inline")
        return len(list(parsed(chart.draw(drawn)).iter()))

    still = parts()
    assert parts("throttle") > still
    assert parts("coolant") == still + 3
    assert parts("neighbour") == still  # alone in its bank there is no neighbour


def test_pressures_stand_in_the_unit_that_they_were_recorded_in() -> None:
    data = engine_chart([{"label": "1", "bank": 0, "dry": 172.0}], layout="inline", unit="psi")
    assert "172 psi dry" in data["title"]
    assert any("psi" in words for words in texts(chart.draw(data)))


def test_the_run_before_lies_under_it_with_a_hollow_dot() -> None:
    now, before = chart_of("compression", "even"), chart_of("compression", "one_rises_with_oil")
    assert chart.draw(now, earlier=before).count('fill="#ffffff"') == 4
    assert chart.draw(now).count('fill="#ffffff"') == 0


def test_of_other_charts_there_is_no_picture() -> None:
    assert picture([]) == {}
    assert picture([chart_of("voltage_drop", "corroded_strap_hot")]) == {}


def test_no_cylinder_can_be_drawn_out_of_none() -> None:
    with pytest.raises(ChartError, match="no cylinder"):
        chart.draw(engine_chart([], layout="inline"))


@given(
    st.integers(1, 16),
    st.lists(st.sampled_from(["throttle", "tailpipe", "filler", "coolant", "neighbour"])),
    st.one_of(st.none(), st.floats(0, 8000)),
    st.integers(1, 2),
)
def test_any_engine_fits_the_sheet(
    count: int, air: list[str], dry: float | None, banks: int
) -> None:
    cylinders = [
        {"label": str(n + 1), "bank": n % banks, "dry": dry, "leak": 12.3, "air": air}
        for n in range(count)
    ]
    root = parsed(chart.draw(engine_chart(cylinders, layout="v", unit="kPa")))
    height = float(root.get("height", "0"))
    for circle in root.iter(f"{SVG}circle"):
        assert 0 <= float(circle.get("cx", "-1")) <= 320
        assert -1 <= float(circle.get("cy", "-2")) <= height
