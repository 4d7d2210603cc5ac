"""Who reaches what: every address of the project against the roles, made out of the resolver.

A new address is tested as soon as it exists. It fails here until its view says which capability
it needs (or that it is open to all), and until `Stocked` knows an example of what it shows.
"""

from __future__ import annotations

import re
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Any

import pytest
from django.apps import apps
from django.db import connection, transaction
from django.test import Client
from django.urls import URLPattern, URLResolver, get_resolver, reverse
from django.utils.html import escape

from shop import roles

NEEDS_NO_SIGN_IN = {"sign-in", "sign-out"}
"""The whole list: an address is added to it on purpose or not at all."""

ONLY_SENT_TO = 405


@dataclass(frozen=True)
class Address:
    """One address of the project."""

    name: str
    pattern: URLPattern

    @property
    def view(self) -> Any:
        return self.pattern.callback

    @property
    def asks_for(self) -> tuple[str, ...]:
        return tuple(self.pattern.pattern.converters)

    def __str__(self) -> str:
        return self.name


def addresses(resolver: URLResolver | None = None) -> list[Address]:
    """Every address, in the resolver's order."""
    found = []
    for pattern in (resolver or get_resolver()).url_patterns:
        if isinstance(pattern, URLResolver):
            found += addresses(pattern)
        else:
            found.append(Address(pattern.name or str(pattern.pattern), pattern))
    return found


ALL = addresses()
WITH_A_NUMBER = [a for a in ALL if a.asks_for]
GUARDED = [a for a in ALL if a.name not in NEEDS_NO_SIGN_IN]


# ------------------------------------------------------------------ one of everything


class Stocked:
    """A shop in which each address shows something: whose example goes into which address."""

    def __init__(self, ticket: Any, owner: Any) -> None:
        from jobs.actions import alterations, apart, findings, photos, swaps, tickets
        from measurements.actions import instruments
        from tests.jobs.logged import logged_test
        from tests.jobs.pictures import strap_test, upload

        self.ticket, self.owner = ticket, owner
        complaint = ticket.entries.get(kind="complaint")
        self.test = strap_test(ticket, owner)
        self.swap = swaps.add(ticket=ticket, by=owner, reason="pointed_to", facts={
            "part_out": "strap", "part_in": "strap, new",
        })  # fmt: skip
        finding = findings.add(
            ticket=ticket,
            by=owner,
            certainty="suspected",
            sentence="The strap is corroded.",
            advice="no_restriction",
            rests_on=[self.test.run_link.run],
        )
        work = findings.add_open_work(ticket=ticket, by=owner, what="tyres", status="open")
        note = tickets.add_note(ticket=ticket, words="Belt glazed.", by=owner)
        off = apart.take_apart(ticket=ticket, what="fuse pulled", by=owner)
        on = alterations.add(ticket=ticket, what="fan wired", by=owner)
        photo = photos.add_photos(ticket=ticket, uploads=[upload()], by=owner, subject="damage")
        meter = instruments.add(
            by=owner, kind="multimeter", name="yellow meter", accuracy="0.5 % + 2 digits"
        )
        self.numbers = {
            "finding": finding.seq,
            "swap": self.swap.seq,
            "test-log": logged_test(ticket, owner).seq,
            "test": self.test.seq,
            "ticket-complaint": complaint.seq,
            "suspect": complaint.seq,
            "entry": note.seq,
            "open-work": work.seq,
        }
        self.uids = {"apart": off.apart.uid, "alteration": on.alteration.uid}
        self.rows = {
            "car": ticket.car_id,
            "customer": ticket.customer_id,
            "person": owner.pk,
            "instrument": meter.pk,
            "limit": ticket.car_id,
        }
        self.frame = f"{photo.seq}a"

    def arguments(self, address: Address) -> dict[str, Any]:
        """An example for each part of an address."""
        return {part: self._example(address.name, part) for part in address.asks_for}

    def _example(self, name: str, part: str) -> Any:
        plain = {
            "number": self.ticket.number,
            "frame": self.frame,
            "size": "thumb",
            "revision": 1,
            "procedure": "voltage_drop",
            "family": "starts_badly",
            "suspect": "poor_ground",
        }
        if part in plain:
            return plain[part]
        table = {"seq": self.numbers, "uid": self.uids, "pk": self.rows}.get(part, {})
        for begins, value in table.items():
            if name.startswith(begins):
                return value
        raise LookupError(f"no example of {part!r} for the address {name!r}: give Stocked one")

    def url(self, address: Address) -> str:
        return reverse(address.name, kwargs=self.arguments(address))


