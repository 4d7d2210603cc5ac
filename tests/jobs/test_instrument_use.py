"""An instrument found wrong names every test and report that rests on it."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone
from django.utils.formats import date_format

from jobs.actions import reports, runs
from jobs.instrument_use import uses_since
from jobs.models import Ticket
from jobs.run_view import run_view
from measurements.actions import instruments
from tests.needs import needs

pytestmark = pytest.mark.django_db

TYPED = {"given.path": "starter_ground", "given.current": "200", "path.strap.drop": "0.661"}


@pytest.fixture
def meter(owner):
    return instruments.add(
        by=owner, kind="multimeter", name="Bench meter", accuracy="±(0.5 % + 2 counts)"
    )


def test_of(ticket, owner, meter, *, days_ago: int = 0, **how):
    return runs.record_test(
        ticket=ticket,
        procedure="voltage_drop",
        typed=TYPED,
        by=owner,
        instruments={"multimeter": meter} if meter else {},
        measured_at=timezone.now() - timedelta(days=days_ago),
        **how,
    )


test_of.__test__ = False


def checked(meter, owner, *, good: bool, days_ago: int = 0):
    day = timezone.localdate() - timedelta(days=days_ago)
    return instruments.note_check(
        instrument=meter, checked_on=day, good=good, how="reference 9.00 V", by=owner
    )


def test_tests_since_the_last_good_check_are_listed(ticket, owner, meter):
    test_of(ticket, owner, meter, days_ago=40)
    late = test_of(ticket, owner, meter, days_ago=10)
    checked(meter, owner, good=True, days_ago=30)
    wrong = checked(meter, owner, good=False)
    found, good_on = instruments.in_doubt(meter)
    assert found == wrong
    assert [use.url for use in uses_since(meter, good_on)] == [
        reverse("test", args=[ticket.number, late.seq])
    ]


def test_without_a_good_check_every_test_is_in_doubt(ticket, owner, meter):
    test_of(ticket, owner, meter, days_ago=400)
    checked(meter, owner, good=False)
    _found, good_on = instruments.in_doubt(meter)
    assert good_on is None
    assert len(uses_since(meter, good_on)) == 1


def test_the_first_of_several_wrong_checks_is_named(owner, meter):
    checked(meter, owner, good=True, days_ago=30)
    first = checked(meter, owner, good=False, days_ago=20)
    checked(meter, owner, good=False, days_ago=10)
    assert instruments.in_doubt(meter)[0] == first


def test_once_it_is_good_again_nothing_is_in_doubt(owner, meter):
    checked(meter, owner, good=False, days_ago=2)
    checked(meter, owner, good=True)
    assert instruments.in_doubt(meter) == (None, None)


def test_a_test_made_with_another_meter_is_not_listed(ticket, owner, meter):
    test_of(ticket, owner, None)
    checked(meter, owner, good=False)
    assert uses_since(meter, None) == []


def test_a_corrected_test_is_not_listed_twice(ticket, owner, meter):
    first = test_of(ticket, owner, meter)
    test_of(ticket, owner, meter, corrects=first, why="read wrong")
    assert len(uses_since(meter, None)) == 1


@needs("pango")
def test_an_issued_report_that_prints_the_test_is_named(ticket, owner, meter, shop):
    test_of(ticket, owner, meter)
    reports.issue(ticket=Ticket.objects.with_car().get(pk=ticket.pk), profile=shop, by=owner)
    test_of(ticket, owner, meter)
    later, earlier = uses_since(meter, None)
    assert [report["url"] for report in earlier.reports] == [
        reverse("report", args=[ticket.number, 1])
    ]
    assert later.reports == []


def test_the_page_takes_a_check_and_lists_what_is_in_doubt(client, ticket, owner, meter):
    entry = test_of(ticket, owner, meter)
    client.force_login(owner)
    url = reverse("instrument-checks", args=[meter.pk])
    day = timezone.localdate().isoformat()
    answer = client.post(
        url, {"checked_on": day, "good": "no", "how": "9.00 V read 9.31"}, follow=True
    )
    page = answer.content.decode()
    assert reverse("test", args=[ticket.number, entry.seq]) in page
    assert "never noted as found good" in page


def test_a_check_without_what_it_was_held_against_is_refused_and_kept(client, owner, meter):
    client.force_login(owner)
    url = reverse("instrument-checks", args=[meter.pk])
    answer = client.post(url, {"checked_on": "2026-02-30", "good": "no", "how": ""})
    page = answer.content.decode()
    assert answer.status_code == 422
    assert "not a calendar date" in page and "2026-02-30" in page
    assert "Say against what" in page
    assert not meter.checks.exists()


def test_an_overdue_calibration_is_said_beside_each_reading(ticket, owner, meter):
    due = timezone.localdate() - timedelta(days=3)
    instruments.change(instrument=meter, by=owner, calibration_due=due)
    view = run_view(test_of(ticket, owner, meter).run_link.run)
    (table,) = [t for t in view.tables if any(row["overdue"] for row in t.rows)]
    assert f"calibration was due on {date_format(due, 'j F Y')}" in table.notes[-1]["text"]
    assert table.notes[-1]["tag"] == "*"


def test_a_calibration_due_later_is_not_remarked(ticket, owner, meter):
    instruments.change(
        instrument=meter, by=owner, calibration_due=timezone.localdate() + timedelta(days=3)
    )
    view = run_view(test_of(ticket, owner, meter).run_link.run)
    assert not any(row["overdue"] for table in view.tables for row in table.rows)
