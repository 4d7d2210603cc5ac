"""The pages of the starting odds: who sees them, who changes them, what counting offers."""

from __future__ import annotations

import re

import pytest
from django.urls import reverse

from jobs.actions import odds
from jobs.models import Entry, StartingOdds
from jobs.own_odds import starts_of
from jobs.record.append import append
from jobs.suspects.counted import LEAST_CASES, with_counts
from jobs.suspects.knowledge import tables
from tests.jobs.similar.past import a_car, past_ticket

FAMILY = "starts_badly"
PAGE, CHANGE, COUNTED = (
    reverse(name, args=[FAMILY]) for name in ("odds-of-family", "odds-change", "odds-take-counted")
)

pytestmark = pytest.mark.django_db


def text_of(answer) -> str:
    return answer.content.decode()


def own() -> dict[str, int]:
    rows = StartingOdds.objects.standing().get(FAMILY, {})
    return {code: row.start for code, row in rows.items()}


@pytest.fixture
def five(customer, owner):
    """Five cars that started badly: four for their battery, one for a ground."""
    causes = ["weak_battery"] * 4 + ["poor_ground"]
    for number, cause in enumerate(causes):
        car = a_car(owner, f"QX 8{number} ZZ")
        past_ticket(car, customer, owner, cause=f"{FAMILY}.{cause}")


def shown_on(page: str) -> str:
    return re.search(r'name="shown" value="(\w+)"', page)[1]


# ------------------------------------------------------------------ looking


def test_every_table_has_its_page(as_technician):
    page = text_of(as_technician.get(reverse("odds")))
    for family in tables():
        assert reverse("odds-of-family", args=[family]) in page


def test_the_shops_links_lead_there(as_technician):
    assert f'href="{reverse("odds")}"' in text_of(as_technician.get("/"))


def test_the_counter_is_not_led_there(as_counter):
    assert f'href="{reverse("odds")}"' not in text_of(as_counter.get("/"))


def test_a_page_says_what_is_judgement(as_technician):
    page = text_of(as_technician.get(PAGE))
    assert "Numbers are this shop&#x27;s judgement" in page
    assert "A number is judgement unless it says “counted”." in page


def test_a_technician_sees_own_numbers_and_no_boxes(as_technician, owner):
    odds.change(family=FAMILY, starts={"weak_battery": 437}, why="so", by=owner)
    page = text_of(as_technician.get(PAGE))
    assert ">437</span>" in page
    assert 'name="weight_weak_battery"' not in page


@pytest.mark.parametrize("url", [CHANGE, COUNTED])
def test_a_technician_changes_nothing(as_technician, url):
    assert as_technician.post(url, {"weight_weak_battery": "5", "why": "so"}).status_code == 403
    assert own() == {}


def test_a_family_without_a_table_is_not_found(as_owner):
    for url in (PAGE, CHANGE, COUNTED):
        elsewhere = url.replace(FAMILY, "other")
        answer = as_owner.get(elsewhere) if url == PAGE else as_owner.post(elsewhere)
        assert answer.status_code == 404


# ------------------------------------------------------------------ changing


def test_what_the_owner_types_counts_and_stands_in_the_history(as_owner):
    answer = as_owner.post(CHANGE, {"weight_weak_battery": "41", "why": "Old fleet here."})
    assert (answer.status_code, answer["Location"]) == (303, PAGE)
    assert own() == {"weak_battery": 41}
    page = text_of(as_owner.get(PAGE))
    assert "The battery is flat or worn: 20 → 41" in page
    assert "Old fleet here." in page and "Nell Aldous" in page


def test_an_emptied_box_goes_back_to_the_table(as_owner, owner):
    odds.change(family=FAMILY, starts={"weak_battery": 41, "poor_ground": 5}, why="so", by=owner)
    as_owner.post(CHANGE, {"weight_weak_battery": "", "weight_poor_ground": "5", "why": "no"})
    assert own() == {"poor_ground": 5}
    assert "The battery is flat or worn: 41 → 20, the table’s" in text_of(as_owner.get(PAGE))


def test_one_button_gives_all_back_whatever_stands_in_the_boxes(as_owner, owner):
    odds.change(family=FAMILY, starts={"weak_battery": 41, "poor_ground": 5}, why="so", by=owner)
    as_owner.post(CHANGE, {"weight_weak_battery": "x", "back": "1", "why": "Start anew."})
    assert own() == {}


@pytest.mark.parametrize("typed", ["0", "1001", "2.5", "x", "-3", "٣"])
def test_what_is_no_weight_is_refused_and_stays_in_its_box(as_owner, typed):
    answer = as_owner.post(CHANGE, {"weight_weak_battery": typed, "why": "so"})
    page = text_of(answer)
    assert answer.status_code == 422
    assert f"{typed} is not a whole number from 1 to 1000." in page
    assert f'value="{typed}"' in page
    assert own() == {}


def test_without_a_reason_nothing_is_saved_and_nothing_lost(as_owner):
    answer = as_owner.post(CHANGE, {"weight_weak_battery": "41", "why": " "})
    page = text_of(answer)
    assert answer.status_code == 422
    assert "Say why" in page and 'value="41"' in page
    assert own() == {}


def test_no_change_is_said(as_owner):
    answer = as_owner.post(CHANGE, {"why": "so"})
    assert answer.status_code == 422
    assert "Nothing was changed" in text_of(answer)