@pytest.fixture
def stocked(ticket, owner, technician, counter) -> Stocked:
    """One of everything, and one person of each role."""
    return Stocked(ticket, owner)


@pytest.fixture
def browsers(stocked, owner, technician, counter) -> dict[str, Client]:
    """A browser of each role."""
    found = {}
    for person in (owner, technician, counter):
        found[person.role] = Client(raise_request_exception=False)
        found[person.role].force_login(person)
    return found


STAYS_WITH_THE_CAR = {"alteration-put-back"}
"""An alteration is put back on any later visit."""

MADE_ON_THE_SPOT = {"report", "report-pdf", "shop-logo", "ticket-check-in-sheet"}
"""Nothing to show yet, or needs what this machine may lack: refusals count, 404 or 503 may be."""


# ------------------------------------------------------------------ every view says who may


@pytest.mark.parametrize("address", ALL, ids=str)
def test_every_view_says_who_may(address):
    assert hasattr(address.view, "capability"), "use @allowed(...) of shop.access"
    if address.view.capability is None:
        assert address.name in NEEDS_NO_SIGN_IN
    else:
        assert roles.capability(address.view.capability)


def test_a_view_that_says_nothing_is_noticed():
    from django.urls import path

    new = Address("new", path("new/", lambda request: None, name="new"))
    with pytest.raises(AssertionError, match="allowed"):
        test_every_view_says_who_may(new)


def test_every_address_has_a_name_of_its_own():
    names = [a.name for a in ALL]
    assert len(names) == len(set(names))
    assert all(re.fullmatch(r"[a-z][a-z-]*", name) for name in names)


# ------------------------------------------------------------------ the matrix


@contextmanager
def as_if():
    """What happens in here has not happened."""
    with transaction.atomic():
        yield
        transaction.set_rollback(True)


def looked_at(browser: Client, url: str) -> Any:
    """The answer to somebody who comes to an address: looks at it, or sends where it only takes."""
    with as_if():
        answer = browser.get(url)
        return browser.post(url) if answer.status_code == ONLY_SENT_TO else answer


def test_nobody_is_led_to_the_sign_in_page(stocked):
    led = {}
    for address in GUARDED:
        answer = Client().get(stocked.url(address))
        if answer.status_code != ONLY_SENT_TO:
            led[address.name] = (answer.status_code, answer.get("Location", "").split("=")[0])
    assert set(led.values()) == {(302, f"{reverse('sign-in')}?next")}, led


def test_what_nobody_sends_is_not_taken(stocked):
    before = everything()
    answers = {a.name: Client().post(stocked.url(a), TYPED).status_code for a in GUARDED}
    assert set(answers.values()) <= {403, ONLY_SENT_TO}, answers
    assert everything() == before


@pytest.mark.parametrize("role", roles.ROLES)
def test_a_role_gets_every_page_that_is_for_it(stocked, browsers, role):
    refused = {}
    for address in GUARDED:
        if role in roles.capability(address.view.capability).roles:
            status = looked_at(browsers[role], stocked.url(address)).status_code
            may_be = (200, 404, 503) if address.name in MADE_ON_THE_SPOT else (200, 302, 303, 422)
            if status not in may_be:
                refused[address.name] = status
    assert refused == {}


