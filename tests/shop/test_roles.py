"""Who may do what, as the shop's people need it."""

from types import SimpleNamespace

import pytest

from shop.roles import CAPABILITIES, ROLES, UnknownCapability, access_table, can, explain


def person(role, *, is_active=True):
    return SimpleNamespace(role=role, is_active=is_active)


@pytest.mark.parametrize("capability", [c.code for c in CAPABILITIES])
def test_the_owner_may_do_everything(capability):
    assert can(person("owner"), capability)


@pytest.mark.parametrize(
    "capability",
    [
        "see_tickets",
        "open_tickets",
        "move_tickets",
        "hand_over",
        "record_complaints",
        "add_photos",
        "record_consent",
        "enter_prices",
        "keep_customers",
        "keep_cars",
        "see_reports",
    ],
)
def test_the_counter_keeps_customers_complaints_photos_consent_and_money(capability):
    assert can(person("counter"), capability)


@pytest.mark.parametrize(
    "capability",
    [
        "record_tests",
        "record_swaps",
        "record_apart",
        "record_alterations",
        "write_findings",
        "issue_reports",
        "see_working_notes",
        "keep_instruments",
        "keep_limits",
        "shop_profile",
        "money_settings",
        "people",
        "erase_customers",
        "check_record",
    ],
)
def test_the_counter_alters_no_evidence_and_no_settings(capability):
    assert not can(person("counter"), capability)


@pytest.mark.parametrize(
    "capability",
    [
        "open_tickets",
        "record_tests",
        "add_photos",
        "record_swaps",
        "write_findings",
        "issue_reports",
        "keep_customers",
    ],
)
def test_a_technician_works_at_the_car(capability):
    assert can(person("technician"), capability)


@pytest.mark.parametrize("capability", ["money_settings", "people", "shop_profile"])
def test_a_technician_changes_no_settings_of_the_workshop(capability):
    assert not can(person("technician"), capability)


@pytest.mark.parametrize("capability", [c.code for c in CAPABILITIES])
@pytest.mark.parametrize(
    "nobody",
    [
        None,
        SimpleNamespace(is_active=False),
        person("owner", is_active=False),
        person("share"),
        person(None),
        person(""),
    ],
)
def test_nobody_else_may_do_anything(nobody, capability):
    assert not can(nobody, capability)


def test_a_capability_that_is_not_in_the_table_is_a_slip_in_the_code():
    with pytest.raises(UnknownCapability, match="record_test"):
        can(person("owner"), "record_test")
    with pytest.raises(UnknownCapability):
        explain("")


def test_the_refusal_says_who_may():
    assert explain("record_tests") == "Recording tests is for the owner and technicians."
    assert explain("people") == "Adding people and changing their roles is for the owner."


@pytest.mark.parametrize("capability", [c.code for c in CAPABILITIES])
def test_every_capability_can_be_explained(capability):
    assert explain(capability).endswith(".")


def test_the_table_for_the_help_page_agrees_with_the_code():
    rows = [row for group in access_table() for row in group["rows"]]
    assert sorted(row["code"] for row in rows) == sorted(c.code for c in CAPABILITIES)
    for row in rows:
        for role in ROLES:
            assert row[role] == can(person(role), row["code"])


def test_no_capability_stands_twice():
    codes = [c.code for c in CAPABILITIES]
    assert len(codes) == len(set(codes))
