"""The first page answers what a customer asks, in that order, and claims no more than is known."""

from __future__ import annotations

import pytest

from jobs import words
from jobs.actions import alterations, apart, findings, tickets
from jobs.report.pdf import html_of
from tests.jobs.pictures import strap_test
from tests.jobs.report.conftest import SENTENCE, made

pytestmark = pytest.mark.django_db

ANSWERS = (
    "what is wrong",
    "how sure we are",
    "driving",
    "what to do",
    "if you wait",
    "what it costs",
)


def test_the_answers_stand_in_the_order_of_the_questions(report, full):
    html = html_of(report(full), for_paper=True)
    places = [html.index(f"<span>{question}</span>") for question in ANSWERS]
    assert places == sorted(places)
    assert places[-1] < html.index("What we found")


def test_certainty_is_a_word_with_its_meaning(report, full):
    assert report(full)["short"]["sure"] == [
        {
            "code": "confirmed",
            "word": "Confirmed",
            "of": "",
            "meaning": words.meaning("certainty", "confirmed"),
        }
    ]


def test_two_certainties_say_which_finding_each_belongs_to(report, full, owner):
    test = strap_test(full, owner)
    findings.add(
        ticket=full,
        by=owner,
        certainty="probable",
        sentence="The belt slips",
        advice="no_restriction",
        rests_on=[test.run_link.run],
    )
    short = report(full)["short"]
    assert [(line["n"], line["text"]) for line in short["what"]] == [
        (1, SENTENCE),
        (2, "The belt slips."),
    ]
    assert [sure["of"] for sure in short["sure"]] == ["finding 1", "finding 2"]


def test_no_odds_and_no_percentages(report, full):
    html = html_of(report(full), for_paper=True).lower()
    before_the_list_of_tests = html.partition("every test made")[0]  # meters have an accuracy in %
    assert "confirmed" in before_the_list_of_tests
    for word in ("%", "odds", "probability", "sigma"):
        assert word not in before_the_list_of_tests


def test_the_strictest_advice_leads_and_says_where_it_comes_from(report, full):
    advice = report(full)["short"]["advice"]
    assert advice["code"] == "only_as_stated"
    assert advice["text"] == "Have it taken off within two weeks."
    assert advice["from"] == ["the alteration “second starter cable, unclipped”"]


def test_a_good_result_never_says_more_than_was_looked_at(report, repaired):
    advice = report(repaired)["short"]["advice"]
    assert advice["code"] == "no_restriction"
    assert advice["not_tested"] == ["brakes", "tyres", "steering", "lights"]


def test_a_car_in_pieces_is_not_to_be_driven_whatever_was_found(report, repaired, owner):
    apart.take_apart(ticket=repaired, what="Radiator hose off", by=owner)
    content = report(repaired)
    assert content["short"]["advice"]["code"] == "do_not_drive"
    assert (
        "The car is not together just now: radiator hose off."
        in (content["short"]["advice"]["text"])
    )
    assert content["cautions"][0].startswith("The car is not together just now")


def test_the_warning_of_the_first_call_stands_until_something_is_found(
    report, van, customer, owner
):
    opened = tickets.open_ticket(car=van, customer=customer, by=owner, facts={})
    tickets.add_complaint(
        ticket=opened,
        words="It boils over.",
        family="overheats",
        by=owner,
        red_flags=["overheating"],
    )
    advice = report(opened)["short"]["advice"]
    assert (advice["code"], advice["from"]) == ("do_not_drive", ["what you reported"])


def test_do_not_drive_leaves_the_decision_and_offers_a_tow(report, ticket, owner):
    findings.add(
        ticket=ticket,
        by=owner,
        certainty="suspected",
        sentence="A brake hose weeps.",
        advice="do_not_drive",
        facts={"advice_words": "Brake fluid runs down the wheel"},
    )
    assert report(ticket)["short"]["advice"]["text"] == (
        "Brake fluid runs down the wheel. The decision is yours. You may have it towed elsewhere."
    )


def test_what_it_costs_at_most(report, van, customer, owner):
    opened = tickets.open_ticket(
        car=van, customer=customer, by=owner, facts={"allowance_minor": 15_000}
    )
    assert report(opened)["short"]["cost"] == (
        "You agree to at most €150.00. We stop and ask before that."
    )


def test_without_a_sum_it_says_so(report, ticket):
    assert report(ticket)["short"]["cost"] == "No sum has been agreed yet."


def test_what_the_shop_stands_for(report, repaired):
    assert report(repaired)["short"]["stands_for"] == [
        "We stand for this part, ground strap: 12 months or 20\u00a0000 km, whichever comes first."
    ]


def test_a_risk_that_finding_and_open_work_share_is_said_once(report, ticket, owner):
    findings.add(
        ticket=ticket,
        by=owner,
        certainty="suspected",
        sentence="The hose leaks.",
        advice="no_restriction",
        facts={"waiting_risk": "The leak can grow. Carpets rot."},
    )
    findings.add_open_work(
        ticket=ticket, by=owner, what="New hose", status="declined", risk="the leak can grow"
    )
    assert report(ticket)["short"]["waiting"] == ["The leak can grow. Carpets rot."]


