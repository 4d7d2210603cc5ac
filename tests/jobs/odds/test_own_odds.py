"""The shop's own weights: which win, what is refused, and what a judgement was made with."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra.django import TestCase

from jobs.actions import odds
from jobs.models import Entry, StartingOdds
from jobs.own_odds import digest_of, starts_of
from jobs.record.verify import faults
from jobs.suspects.knowledge import tables

FAMILY = "starts_badly"

pytestmark = pytest.mark.django_db


def change(by, why="seen often here", **starts):
    return odds.change(family=FAMILY, starts=starts, why=why, by=by)


def test_without_own_weights_the_tables_count():
    assert starts_of(FAMILY) == pytest.approx(tables()[FAMILY].starts)


def test_an_own_weight_counts_in_place_of_the_tables(owner):
    table = tables()[FAMILY]
    change(owner, weak_battery=400)
    weights = {one.code: one.start for one in table.suspects} | {"weak_battery": 400}
    total = sum(weights.values())
    want = {code: weight / total for code, weight in weights.items()}
    assert starts_of(FAMILY) == pytest.approx(want)


def test_the_latest_weight_counts(owner):
    change(owner, weak_battery=400)
    change(owner, weak_battery=3)
    change(owner, weak_battery=None)
    assert starts_of(FAMILY) == pytest.approx(tables()[FAMILY].starts)


def test_the_tables_own_number_gives_the_suspect_back_to_the_table(owner):
    change(owner, weak_battery=400)
    change(owner, weak_battery=tables()[FAMILY].suspect("weak_battery").start)
    assert StartingOdds.objects.standing()[FAMILY] == {}


def test_another_family_keeps_its_odds(owner):
    before = starts_of("overheats")
    change(owner, weak_battery=400)
    assert starts_of("overheats") == before


def test_what_stays_as_it_was_is_not_written(owner):
    change(owner, weak_battery=400)
    entry = change(owner, weak_battery=400, poor_ground=7, tired_starter=None)
    assert entry.data["starts"] == {"poor_ground": 7}


def test_the_entry_stands_in_the_shops_own_chain_with_before_after_and_why(owner):
    change(owner, weak_battery=400)
    entry = change(owner, weak_battery=30, why=" fewer of late ")
    assert (entry.ticket, entry.by, entry.data["why"]) == (None, owner, "fewer of late")
    assert entry.data["before"] == {"weak_battery": 400}
    assert entry.data["after"] == {"weak_battery": 30}


def test_the_record_holds_with_it(owner):
    change(owner, weak_battery=400)
    change(owner, weak_battery=None, poor_ground=9)
    assert list(faults()) == []


@pytest.mark.parametrize("start", [0, -1, 1001, 2.5, "20", True])
def test_what_is_no_weight_is_refused_by_name(owner, start):
    with pytest.raises(odds.NoWeight, match="The battery is flat or worn: "):
        change(owner, weak_battery=start)


def test_an_unknown_suspect_is_refused(owner):
    with pytest.raises(odds.UnknownSuspect, match="gremlins"):
        change(owner, gremlins=5)


def test_an_unknown_family_is_refused(owner):
    with pytest.raises(odds.UnknownFamily, match="gremlins"):
        odds.change(family="gremlins", starts={}, why="so", by=owner)


@pytest.mark.parametrize("why", ["", " \n"])
def test_a_weight_without_a_reason_is_refused(owner, why):
    with pytest.raises(odds.NeedsReason):
        change(owner, why=why, weak_battery=40)


def test_no_change_is_refused(owner):
    change(owner, weak_battery=40)
    with pytest.raises(odds.NothingChanged):
        change(owner, weak_battery=40, poor_ground=None)


def test_a_refusal_writes_nothing(owner):
    with pytest.raises(odds.UnknownSuspect):
        change(owner, weak_battery=40, gremlins=5)
    assert not Entry.objects.filter(kind="starting_odds").exists()


def test_a_form_sent_twice_makes_one_entry(owner):
    sent = {"family": FAMILY, "starts": {"weak_battery": 40}, "why": "so", "by": owner}
    first = odds.change(**sent, client_key="k" * 32)
    assert odds.change(**sent, client_key="k" * 32) == first


def forget(monkeypatch, code):
    """The table of a later version, without this suspect."""
    from dataclasses import replace

    table = tables()[FAMILY]
    kept = tuple(one for one in table.suspects if one.code != code)
    later = {**tables(), FAMILY: replace(table, suspects=kept)}
    for module in ("jobs.own_odds", "jobs.views.odds"):
        monkeypatch.setattr(f"{module}.tables", lambda: later)


def test_a_weight_of_a_suspect_that_is_gone_counts_for_nothing(owner, monkeypatch):
    change(owner, weak_battery=400)
    forget(monkeypatch, "weak_battery")
    starts = starts_of(FAMILY)
    assert "weak_battery" not in starts
    assert sum(starts.values()) == pytest.approx(1)


def test_such_a_weight_is_named_on_the_page(owner, monkeypatch, as_technician):
    change(owner, weak_battery=400)
    forget(monkeypatch, "weak_battery")
    page = as_technician.get(f"/odds/{FAMILY}/").content.decode()
    assert "One number of your own is of no account now" in page
    assert "(weak_battery)" in page


# ------------------------------------------------------------------ which numbers


def test_each_change_is_told_from_the_others(owner):
    told = [digest_of(FAMILY)]
    for starts in ({"weak_battery": 40, "poor_ground": 9}, {"weak_battery": 50}):
        change(owner, **starts)
        told.append(digest_of(FAMILY))
    change(owner, poor_ground=None)
    told.append(digest_of(FAMILY))
    assert len(set(told)) == len(told)


def test_another_family_is_told_the_same(owner):
    before = digest_of("overheats")
    change(owner, weak_battery=40)
    assert digest_of("overheats") == before


class AnyWeights(TestCase):
    """Whatever an owner types."""

    @settings(max_examples=15, deadline=None)
    @given(
        st.dictionaries(
            st.sampled_from([one.code for one in tables()[FAMILY].suspects]),
            st.none() | st.integers(1, 1000),
            min_size=1,
        )
    )
    def test_shares_sum_to_one_and_none_is_nought(self, starts) -> None:
        from shop.models import Person

        nell = Person.objects.create_person(username="nell", password="", name="N", role="owner")
        try:
            odds.change(family=FAMILY, starts=starts, why="so", by=nell)
        except odds.NothingChanged:
            return
        found = starts_of(FAMILY)
        assert set(found) == set(tables()[FAMILY].starts)
        assert sum(found.values()) == pytest.approx(1)
        assert min(found.values()) > 0