@pytest.mark.parametrize("role", [role for role in roles.ROLES if role != roles.OWNER])
def test_a_role_is_told_why_a_page_is_not_for_it(stocked, browsers, role):
    wrong = {}
    for address in GUARDED:
        capability = roles.capability(address.view.capability)
        if role not in capability.roles:
            answer = looked_at(browsers[role], stocked.url(address))
            told = escape(roles.explain(capability.code)) in answer.content.decode()
            if (answer.status_code, told) != (403, True):
                wrong[address.name] = (answer.status_code, told)
    assert wrong == {}


@pytest.mark.parametrize("role", [role for role in roles.ROLES if role != roles.OWNER])
def test_what_the_wrong_role_sends_is_not_taken(stocked, browsers, role):
    before = everything()
    answers = {
        a.name: browsers[role].post(stocked.url(a), TYPED).status_code
        for a in GUARDED
        if role not in roles.capability(a.view.capability).roles
    }
    assert answers
    assert set(answers.values()) <= {403, ONLY_SENT_TO}, answers
    assert everything() == before


# ------------------------------------------------------------------ looking changes nothing

TYPED = {"name": "x", "words": "x", "what": "x", "reason": "pointed_to", "why": "x"}


def everything() -> dict[str, list[str]]:
    """Every row, as the database gives it, of every table but the sessions' and the sign-in
    guard's."""
    kept = {}
    with connection.cursor() as cursor:
        for model in apps.get_models(include_auto_created=True):
            table = model._meta.db_table
            if not table.startswith(("django_session", "axes_")):
                cursor.execute(f"SELECT * FROM {connection.ops.quote_name(table)}")  # noqa: S608
                kept[table] = sorted(map(repr, cursor.fetchall()))
    return kept


def test_looking_changes_nothing(stocked, browsers):
    before = everything()
    changing = []
    for address in GUARDED:
        for method in ("get", "head", "options"):
            getattr(browsers["owner"], method)(stocked.url(address))
        if everything() != before:
            changing.append(address.name)
            before = everything()
    assert changing == []


def test_a_changed_row_is_noticed(stocked):
    before = everything()
    stocked.owner.name = "Somebody else"
    stocked.owner.save()
    assert everything() != before


def test_what_is_sent_without_a_token_is_not_taken(stocked, owner):
    strict = Client(enforce_csrf_checks=True)
    strict.force_login(owner)
    before = everything()
    answers = {a.name: strict.post(stocked.url(a), TYPED).status_code for a in ALL}
    assert set(answers.values()) <= {403, ONLY_SENT_TO}, answers
    assert everything() == before


# ------------------------------------------------------------------ numbers that are none


NO_NUMBERS = ["0", "-1", "1e3", "9223372036854775808", "9" * 60, "١", "1'", "1%00", "%2e%2e", "1;x"]
NO_UIDS = ["00000000-0000-0000-0000-000000000000", "x", "0"]


OTHERS = {
    "uid": NO_UIDS,
    "procedure": ["no_such_test", "x"],
    "size": ["x", "huge"],
    "frame": ["0a", "999999a", "a", "9" * 40 + "a", "1" + "a" * 50],
}


def with_other(url: str, value: Any, other: str) -> str:
    """The address with one of its parts exchanged."""
    for end in ("/", "."):
        url = url.replace(f"/{value}{end}", f"/{other}{end}", 1)
    return url


def test_what_is_not_there_is_not_found(stocked, browsers):
    answered, tried = {}, 0
    for address in WITH_A_NUMBER:
        shown = stocked.url(address)
        for part, value in stocked.arguments(address).items():
            for other in OTHERS.get(part, NO_NUMBERS):
                url = with_other(shown, value, other)
                if url != shown:
                    tried += 1
                    status = looked_at(browsers["owner"], url).status_code
                    if status != 404:
                        answered[url] = status
    assert answered == {}
    assert tried > len(WITH_A_NUMBER)


