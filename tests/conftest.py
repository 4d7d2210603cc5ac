"""The cast and the machinery that all tests share."""

from __future__ import annotations

import itertools
import socket
from collections.abc import Iterator
from pathlib import Path

import pytest

pytest_plugins = ["tests.needs"]

LONGEST_FIRST = ("tests/browser", "tests/kill", "tests/test_access.py", "tests/hostile")


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """The long files come first, so that no worker waits for another at the end."""

    def place(item: pytest.Item) -> int:
        begins = (item.nodeid.startswith(long) for long in LONGEST_FIRST)
        return next((n for n, found in enumerate(begins) if found), len(LONGEST_FIRST))

    items.sort(key=place)


def pytest_configure() -> None:
    """What costs time and is nobody's subject here."""
    from django.conf import settings

    settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]  # quick, not safe
    settings.WHITENOISE_AUTOREFRESH = True  # else each browser of a test lists all static files


@pytest.fixture(autouse=True)
def no_network(monkeypatch: pytest.MonkeyPatch) -> None:
    """Tests reach this machine and nothing else."""
    real = socket.socket.connect

    def connect(self: socket.socket, address: object) -> None:
        if isinstance(address, tuple) and address[0] not in {"127.0.0.1", "::1", "localhost"}:
            raise OSError(f"a test tried to reach {address[0]}")
        real(self, address)

    monkeypatch.setattr(socket.socket, "connect", connect)


@pytest.fixture(scope="session")
def fresh_folders(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Path]:
    """A new name each time; `tmp_path` would look through those of all earlier tests for it."""
    base = tmp_path_factory.mktemp("tests")
    return (base / str(number) for number in itertools.count())


@pytest.fixture(autouse=True)
def data_folder(fresh_folders: Iterator[Path], monkeypatch: pytest.MonkeyPatch) -> Path:
    """Each test has its own folder for photos and secrets."""
    from django.conf import settings

    folder = next(fresh_folders)
    folder.mkdir()
    monkeypatch.setattr(settings, "DATA", folder)
    monkeypatch.setattr(settings, "PHOTO_FOLDER", folder / "photos")
    return folder


@pytest.fixture
def shop(db):
    """The shop's profile."""
    from shop.models import Profile

    profile, _ = Profile.objects.update_or_create(
        pk=1,
        defaults={
            "name": "Kestrel Yard Repairs",
            "address": "4 Ropewalk, Tarnsea",
            "phone": "01632 960001",
            "region": "GB",
            "currency": "EUR",
            "time_zone": "Europe/London",
        },
    )
    return profile


def _person(username: str, name: str, role: str):
    from shop.models import Person

    return Person.objects.create_person(
        username=username, password="a long enough word", name=name, role=role
    )


@pytest.fixture
def owner(shop):
    """Owns the shop and works in it."""
    return _person("nell", "Nell Aldous", "owner")


@pytest.fixture
def technician(shop):
    """Works at the cars."""
    return _person("tomas", "Tomas Reyk", "technician")


@pytest.fixture
def counter(shop):
    """Works at the counter."""
    return _person("ida", "Ida Marsh", "counter")


@pytest.fixture
def customer(owner):
    """Brings the van."""
    from shop.actions import customers

    return customers.add(name="Odile Verhagen", phones=["01632 960123"], by=owner)


@pytest.fixture
def van(owner, customer):
    """A diesel van with four cylinders in line."""
    from shop.actions import cars

    return cars.add(
        plate="TS58 KLV",
        region="GB",
        make="Corvane",
        model="Hauler 22",
        year=2016,
        fuel="diesel",
        engine={"layout": "line", "cylinders": 4},
        owner=customer,
        by=owner,
    )


@pytest.fixture
def ticket(van, customer, owner):
    """The van's open ticket, with one complaint."""
    from jobs import words
    from jobs.actions import tickets

    opened = tickets.open_ticket(
        car=van, customer=customer, by=owner, facts={"odometer_in": 148_230, "odometer_unit": "km"}
    )
    tickets.add_complaint(
        ticket=opened,
        words="Turns over slowly once it is hot.",
        by=owner,
        family="starts_badly",
        conditions=words.read_conditions({"engine_temperature": ["hot"]}),
    )
    return opened


@pytest.fixture
def as_owner(client, owner):
    """A browser in which the owner is signed in."""
    client.force_login(owner)
    return client


@pytest.fixture
def as_technician(client, technician):
    """A browser in which the technician is signed in."""
    client.force_login(technician)
    return client


@pytest.fixture
def as_counter(client, counter):
    """A browser in which the counter person is signed in."""
    client.force_login(counter)
    return client


@pytest.fixture(scope="session")
def django_db_modify_db_settings(
    django_db_modify_db_settings_parallel_suffix, tmp_path_factory: pytest.TempPathFactory
) -> None:
    """On SQLite a file with production's pragmas, but for the wait for the disk."""
    from django.db import connections

    from shop import environment

    settings = connections["default"].settings_dict
    if settings["ENGINE"].endswith("sqlite3"):
        file = tmp_path_factory.mktemp("database") / "test.sqlite3"
        settings["TEST"]["NAME"] = str(file)
        settings["OPTIONS"] = environment.sqlite(file, synchronous="OFF")["OPTIONS"]
