"""What a report says of tests, parts, photos and people: whole, once, and in words."""

from __future__ import annotations

import html
import re

import pytest

from jobs import words
from jobs.actions import findings, photos, runs, tickets
from jobs.report.pdf import html_of
from measurements.procedures import PROCEDURES
from shop.actions import cars
from tests.jobs.pictures import strap_test, upload
from tests.jobs.report.conftest import SENTENCE, made

pytestmark = pytest.mark.django_db


def text_of(content: dict, *, for_paper: bool = True) -> str:
    """What a reader sees, in one line."""
    page = html_of(content, for_paper=for_paper)
    page = page[page.index("<main>") :]
    page = re.sub(r"<(title|caption)\b.*?</\1>", " ", page, flags=re.DOTALL)
    return " ".join(html.unescape(re.sub(r"<[^>]+>", " ", page)).split())


# --- words ---------------------------------------------------------------------------------------


def test_no_code_reaches_the_reader(report, full):
    text = text_of(report(full))
    assert re.findall(r"\w+_\w+", text) == []
    codes = {code for table in words.TABLES.values() for code in table.codes if "_" in code}
    codes |= {p.code for procedure in PROCEDURES.values() for p in procedure.patterns}
    assert len(codes) > 100
    said = set(re.findall(r"[\w]+", text))
    assert {code for code in codes if "_" in code} & said == set()


def test_sentences_end_once(report, full):
    text = text_of(report(full))
    assert re.findall(r".{20}(?:\.\s?\.|;\s?\.|,\s?\.|\?\.).{0,10}", text) == []


def test_no_mark_of_escaping_is_printed(report, full):
    assert "&" not in text_of(report(full))


def test_notes_of_the_shop_stay_in_the_shop(report, full):
    assert "for us only" not in text_of(report(full))


def test_what_others_fitted_is_the_customers_report_and_nothing_more(report, full):
    assert report(full)["fitted_elsewhere"] == [
        "The customer reports that battery was fitted elsewhere on 10 March 2026; we have seen no "
        "test records of it."
    ]
    assert [swap["in"] for swap in report(full)["swaps"]] == ["Ground strap"]


def test_an_alteration_under_emission_rules_says_so(report, full):
    (item,) = report(full)["alterations"]
    assert item["emissions"] == str(words.EMISSIONS_LAW)
    assert "Take it off at both ends." in text_of(report(full))


def test_declined_work_is_named_with_what_waiting_risks(report, full):
    text = text_of(report(full))
    assert "Clean the negative clamp. You chose not to do this today. A slow start in winter." in (
        text
    )


def test_a_high_voltage_car_brings_its_caution(report, customer, owner):
    car = cars.add(
        plate="HV12 ABC",
        region="GB",
        make="Corvane",
        model="Wisp",
        fuel="electric",
        high_voltage=True,
        engine={},
        owner=customer,
        by=owner,
    )
    opened = tickets.open_ticket(car=car, customer=customer, by=owner, facts={})
    content = report(opened)
    assert any("orange leads" in line for line in content["cautions"])
    assert "This car has a high-voltage system." in text_of(content)


def test_the_general_cautions_come_last(report, full):
    assert report(full)["cautions"][-2:] == [
        str(words.sentence("results_concern")),
        str(words.sentence("makers_data_first")),
    ]


# --- tests ---------------------------------------------------------------------------------------


def test_each_test_stands_in_full_at_one_place(report, full):
    page = html_of(report(full), for_paper=True)
    shown = re.findall(r'<div class="test"><div class="keep">.*?Test (\d+),', page, re.DOTALL)
    standing = [str(t["no"]) for t in report(full)["tests"] if not t["replaced_by"]]
    assert sorted(shown) == sorted(standing)


def test_a_repeat_after_the_repair_stands_with_the_part_and_not_under_the_finding(report, full):
    content = report(full)
    (finding,) = [f for f in content["findings"] if f["sentence"] == SENTENCE]
    (after,) = [t for t in content["tests"] if t["repeat_after"]]
    assert after["no"] not in finding["tests"]
    assert [line["no"] for line in finding["elsewhere"]] == [after["no"]]
    (comparison,) = content["swaps"][0]["comparisons"]
    assert comparison["after_no"] == after["no"]
    assert f"After the part was changed, test {after['no']}:" in text_of(content)


def test_the_absence_of_the_fault_after_a_repair_is_not_held_against_the_test(report, full):
    (after,) = [t for t in report(full)["tests"] if t["repeat_after"]]
    said = " ".join([*after["run"]["customer"], *after["run"]["confounders"]])
    assert "not showing" not in said
    assert "not happening" not in said
    assert "the complaint was not there during the test" in after["run"]["conditions"]