def test_an_alteration_that_open_work_puts_back_is_asked_for_once(report, ticket, owner):
    alteration = alterations.add(ticket=ticket, by=owner, what="Second charging lead").alteration
    alterations.add(ticket=ticket, by=owner, what="Fan wired to run always")
    findings.add_open_work(
        ticket=ticket,
        by=owner,
        what="Take off the second charging lead",
        status="open",
        puts_back=str(alteration.uid),
    )
    assert report(ticket)["short"]["to_do"] == [
        "Have this put back: fan wired to run always.",
        "Take off the second charging lead.",
    ]


def test_done_work_hides_no_alteration_that_is_still_on(report, ticket, owner):
    alteration = alterations.add(ticket=ticket, by=owner, what="Second charging lead").alteration
    findings.add_open_work(
        ticket=ticket, by=owner, what="Take it off", status="done", puts_back=str(alteration.uid)
    )
    assert report(ticket)["short"]["to_do"] == ["Have this put back: second charging lead."]


def test_a_step_that_a_finding_names_is_not_repeated_as_open_work(report, ticket, owner):
    findings.add(
        ticket=ticket,
        by=owner,
        certainty="suspected",
        sentence="The hose leaks.",
        advice="no_restriction",
        facts={"to_do": "Renew the hose. Dry the carpet."},
    )
    for what in ("dry the carpet", "Dry the boot"):
        findings.add_open_work(ticket=ticket, by=owner, what=what, status="open")
    assert report(ticket)["short"]["to_do"] == ["Renew the hose. Dry the carpet.", "Dry the boot."]


# --- whether it happened while we tested ---------------------------------------------------------


def tried(content: dict) -> list[str]:
    return content["complaints"][0]["tried"]


def test_a_repeat_after_the_repair_is_no_weak_test(report, repaired):
    said = tried(report(repaired))
    assert said[0].startswith("What you reported was happening during tests ")
    assert said[1].startswith("After the change (ground strap) it was not present in test ")
    assert said[1].endswith("(made with the engine hot).")
    assert not any("says little" in line for line in said)


def test_a_good_result_while_it_was_absent_says_little(report, ticket, owner):
    made(ticket, owner, "voltage_drop", "strap_renewed_hot", fault_present="no")
    said = tried(report(ticket))
    assert said[0].endswith("a good result there says little.")
    assert said[1] == str(words.sentence("not_reproduced"))


def test_what_nobody_noted_is_not_claimed_either_way(report, ticket, owner):
    test = strap_test(ticket, owner, fault_present="unknown")
    assert tried(report(ticket)) == [
        f"Whether it was happening during test {test.seq} is not known."
    ]


def test_each_complaint_speaks_of_its_own_tests(report, ticket, owner):
    other = tickets.add_complaint(ticket=ticket, words="It squeals.", family="other", by=owner)
    test = strap_test(ticket, owner, complaint_uid=other.complaint.uid)
    first, second = report(ticket)["complaints"]
    assert first["tried"] == []
    assert second["tried"] == [f"What you reported was happening during test {test.seq}."]


# --- little or nothing to tell -------------------------------------------------------------------


def test_nothing_tested_yet(report, ticket):
    short = report(ticket)["short"]
    assert short["what"][0]["text"] == "No test has been made yet, so we can't say what is wrong."
    assert short["sure"] == []
    assert short["advice"]["code"] == ""


def test_tested_and_nothing_found_asks_to_watch_for_it(report, ticket, owner):
    made(ticket, owner, "voltage_drop", "strap_renewed_hot", fault_present="no")
    short = report(ticket)["short"]
    assert short["what"][0]["text"].startswith("Nothing has been found yet.")
    assert short["to_do"][0].startswith("If it happens again, write down when")


def test_only_wishes_claim_no_fault(report, van, customer, owner):
    opened = tickets.open_ticket(car=van, customer=customer, by=owner, facts={})
    tickets.add_wish(ticket=opened, words="Oil and filter, please", by=owner)
    content = report(opened)
    assert content["wishes"][0]["words"] == "Oil and filter, please"
    assert content["short"]["what"][0]["text"] == "You reported no fault, and no test was made."
    assert content["short"]["waiting"] == []


def test_a_comeback_names_the_visit_before(report, ticket, van, customer, owner):
    again = tickets.open_ticket(car=van, customer=customer, by=owner, comeback_of=ticket, facts={})
    content = report(again)
    assert content["visit"]["comeback_of"] == ticket.shown_number
    assert f"comeback of ticket {ticket.shown_number}" in html_of(content, for_paper=True)


def test_an_alteration_of_an_earlier_visit_is_to_be_put_back(report, ticket, van, customer, owner):
    alterations.add(ticket=ticket, by=owner, what="Fan wired to run always")
    later = tickets.open_ticket(car=van, customer=customer, by=owner, facts={})
    content = report(later)
    assert content["short"]["to_do"] == ["Have this put back: fan wired to run always."]
    assert content["alterations"][0]["ticket"] == ticket.shown_number


def test_a_test_that_was_withdrawn_does_not_count(report, ticket, owner):
    test = strap_test(ticket, owner)
    tickets.withdraw(entry=test, why="made on another car", by=owner)
    assert tried(report(ticket)) == []