def test_an_entry_that_says_no_more_than_it_must_is_shown(as_technician, owner):
    data = {"family": FAMILY, "starts": {"weak_battery": 41, "gremlins": None}, "why": "so"}
    append(ticket=None, kind="starting_odds", data=data, by=owner)
    page = text_of(as_technician.get(PAGE))
    assert "The battery is flat or worn: not known → 41" in page
    assert "Gremlins: not known → the table’s" in page


# ------------------------------------------------------------------ counting


def test_fewer_than_five_tickets_offer_nothing(as_owner, customer, owner):
    for number in range(LEAST_CASES - 1):
        car = a_car(owner, f"QX 8{number} ZZ")
        past_ticket(car, customer, owner, cause=f"{FAMILY}.weak_battery")
    page = text_of(as_owner.get(PAGE))
    assert "4 of your last 4 tickets turned out to be: the battery is flat or worn" in page
    assert "Too few to move the numbers by" in page
    assert COUNTED not in page


def test_five_tickets_make_an_offer_and_change_nothing_by_themselves(as_owner, five):
    page = text_of(as_owner.get(PAGE))
    assert "4 of your last 5 tickets turned out to be: the battery is flat or worn" in page
    assert "1 of your last 5 tickets turned out to be: a post, clamp or ground is poor" in page
    assert COUNTED in page
    assert own() == {}
    assert starts_of(FAMILY) == pytest.approx(tables()[FAMILY].starts)


def test_the_offer_shows_each_weight_before_and_after(as_owner, five):
    starts = {one.code: one.start for one in tables()[FAMILY].suspects}
    after = with_counts(starts, {"weak_battery": 4, "poor_ground": 1})
    page = text_of(as_owner.get(PAGE))
    label = "The battery is flat or worn"
    row = re.search(rf'<tr><th scope="row">{label}</th>.*?</tr>', page, re.DOTALL)[0]
    numbers = re.findall(r'class="value"[^>]*>(?:<b>)?(\d+)', row)
    assert [int(number) for number in numbers] == [4, 20, after["weak_battery"]]


def test_a_technician_sees_the_offer_and_cannot_take_it(as_technician, five):
    page = text_of(as_technician.get(PAGE))
    assert "4 of your last 5" in page
    assert COUNTED not in page


def test_taken_numbers_count_as_counted_with_the_reason_that_was_offered(as_owner, five):
    page = text_of(as_owner.get(PAGE))
    why = re.search(r'name="why"[^>]*id="counted_why"[^>]*>\s*([^<]+)<', page)[1]
    answer = as_owner.post(COUNTED, {"shown": shown_on(page), "why": why})
    assert answer.status_code == 303
    rows = StartingOdds.objects.standing()[FAMILY]
    starts = {one.code: one.start for one in tables()[FAMILY].suspects}
    after = with_counts(starts, {"weak_battery": 4, "poor_ground": 1})
    assert own() == {code: after[code] for code in ("weak_battery", "poor_ground")}
    assert all(row.counted for row in rows.values())
    assert Entry.objects.get(kind="starting_odds").data["why"].startswith("Counted: 4 of your")
    assert "already go by these counts" in text_of(as_owner.get(PAGE))


def test_no_ticket_counts_twice(as_owner, five, customer, owner):
    as_owner.post(COUNTED, {"shown": shown_on(text_of(as_owner.get(PAGE))), "why": "counted"})
    past_ticket(a_car(owner, "QX 89 ZZ"), customer, owner, cause=f"{FAMILY}.weak_battery")
    as_owner.post(COUNTED, {"shown": shown_on(text_of(as_owner.get(PAGE))), "why": "counted"})
    starts = {one.code: one.start for one in tables()[FAMILY].suspects}
    after = with_counts(starts, {"weak_battery": 5, "poor_ground": 1})
    assert own() == {code: after[code] for code in ("weak_battery", "poor_ground")}


def test_counts_are_added_to_the_shops_own_judgement(as_owner, five, owner):
    odds.change(family=FAMILY, starts={"tired_starter": 60}, why="so", by=owner)
    as_owner.post(COUNTED, {"shown": shown_on(text_of(as_owner.get(PAGE))), "why": "counted"})
    starts = {one.code: one.start for one in tables()[FAMILY].suspects} | {"tired_starter": 60}
    after = with_counts(starts, {"weak_battery": 4, "poor_ground": 1})
    want = {code: after[code] for code in ("tired_starter", "weak_battery", "poor_ground")}
    assert own() == want


def test_numbers_that_moved_on_meanwhile_are_not_taken(as_owner, five, customer, owner):
    shown = shown_on(text_of(as_owner.get(PAGE)))
    past_ticket(a_car(owner, "QX 89 ZZ"), customer, owner, cause=f"{FAMILY}.poor_ground")
    answer = as_owner.post(COUNTED, {"shown": shown, "why": "counted"})
    page = text_of(answer)
    assert answer.status_code == 422
    assert "have changed since the page was shown" in page
    assert own() == {}
    assert shown_on(page) != shown


def test_an_offer_sent_twice_is_taken_once(as_owner, five):
    sent = {"shown": shown_on(text_of(as_owner.get(PAGE))), "why": "so", "client_key": "a" * 32}
    assert [as_owner.post(COUNTED, sent).status_code for _again in range(2)] == [303, 303]
    assert Entry.objects.filter(kind="starting_odds").count() == 1
