"""What a ticket's page costs, against a framework page of 50 rows in the same run.

Run by hand, on a machine that does nothing else: python -m tests.bench.bench_ticket_page
Two tickets with 12 photos each, one with 30 readings, one with 300. Queries are counted, processor
time is measured through the whole application, signed in. `--profile` shows where it goes.
"""

from __future__ import annotations

import cProfile
import os
import pstats
import subprocess
import sys
import tempfile
from pathlib import Path
from typing import Any

from tests.live import ROOT, make_template, surroundings

ROUNDS = 40
TURNS = 3
MOST_QUERIES = 15
TARGET = 5.0
PHOTOS = 12
SIZES = (30, 300)
TESTS = {
    "voltage_drop": "corroded_strap_hot",
    "charging": "holds_under_load",
    "oil_level": "between",
    "pressure_hold": "small_leak_cold",
    "spark_plugs": "all_normal",
}


def a_ticket(by: Any, readings: int) -> Any:
    """A ticket with so many readings or a few more, from all five tests in turn, and 12 photos."""
    from itertools import cycle

    from jobs.actions import photos, runs, tickets
    from measurements.models import Reading
    from shop.actions import cars, customers
    from tests.jobs.pictures import picture, upload
    from tests.measurements.readings_files import Case

    customer = customers.add(name="Odile Verhagen", phones=["01632 960123"], by=by)
    car = cars.add(
        plate=f"TS58 K{readings}",
        region="GB",
        make="Corvane",
        model="Hauler 22",
        year=2016,
        fuel="petrol",
        engine={"layout": "line", "cylinders": 4},
        owner=customer,
        by=by,
    )
    ticket = tickets.open_ticket(
        car=car, customer=customer, by=by, facts={"odometer_in": 148_230, "odometer_unit": "km"}
    )
    tickets.add_complaint(
        ticket=ticket,
        words="Turns over slowly once it is hot.",
        by=by,
        family="starts_badly",
        conditions={},
    )
    for procedure, case in cycle(TESTS.items()):
        if Reading.objects.filter(run__car=car).count() >= readings:
            break
        runs.record_test(
            ticket=ticket,
            procedure=procedure,
            typed=Case(procedure, case).data["typed"],
            by=by,
            fault_present="yes",
            state_of_car="hot",
        )
    for number in range(PHOTOS):
        photos.add_photos(
            ticket=ticket,
            by=by,
            subject="connector",
            caption=f"Pin {number}",
            uploads=[upload(picture(colour=(20 * number, 90, readings % 255)))],
        )
    return ticket


def cookie_of(person: Any) -> str:
    """A session in which the person is signed in."""
    from django.conf import settings
    from django.test import Client

    client = Client()
    client.force_login(person)
    return f"{settings.SESSION_COOKIE_NAME}={client.cookies[settings.SESSION_COOKIE_NAME].value}"


def queries(application: Any, path: str, cookie: str) -> int:
    """How many one request asks, session and person included."""
    from django.db import connection
    from django.test.utils import CaptureQueriesContext

    from tests.bench.floor_page import processor_ms

    processor_ms(application, path, 1, cookie)
    with CaptureQueriesContext(connection) as asked:
        processor_ms(application, path, 1, cookie)
    return len(asked) // 6  # five to warm up and one


def floor_ms() -> float:
    """The page of 50 rows, in a process of its own."""
    done = subprocess.run(
        [sys.executable, "-m", "tests.bench.floor_page", str(ROUNDS)],
        cwd=ROOT,
        check=True,
        capture_output=True,
        text=True,
    )
    return float(done.stdout)


def measure() -> int:
    """Fill, measure, print; 1 where a target is missed."""
    from django.core.wsgi import get_wsgi_application

    from measurements.models import Reading
    from shop.models import Person
    from tests.bench.floor_page import processor_ms

    application = get_wsgi_application()
    technician = Person.objects.get(username="tomas")
    tickets = [a_ticket(technician, size) for size in SIZES]
    cookie = cookie_of(technician)
    paths = [ticket.get_absolute_url() for ticket in tickets]
    if "--profile" in sys.argv:
        return profile(application, paths[0], cookie)
    # Turn about, and the smallest median of each: others on the machine only ever add.
    floor = min(floor_ms() for _ in range(TURNS))
    print(f"page of 50 rows, framework alone: {floor:.2f} ms of processor time")
    missed = False
    for ticket, path, size in zip(tickets, paths, SIZES, strict=True):
        spent = min(processor_ms(application, path, ROUNDS, cookie) for _ in range(TURNS))
        asked = queries(application, path, cookie)
        readings = Reading.objects.filter(run__car=ticket.car).count()
        ratio = spent / floor
        held = asked <= MOST_QUERIES and (size != SIZES[0] or ratio < TARGET)
        missed |= not held
        print(
            f"{readings} readings, {ticket.run_links.count()} tests, {PHOTOS} photos:"
            f" {spent:.2f} ms, ratio {ratio:.1f}, {asked} queries"
            f"{'' if held else '  <- missed'}"
        )
    print(f"targets: at most {MOST_QUERIES} queries in both, ratio below {TARGET} in the first")
    return 1 if missed else 0


def profile(application: Any, path: str, cookie: str) -> int:
    """Where the first page's time goes."""
    from tests.bench.floor_page import processor_ms

    processor_ms(application, path, 1, cookie)
    watched = cProfile.Profile()
    watched.runcall(processor_ms, application, path, 30, cookie)
    pstats.Stats(watched).sort_stats("cumulative").print_stats(70)
    return 0


def main() -> int:
    """Once more, in a process that works on a shop of its own."""
    with tempfile.TemporaryDirectory() as folder:
        data = make_template(Path(folder))
        return subprocess.run(
            [sys.executable, "-m", "tests.bench.bench_ticket_page", *sys.argv[1:]],
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
