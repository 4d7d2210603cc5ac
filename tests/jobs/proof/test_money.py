"""Money in parts that changed nothing, parts fitted twice, parts by condition."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest
from django.urls import reverse
from django.utils import timezone
from hypothesis import given
from hypothesis import strategies as st

from jobs.actions import swaps, tickets
from jobs.proof.money import FEW, Fitting, by_condition, fitted_twice, total
from shop.money import Money
from tests.jobs.proof.made import renewed, strap

FIRST = datetime(2026, 1, 5, tzinfo=UTC)
CONDITIONS = ("new", "rebuilt", "used")


def fitting(no: int, **more) -> Fitting:
    """The part fitted on the ticket of this number, so many days on."""
    made = Fitting(
        uid=str(no),
        ticket=no,
        car=1,
        parts=("Starter motor",),
        at=FIRST + timedelta(days=no),
        reason="pointed_to",
    )
    return replace(made, **more)


def euro(amount: int) -> Money:
    return Money(amount, "EUR")


# ------------------------------------------------------------------ sums


@given(
    st.lists(
        st.one_of(
            st.none(),
            st.builds(Money, st.integers(0, 10**9), st.sampled_from(["EUR", "JPY", "KWD"])),
        )
    )
)
def test_sums_lose_nothing_and_mix_no_currencies(costs):
    found = total(fitting(no, cost=cost) for no, cost in enumerate(costs))
    assert found.parts == len(costs)
    assert found.unknown == costs.count(None)
    for currency in ("EUR", "JPY", "KWD"):
        minor = sum(cost.minor for cost in costs if cost and cost.currency == currency)
        said = [money.minor for money in found.sums if money.currency == currency]
        assert sum(said) == minor
        assert len(said) <= 1


# ------------------------------------------------------------------ fitted twice


def test_a_part_that_comes_up_again_on_its_car_is_named_with_the_time_before():
    (pair,) = fitted_twice([fitting(31, parts=("starter motors, rebuilt",)), fitting(1)])
    assert (pair.first.uid, pair.again.uid, pair.days) == ("1", "31", 30)


@pytest.mark.parametrize(
    "other",
    [
        {"car": 2},
        {"ticket": 1},
        {"parts": ("Battery",)},
        {"parts": ()},
        {"reason": "due"},
        {"reason": "renewed_when_opened"},
        {"reason": "customer_asks"},
    ],
)
def test_another_car_part_or_reason_is_not_twice(other):
    assert fitted_twice([fitting(1), fitting(31, **other)]) == []


def test_fitted_three_times_is_twice_twice():
    pairs = fitted_twice([fitting(1), fitting(31), fitting(91)])
    assert [(pair.first.uid, pair.again.uid) for pair in pairs] == [("1", "31"), ("31", "91")]


# ------------------------------------------------------------------ by condition


def test_a_part_that_did_not_cure_and_was_replaced_counts_once():
    parts = [fitting(no, condition="used", cured=False if no < 2 else None) for no in range(6)]
    (row,) = by_condition(parts, {"1", "2"}, CONDITIONS)
    assert (row.fitted, row.not_cured, row.again, row.failed) == (6, 2, 2, 3)
    assert not row.too_few


def test_fewer_than_five_are_too_few_to_tell():
    rows = by_condition([fitting(no, condition="new") for no in range(FEW - 1)], (), CONDITIONS)
    assert [row.too_few for row in rows] == [True]


@given(st.lists(st.sampled_from([*CONDITIONS, ""]), max_size=30))
def test_every_part_stands_in_one_row(conditions):
    parts = [fitting(no, condition=code) for no, code in enumerate(conditions)]
    rows = by_condition(parts, (), CONDITIONS)
    assert sum(row.fitted for row in rows) == len(parts)
    assert len({row.condition for row in rows}) == len(rows)


# ------------------------------------------------------------------ the owner's page

PAGE = "/parts-money/"


def page_of(client, query: str = "") -> str:
    answer = client.get(f"{PAGE}{query}")
    assert answer.status_code == 200
    return " ".join(answer.content.decode().split())


def tried(ticket, owner, **facts):
    facts = {"part_in": "Starter motor", "without_test": True} | facts
    return swaps.add(ticket=ticket, by=owner, reason="none_of_these", facts=facts)


@pytest.mark.django_db
def test_a_part_without_a_test_before_or_after_is_counted_with_its_cost(as_owner, ticket, owner):
    tried(ticket, owner, cost_minor=21_400)
    page = page_of(as_owner)
    assert "1 part, €214.00" in page
    assert "No test pointed to it, and none showed what it did" in page
    assert f'<a href="{ticket.get_absolute_url()}#e' in page


@pytest.mark.django_db
def test_a_cost_that_nobody_wrote_down_is_not_nought(as_owner, ticket, owner):
    tried(ticket, owner, cost_minor=21_400)
    tried(ticket, owner, part_in="Battery")
    assert "2 parts, €214.00; the cost of 1 of them is not written down" in page_of(as_owner)


@pytest.mark.django_db
def test_only_unknown_costs_have_no_sum(as_owner, ticket, owner):
    tried(ticket, owner)
    assert "1 part, cost not written down" in page_of(as_owner)


@pytest.mark.django_db
def test_a_part_that_a_test_pointed_to_counts_once_the_repeat_shows_no_gain(
    as_owner, ticket, owner
):
    run = strap(ticket, owner).run_link.run
    facts = {"part_in": "Ground strap", "cost_minor": 1_480}
    swaps.add(ticket=ticket, by=owner, reason="pointed_to", pointed=[run], facts=facts)
    assert "€14.80" not in page_of(as_owner)
    strap(ticket, owner)
    page = page_of(as_owner)
    assert "The repeat of the test showed no gain" in page
    assert "1 part, €14.80" in page


@pytest.mark.django_db
def test_a_part_that_cured_or_needed_no_test_is_not_counted(as_owner, ticket, owner):
    run = strap(ticket, owner).run_link.run
    facts = {"part_in": "Ground strap", "cost_minor": 1_480}
    swaps.add(ticket=ticket, by=owner, reason="pointed_to", pointed=[run], facts=facts)
    renewed(ticket, owner)
    swaps.add(ticket=ticket, by=owner, reason="due", facts={"part_in": "Filter", "cost_minor": 990})
    page = page_of(as_owner)
    assert "2 parts that we fitted" in page
    assert "€" not in page


@pytest.mark.django_db
def test_what_others_fitted_is_no_part_of_it(as_owner, ticket, owner):
    facts = {"ours": False, "part_in": "a battery"}
    swaps.add(ticket=ticket, by=owner, reason="customer_asks", facts=facts)
    assert "a battery" not in page_of(as_owner)


@pytest.mark.django_db
def test_two_currencies_are_two_sums(as_owner, ticket, van, customer, owner, shop):
    tried(ticket, owner, cost_minor=21_400)
    shop.currency = "JPY"
    shop.save()
    other = tickets.open_ticket(car=van, customer=customer, by=owner)
    tried(other, owner, part_in="Battery", cost_minor=9_000)
    assert "2 parts, €214.00 and ¥9,000" in page_of(as_owner)


@pytest.mark.django_db
def test_the_page_of_one_car_holds_that_car_alone(as_owner, ticket, owner, customer):
    from shop.actions import cars

    other = cars.add(plate="HQ61 ABC", region="GB", make="Corvane", model="Skiff", by=owner)
    elsewhere = tickets.open_ticket(car=other, customer=customer, by=owner)
    tried(ticket, owner, cost_minor=21_400)
    tried(elsewhere, owner, part_in="Battery", cost_minor=9_000)
    assert "2 parts, €304.00" in page_of(as_owner)
    page = page_of(as_owner, f"?car={other.pk}")
    assert "1 part, €90.00" in page
    assert "€214.00" not in page
    assert (
        f"{PAGE}?car={other.pk}" in as_owner.get(reverse("car", args=[other.pk])).content.decode()
    )


@pytest.mark.django_db
@pytest.mark.parametrize("car", ["0", "x", "9" * 30, "-1", "١"])
def test_a_car_that_is_none_is_not_found(as_owner, car):
    assert as_owner.get(f"{PAGE}?car={car}").status_code == 404


@pytest.mark.django_db
def test_the_days_bound_what_is_counted(as_owner, ticket, owner):
    old = timezone.now() - timedelta(days=500)
    swaps.add(
        ticket=ticket,
        by=owner,
        reason="none_of_these",
        facts={"part_in": "Starter motor", "cost_minor": 21_400},
        at=old,
    )
    assert "€214.00" not in page_of(as_owner)
    day = timezone.localtime(old).date().isoformat()
    assert "€214.00" in page_of(as_owner, f"?since={day}&until={day}")


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("query", "fault"),
    [
        ("?since=2026-02-30", "is not a calendar date"),
        ("?since=2999-01-01", "is still to come"),
        ("?since=2026-03-02&until=2026-03-01", "This day comes after the last one."),
    ],
)
def test_a_day_that_cannot_be_is_said_and_stays(as_owner, query, fault):
    page = page_of(as_owner, query)
    assert fault in page
    assert f'value="{query.split("=")[1].split("&")[0]}"' in page


@pytest.mark.django_db
def test_a_part_that_was_fitted_again_on_a_later_visit_is_named(
    as_owner, ticket, van, customer, owner
):
    tried(ticket, owner, condition="used")
    later = tickets.open_ticket(car=van, customer=customer, by=owner)
    tried(later, owner, part_in="starter motor")
    page = page_of(as_owner)
    assert f"0 days after Starter motor, ticket {ticket.shown_number}" in page
    assert "Used" in page
    assert "too few to tell" in page


@pytest.mark.django_db
def test_only_the_owner_is_shown_the_way_there(as_technician, ticket):
    for where in (reverse("today"), reverse("car", args=[ticket.car_id])):
        assert PAGE not in as_technician.get(where).content.decode()


@pytest.mark.django_db
def test_no_report_prints_it(as_owner, ticket, owner):
    tried(ticket, owner, cost_minor=21_400)
    report = as_owner.get(f"{ticket.get_absolute_url()}report/").content.decode()
    assert "214.00" not in report
    assert "Money in parts" not in report