def test_a_part_of_one_ticket_is_not_found_under_another(stocked, browsers, van, customer):
    """A photo, a test or a swap of ticket 1 asked for as one of ticket 2."""
    from jobs.actions import tickets

    other = tickets.open_ticket(car=van, customer=customer, by=stocked.owner)
    found = {}
    for address in WITH_A_NUMBER:
        example = stocked.arguments(address)
        of_a_ticket = "number" in example and {"seq", "frame", "uid"} & set(example)
        if of_a_ticket and address.name not in STAYS_WITH_THE_CAR:
            url = reverse(address.name, kwargs=example | {"number": other.number})
            status = looked_at(browsers["owner"], url).status_code
            if status != 404:
                found[address.name] = status
    assert found == {}


# ------------------------------------------------------------------ headers


POLICY = (
    "default-src 'none'", "script-src 'self'", "style-src 'self'", "form-action 'self'",
    "base-uri 'none'", "object-src 'none'", "frame-ancestors 'none'",
)  # fmt: skip


def assert_guarded(answer: Any) -> None:
    """The headers that every answer carries."""
    policy = answer["Content-Security-Policy"]
    if "sandbox" not in policy:  # a picture or a file may be held tighter
        assert all(rule in policy for rule in POLICY)
    assert "unsafe" not in policy
    assert answer["X-Content-Type-Options"] == "nosniff"
    assert answer["X-Frame-Options"] == "DENY"
    assert answer["Referrer-Policy"] in ("same-origin", "no-referrer")
    assert "no-store" in answer["Cache-Control"]
    assert "Access-Control-Allow-Origin" not in answer
    if answer.get("Content-Type", "").startswith("text/"):
        assert "charset=utf-8" in answer["Content-Type"]


def test_every_answer_carries_the_guarding_headers(stocked, browsers):
    for address in ALL:
        url = stocked.url(address)
        assert_guarded(browsers["owner"].get(url))
        assert_guarded(browsers["counter"].head(url))
        assert_guarded(Client().get(url))
        with as_if():
            assert_guarded(browsers["technician"].post(url))


def test_a_page_that_is_not_there_carries_them(browsers):
    for browser in (browsers["owner"], Client()):
        answer = browser.get("/no/such/page/")
        assert answer.status_code == 404
        assert_guarded(answer)


def test_a_stale_form_carries_them(owner):
    answer = Client(enforce_csrf_checks=True).post(reverse("sign-in"), {"username": "x"})
    assert answer.status_code == 403
    assert_guarded(answer)


def test_our_own_fault_carries_them_and_a_number(browsers, monkeypatch, caplog):
    from jobs import today

    def broken() -> None:
        raise RuntimeError("planted")

    monkeypatch.setattr(today, "groups", broken)
    answer = browsers["owner"].get(reverse("today"))
    assert answer.status_code == 500
    assert_guarded(answer)
    number = re.search(r"error <b>([0-9a-f]{8})</b>", answer.content.decode()).group(1)
    assert f"error {number} at /" in caplog.text
    assert "planted" not in answer.content.decode()


@pytest.mark.parametrize("host", ["evil.example", "testserver.evil.example", "a b", "x" * 300])
def test_another_host_name_is_refused(owner, host):
    answer = Client().get(reverse("sign-in"), HTTP_HOST=host)
    assert answer.status_code == 400
    assert_guarded(answer)


def test_too_many_fields_are_refused_in_words(browsers):
    answer = browsers["owner"].post(reverse("person-add"), {f"f{n}": "x" for n in range(2_100)})
    assert answer.status_code == 400
    assert "The form holds too many fields." in answer.content.decode()
    assert_guarded(answer)


def test_a_query_that_is_no_text_is_answered(browsers):
    for query in ("q=%00", "q=%ff%fe", "q=%C3%28", "words=%00", "%00=1"):
        for page in ("find", "tickets", "cars", "customers"):
            assert browsers["owner"].get(f"{reverse(page)}?{query}").status_code in (200, 302)


def test_a_refusal_leaves_no_broken_transaction(stocked, browsers):
    browsers["counter"].get(reverse("people"))
    with transaction.atomic(), connection.cursor() as cursor:
        cursor.execute("SELECT 1")
        assert cursor.fetchone() == (1,)
