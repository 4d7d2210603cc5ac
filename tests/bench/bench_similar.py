"""What it costs to ask a shop of 5,000 past tickets whether it has seen a complaint before.

Run by hand, on a machine that does nothing else: python -m tests.bench.bench_similar
The tickets are written past the record, straight into the tables that are read from it: 25 kinds of
complaint, a fifth of them one kind, 200 models, two tests and a finding each. Processor time,
median; queries are counted.
"""

from __future__ import annotations

import os
import random
import subprocess
import sys
import tempfile
from datetime import timedelta
from pathlib import Path
from typing import Any

from tests.bench.bench_assess import median_ms
from tests.live import ROOT, make_template, surroundings

TICKETS = 5_000
MODELS = 200
MOST_MS = 200.0
MOST_QUERIES = 8
COMMONEST = "lamp_on"
COMMON = "it when the and after a on with in turns cold hot long slowly engine car"
SAID = (*COMMON.split(), *(f"word{n}" for n in range(2_000)))


def fill(draw: random.Random, by: Any) -> Any:
    """The past, and a new ticket with a complaint and two tests; gives the ticket."""
    from django.db import transaction
    from django.utils import timezone

    from shop.actions import cars, customers
    from shop.models import Car

    customer = customers.add(name="Odile Verhagen", phones=["01632 960123"], by=by)
    first = cars.add(
        plate="TS58 KLV",
        region="GB",
        make="Corvane",
        model="Hauler 0",
        fuel="diesel",
        engine={"layout": "line", "cylinders": 4, "displacement_cc": 1968},
        owner=customer,
        by=by,
    )
    with transaction.atomic():
        made = [
            Car(
                plate=f"P{n}",
                make="Corvane",
                model=f"Hauler {n}",
                fuel="diesel",
                engine=first.engine,
                description_key=f"corvane hauler {n} ",
            )
            for n in range(MODELS)
        ]
        fleet = [first, *Car.objects.bulk_create(made)]
        now = timezone.now()
        for number in range(1, TICKETS + 1):
            at = now - timedelta(hours=4 * number)
            _past(draw, number, draw.choice(fleet), customer, by, at)
        return _past(draw, TICKETS + 1, first, customer, by, now, state="in_the_bay")


def _past(
    draw: random.Random, number: int, car: Any, customer: Any, by: Any, at: Any, **state: str
) -> Any:
    """A ticket with its complaint, two tests and a finding."""
    import uuid

    from jobs import words
    from jobs.models import Complaint, Finding, RunLink, Ticket
    from jobs.suspects.knowledge import tables
    from measurements.models import Run, RunSummary
    from measurements.procedures import PROCEDURES

    ticket = Ticket.objects.create(
        number=number,
        car=car,
        customer=customer,
        opened_at=at,
        state_since=at,
        currency="EUR",
        **({"state": "handed_back", "handed_back_at": at} | state),
    )
    family = COMMONEST if draw.random() < 0.2 else draw.choice(words.FAMILY.codes)
    said = " ".join(draw.choices(SAID, k=12))
    answer = draw.choice(["cold", "hot", "any"])
    complaint = Complaint.objects.create(
        entry=_entry(ticket, 1, "complaint", by, at),
        uid=uuid.uuid4(),
        ticket=ticket,
        words=said,
        words_key=said,
        family=family,
        conditions={"engine_temperature": [answer], "weather": ["not_asked"]},
    )
    for seq in (2, 3):
        procedure = PROCEDURES[draw.choice(list(PROCEDURES))]
        run = Run.objects.create(
            car=car,
            procedure=procedure.name,
            procedure_version=1,
            measured_at=at,
            recorded_at=at,
            by=by,
            content="{}",
            digest=f"{number}-{seq}",
        )
        RunSummary.objects.create(run=run, pattern=draw.choice(procedure.patterns).code)
        RunLink.objects.create(entry=_entry(ticket, seq, "test", by, at), ticket=ticket, run=run)
    table = tables().get(family)
    Finding.objects.create(
        entry=_entry(ticket, 4, "finding", by, at),
        uid=uuid.uuid4(),
        ticket=ticket,
        complaint_uid=complaint.uid,
        certainty="confirmed",
        sentence=said,
        advice="no_restriction",
        cause=f"{family}.{draw.choice(table.suspects).code}" if table else "",
    )
    return ticket


def _entry(ticket: Any, seq: int, kind: str, by: Any, at: Any) -> Any:
    from jobs.models import Entry

    return Entry.objects.create(
        ticket=ticket, seq=seq, kind=kind, envelope="", digest=f"{ticket.pk}/{seq}", at=at, by=by
    )


def measure() -> int:
    """Fill, ask, print; 1 where the promise is not kept."""
    from django.db import connection
    from django.test.utils import CaptureQueriesContext

    from jobs.models import Complaint, Ticket
    from jobs.past_tickets import seen_before
    from shop.models import Person

    made = fill(random.Random(6), Person.objects.get(username="tomas"))
    slowest, most = 0.0, 0
    ticket = Ticket.objects.with_car().get(pk=made.pk)
    complaint = Complaint.objects.select_related("entry").get(ticket=ticket)
    for family in ("starts_badly", COMMONEST, ""):
        complaint.family = family
        with CaptureQueriesContext(connection) as asked:
            found = seen_before(complaint, ticket)
        ms = median_ms(lambda: seen_before(complaint, ticket))
        print(
            f"{family or 'no kind':14}{ms:8.1f} ms, {len(asked)} queries, "
            f"{found.compared} compared, {len(found.others)} shown"
        )
        slowest, most = max(slowest, ms), max(most, len(asked))
    print(f"promised: under {MOST_MS:.0f} ms and at most {MOST_QUERIES} queries")
    return 0 if slowest < MOST_MS and most <= MOST_QUERIES else 1


def main() -> int:
    """Once more, in a process that works on a shop of its own."""
    with tempfile.TemporaryDirectory() as folder:
        data = make_template(Path(folder))
        return subprocess.run(
            [sys.executable, "-m", "tests.bench.bench_similar"],
            cwd=ROOT,
            env=surroundings(data) | {"BENCH_INSIDE": "1"},
            check=False,
        ).returncode


if __name__ == "__main__":
    if os.environ.get("BENCH_INSIDE"):
        import django

        django.setup()
        sys.exit(measure())
    sys.exit(main())
