"""Help: every page opens for everybody, and the tests' page says what their declarations say."""

from __future__ import annotations

import re
from html import unescape

import pytest
from django.urls import reverse

from measurements.core.explain import limits_of
from measurements.procedures import PROCEDURES

PAGES = (
    "help",
    "help-start",
    "help-marks",
    "help-record",
    "help-roles",
    "help-procedures",
    "help-reference",
    "help-simulation",
)


def text(answer) -> str:
    return unescape(re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", answer.content.decode())))


@pytest.mark.parametrize("name", PAGES)
@pytest.mark.parametrize("who", ["as_owner", "as_technician", "as_counter"])
def test_everybody_may_read_help(request, who, name):
    answer = request.getfixturevalue(who).get(reverse(name))
    assert answer.status_code == 200
    assert answer.content.decode().count("<h1") == 1


@pytest.mark.parametrize("name", PAGES)
def test_no_help_page_calls_a_car_safe(as_owner, technician, name):
    assert not re.search(r"\b(is safe|passed|cleared|OK)\b", text(as_owner.get(reverse(name))))


def test_every_help_page_is_reached_from_the_first(as_owner, technician):
    page = as_owner.get(reverse("help")).content.decode()
    assert all(reverse(name) in page for name in PAGES if name != "help")


def test_the_page_of_the_tests_has_each_id_once(as_owner):
    ids = re.findall(r'\sid="([^"]+)"', as_owner.get(reverse("help-procedures")).content.decode())
    assert len(ids) == len(set(ids))


@pytest.mark.parametrize("name", PROCEDURES)
def test_a_test_is_explained_in_its_own_words(as_technician, name):
    page, declared = text(as_technician.get(reverse("help-procedures"))), PROCEDURES[name]
    said = [declared.title, declared.purpose, declared.proves_nothing_when]
    said += [caution.danger for caution in declared.cautions]
    said += [caution.text for caution in declared.cautions]
    said += [item.text for item in declared.preconditions]
    said += [pattern.label for pattern in declared.patterns]
    said += [formula.text for formula in declared.formulas]
    said += [formula.source for formula in declared.formulas]
    assert [words for words in said if " ".join(words.split()) not in page] == []


def test_an_authority_named_from_memory_says_so(as_owner):
    page = text(as_owner.get(reverse("help-procedures")))
    assert "HSE HSG261; common practice (from memory)" in page
    assert "occupational limits for carbon monoxide (from memory)" not in page


def test_limits_stand_with_their_source():
    limits = limits_of(PROCEDURES["charging"], "metric")
    idle = next(line for line in limits if line.where == "idle, volts at the battery")
    assert idle.bounds.replace("\N{NO-BREAK SPACE}", " ") == "13.8 V to 14.8 V"
    assert idle.source == "common practice"


def test_limits_of_each_way_to_do_a_test_are_listed():
    ways = {line.where.split(":")[0] for line in limits_of(PROCEDURES["voltage_drop"], "metric")}
    assert len(ways) > 1


def test_where_the_data_lies_is_told_to_the_owner_alone(client, owner, technician, settings):
    for person, told in ((owner, True), (technician, False)):
        client.force_login(person)
        page = client.get(reverse("help-record")).content.decode()
        assert (str(settings.DATA) in page) == told
