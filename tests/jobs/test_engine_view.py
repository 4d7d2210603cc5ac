"""The engine picture on a test's page and in the report: the tests of a visit that count."""

from __future__ import annotations

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from jobs.actions import reports, runs, tickets
from jobs.engine_view import beside
from jobs.models import Entry, Report, Ticket
from jobs.report.content import content_of, revision_of
from jobs.report.pdf import html_of
from jobs.run_view import ON_PAGE
from shop.actions import cars
from tests.measurements.readings_files import Case

pytestmark = pytest.mark.django_db

V6 = {
    "layout": "v",
    "cylinders": 6,
    "numbering": "alternating",
    "banks": [[1, 3, 5], [2, 4, 6]],
    "firing_order": [1, 2, 3, 4, 5, 6],
}


@pytest.fixture
def visit(owner, customer) -> Ticket:
    """A petrol car with a V6, counted to and fro."""
    car = cars.add(
        plate="AB12 CDE",
        region="GB",
        make="Corvane",
        model="Tourer",
        fuel="petrol",
        engine=V6,
        owner=customer,
        by=owner,
    )
    return tickets.open_ticket(car=car, customer=customer, by=owner)


def measured(ticket: Ticket, by, procedure: str, case: str, **how) -> Entry:
    return runs.record_test(
        ticket=ticket,
        procedure=procedure,
        typed=Case(procedure, case).data["typed"],
        by=by,
        state_of_car="hot",
        **how,
    )


def compressed(ticket: Ticket, by, **how) -> Entry:
    return measured(ticket, by, "compression", "next_numbers_other_banks", **how)


def blown(ticket: Ticket, by, case: str = "v6_other_bank", **how) -> Entry:
    return measured(ticket, by, "leak_down", case, **how)


def looked_at(ticket: Ticket, by, **how) -> Entry:
    return measured(ticket, by, "spark_plugs", "neighbours_in_a_bank", **how)


def page_of(client, entry: Entry) -> str:
    return client.get(f"/tickets/{entry.ticket.number}/entries/{entry.seq}/test/").content.decode()


def report_of(ticket: Ticket, shop, by) -> dict:
    return content_of(Ticket.objects.with_car().get(pk=ticket.pk), shop, by=by)


def test_one_kind_of_test_alone_makes_no_picture(as_owner, visit, owner, shop) -> None:
    entry = compressed(visit, owner)
    assert "The engine by cylinder</h2>" not in page_of(as_owner, entry)
    assert report_of(visit, shop, owner)["engine"] is None


@pytest.mark.parametrize("shown", [0, 1, 2])
def test_each_of_the_three_shows_all_three(as_owner, visit, owner, shown) -> None:
    made = [compressed(visit, owner), blown(visit, owner), looked_at(visit, owner)]
    page = page_of(as_owner, made[shown])
    picture = page[page.index("The engine by cylinder</h2>") :]
    numbers = ", ".join(str(entry.seq) for entry in made)
    assert f"Drawn from entries {numbers}." in picture
    assert "720 kPa dry" in picture
    assert "leaks 41" in picture
    assert "plug washed" in picture
    assert "bank 2" in picture


def test_another_test_of_the_visit_shows_none(as_owner, visit, owner) -> None:
    compressed(visit, owner)
    blown(visit, owner)
    other = measured(visit, owner, "voltage_drop", "corroded_strap_hot")
    assert "The engine by cylinder</h2>" not in page_of(as_owner, other)


def test_the_last_of_each_kind_counts(visit, owner) -> None:
    entry = compressed(visit, owner)
    first = blown(visit, owner, "tight")
    last = blown(visit, owner)
    view = beside(entry, entry.run_link.run, ground=ON_PAGE)
    assert view.tests == [entry.seq, last.seq]
    assert first.seq not in view.tests
    assert "41 %" in view.chart


def test_a_test_shows_itself_though_a_later_one_counts(visit, owner) -> None:
    first = compressed(visit, owner)
    leak = blown(visit, owner)
    compressed(visit, owner)
    view = beside(first, first.run_link.run, ground=ON_PAGE)
    assert view.tests == [first.seq, leak.seq]


def test_what_was_withdrawn_or_replaced_is_not_in_it(as_owner, visit, owner, shop) -> None:
    entry, leak = compressed(visit, owner), blown(visit, owner)
    tickets.withdraw(entry=leak, by=owner, why="wrong car")
    assert "The engine by cylinder</h2>" not in page_of(as_owner, entry)
    assert report_of(visit, shop, owner)["engine"] is None
    assert "The engine by cylinder</h2>" not in page_of(as_owner, leak)


def test_another_visit_of_the_car_is_not_mixed_in(visit, owner, customer) -> None:
    blown(visit, owner)
    later = tickets.open_ticket(car=visit.car, customer=customer, by=owner)
    entry = compressed(later, owner)
    assert beside(entry, entry.run_link.run, ground=ON_PAGE) is None


def test_the_page_of_such_a_test_takes_at_most_two_queries_more(as_owner, visit, owner) -> None:
    other = measured(visit, owner, "voltage_drop", "corroded_strap_hot")
    made = [compressed(visit, owner), blown(visit, owner), looked_at(visit, owner)]

    def queries(entry: Entry) -> int:
        page_of(as_owner, entry)  # what a process reads once is not the page's
        with CaptureQueriesContext(connection) as seen:
            page_of(as_owner, entry)
        return len(seen)

    assert queries(made[0]) <= queries(other) + 2


def test_the_report_shows_it_once_under_every_test(visit, owner, shop) -> None:
    made = [compressed(visit, owner), blown(visit, owner), looked_at(visit, owner)]
    content = report_of(visit, shop, owner)
    assert content["engine"]["tests"] == [entry.seq for entry in made]
    page = html_of(content, for_paper=True)
    assert page.count("The engine by cylinder</h2>") == 1
    assert page.index("Every test made") < page.index("The engine by cylinder</h2>")
    numbers = ", ".join(str(entry.seq) for entry in made)
    assert f"Drawn from tests {numbers}." in page


def test_an_issued_report_keeps_it_as_it_was_drawn(visit, owner, shop, monkeypatch) -> None:
    """What is frozen is the drawing itself: a later test changes the next revision only."""
    monkeypatch.setattr(reports, "pdf_of", lambda content: b"%PDF-1.7 a stand-in")
    compressed(visit, owner)
    blown(visit, owner)
    drawn = report_of(visit, shop, owner)["engine"]
    reports.issue(ticket=visit, profile=shop, by=owner)
    blown(visit, owner, "tight")
    assert revision_of(Report.objects.get())["engine"] == drawn
    assert report_of(visit, shop, owner)["engine"] != drawn


def test_on_paper_its_ground_is_white(visit, owner, shop) -> None:
    measured(visit, owner, "leak_down", "coolant_bubbles_small_leak")
    compressed(visit, owner)
    frozen = report_of(visit, shop, owner)["engine"]["chart"]
    assert 'fill="#ffffff"' in frozen
    assert "var(" not in frozen


def test_a_report_frozen_without_it_is_still_shown(visit, owner, shop) -> None:
    compressed(visit, owner)
    blown(visit, owner)
    content = report_of(visit, shop, owner)
    del content["engine"]
    assert "The engine by cylinder</h2>" not in html_of(content, for_paper=True)
