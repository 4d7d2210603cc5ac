"""The cast and the machinery that all tests share."""

from __future__ import annotations

import socket
from pathlib import Path

import pytest

pytest_plugins = ["tests.needs"]


@pytest.fixture(autouse=True)
def no_network(monkeypatch: pytest.MonkeyPatch) -> None:
    """Tests reach this machine and nothing else."""
    real = socket.socket.connect

    def connect(self: socket.socket, address: object) -> None:
        if isinstance(address, tuple) and address[0] not in {"127.0.0.1", "::1", "localhost"}:
            raise OSError(f"a test tried to reach {address[0]}")
        real(self, address)

    monkeypatch.setattr(socket.socket, "connect", connect)


@pytest.fixture(autouse=True)
def data_folder(tmp_path: Path, settings) -> Path:
    """Each test has its own folder for photos and secrets."""
    settings.DATA = tmp_path / "data"
    settings.DATA.mkdir()
    settings.PHOTO_FOLDER = settings.DATA / "photos"
    settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]  # quick, not safe
    return settings.DATA


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