def test_a_finding_that_rests_on_a_corrected_test_shows_the_correction(report, ticket, owner):
    wrong = strap_test(ticket, owner)
    findings.add(
        ticket=ticket,
        by=owner,
        certainty="probable",
        sentence=SENTENCE,
        advice="no_restriction",
        rests_on=[wrong.run_link.run],
    )
    right = made(
        ticket, owner, "voltage_drop", "spread_over_feed", corrects=wrong, why="read wrong"
    )
    (finding,) = report(ticket)["findings"]
    assert finding["tests"] == [right.seq]


def test_a_corrected_test_is_struck_and_says_by_what_and_why(report, full):
    content = report(full)
    (gone,) = [t for t in content["tests"] if t["replaced_by"]]
    page = html_of(content, for_paper=True)
    assert f"<s>{gone['run']['title']}</s>" in page
    assert f"replaced by {gone['replaced_by']}" in text_of(content)
    assert "leads on wrong post." in text_of(content)


def test_a_finding_says_when_what_it_rested_on_was_withdrawn(report, ticket, owner):
    test = strap_test(ticket, owner)
    findings.add(
        ticket=ticket,
        by=owner,
        certainty="probable",
        sentence=SENTENCE,
        advice="no_restriction",
        rests_on=[test.run_link.run],
    )
    tickets.withdraw(entry=test, why="made on another car", by=owner)
    text = text_of(report(ticket))
    assert f"Test {test.seq}, on which this rested too, was withdrawn." in text
    assert "Why withdrawn: made on another car." in text


def test_no_figure_is_finer_than_the_meter(report, ticket, owner):
    test = runs.record_test(
        ticket=ticket,
        procedure="voltage_drop",
        by=owner,
        fault_present="yes",
        typed={
            "given.path": "starter_ground",
            "given.current": "205 A",
            "given.whole": "0.82 V",
            "path.post.drop": "0.09 V",
            "path.cable.drop": "0.04 V",
            "path.strap.drop": "0.66 V",
            "path.case.drop": "0.01 V",
        },
    )
    (run,) = [t["run"] for t in report(ticket)["tests"] if t["no"] == test.seq]
    volts = [f["value"] for f in run["figures"] if "V" in f["value"]]
    assert volts
    for value in volts:
        assert not re.search(r"\d\.\d{3}", value), value


def test_a_comparison_is_no_finer_than_the_meter(report, full):
    (comparison,) = report(full)["swaps"][0]["comparisons"]
    assert comparison["rows"]
    for row in comparison["rows"]:
        assert not re.search(r"\d\.\d{4}", row["before"] + row["after"] + row["change"] + row["u"])


def test_the_decision_rule_the_limits_and_the_meters_are_named(report, full):
    rules = report(full)["rules"]
    assert "1 chance in 44" in rules["decision"]
    assert rules["limits"] and rules["instruments"]
    assert "Nell Aldous" in rules["opinion"]


def test_only_marks_that_are_used_are_explained(report, full):
    key = report(full)["key"]
    assert [item["code"] for item in key["certainty"]] == ["suspected", "not_tested"]
    assert {item["outcome"] for item in key["verdicts"]} >= {"within", "outside"}


# --- photos --------------------------------------------------------------------------------------


def test_each_chosen_photo_is_printed_once(report, full):
    page = html_of(report(full), for_paper=True)
    frames = re.findall(r'<img src="evidence:[0-9a-f]{64}/print" alt="([^"]+)"', page)
    assert sorted(frames) == [
        "Body end of the strap, as found",
        "The old strap",
        "The van at our door",
    ]


def test_photos_of_the_first_finding_show_whose_car_it_is(report, full):
    captions = [photo["caption"] for photo in report(full)["findings"][0]["photos"]]
    assert "The van at our door" in captions


def test_a_corrected_tests_photos_stand_with_its_correction(report, ticket, owner):
    wrong = strap_test(ticket, owner)
    photos.add_photos(
        ticket=ticket,
        uploads=[upload()],
        subject="connector",
        by=owner,
        caption="Green on pin 2",
        run=wrong.run_link.run,
    )
    right = made(ticket, owner, "voltage_drop", "inside_at_40_a", corrects=wrong, why="read wrong")
    content = report(ticket)
    shown = {test["no"]: [p["caption"] for p in test["photos"]] for test in content["tests"]}
    assert shown == {wrong.seq: [], right.seq: ["Green on pin 2"]}
    findings.add(
        ticket=ticket,
        by=owner,
        certainty="probable",
        sentence=SENTENCE,
        advice="no_restriction",
        rests_on=[right.run_link.run],
    )
    (finding,) = report(ticket)["findings"]
    assert [photo["caption"] for photo in finding["photos"]] == ["Green on pin 2"]


# --- the same on page and paper ------------------------------------------------------------------


def test_the_page_says_the_same_in_the_same_order_as_the_paper(report, full):
    content = report(full)
    assert text_of(content, for_paper=False) == text_of(content)
