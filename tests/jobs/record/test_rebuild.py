"""Tables that say otherwise than the record are mended by reading it anew."""

import pytest
from django.db import connection

from jobs.actions import findings, swaps
from jobs.record.rebuild import rebuild
from jobs.record.verify import faults

pytestmark = pytest.mark.django_db


@pytest.fixture
def record(ticket, owner):
    """A ticket with a swap and a finding that rests on it, corrected once."""
    swap = swaps.add(ticket=ticket, by=owner, reason="worn_or_damaged").swap
    entry = findings.add(
        ticket=ticket,
        by=owner,
        certainty="suspected",
        sentence="Worn.",
        advice="no_restriction",
        rests_on=[swap],
    )
    findings.add(
        ticket=ticket,
        by=owner,
        certainty="not_tested",
        sentence="Worn?",
        advice="no_restriction",
        corrects=entry,
        why="too sure",
    )
    return ticket


def test_a_rebuilt_record_has_no_fault(record):
    rebuild()
    assert [str(fault) for fault in faults()] == []


@pytest.mark.parametrize(
    "damage",
    [
        "UPDATE jobs_finding SET sentence = 'Fine.'",
        "UPDATE jobs_ticket SET odometer_in = 1",
        "DELETE FROM jobs_findingbasis",
    ],
)
def test_a_damaged_table_is_read_anew(record, damage):
    with connection.cursor() as cursor:
        cursor.execute(damage)
    assert list(faults())
    rebuild()
    assert not list(faults())
