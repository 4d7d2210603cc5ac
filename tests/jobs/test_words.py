"""The register of words: every code has both words, and nothing misread reaches a customer."""

import re

import pytest
from django.template import Context, Template

from jobs import words
from jobs.models.finding import ADVICES, CERTAINTIES
from jobs.models.ticket import STATES
from jobs.record.kind import kinds

TABLES = sorted(words.TABLES)

# What customers and courts misread, and words that promise or accuse.
NOT_FOR_CUSTOMERS = re.compile(
    r"\b(safe|safely|safety|ok|okay|pass|passes|passed|fail|fails|failed|failure|cleared|"
    r"guarantee|guaranteed|per ?cent|percentage|odds|probability|chance|prior|priors|sigma|bits?|"
    r"suspects?|suspected|judgement|hash|chain|cured|cannot tell|no fault found|no restriction|"
    r"ruled out|confounder|verdict|within|accurate|perfect|certain|certainly)\b|%(?!\()",
    re.IGNORECASE,
)


@pytest.mark.parametrize("name", TABLES)
def test_every_code_has_words_for_technician_and_customer(name):
    for code in words.table(name).codes:
        assert words.technician(name, code).strip(), code
        assert words.customer(name, code).strip(), code


@pytest.mark.parametrize("name", TABLES)
def test_no_word_that_is_misread_stands_on_the_customers_side(name):
    for code in words.table(name).codes:
        for text in (words.customer(name, code), words.meaning(name, code)):
            assert not NOT_FOR_CUSTOMERS.search(text), text


@pytest.mark.parametrize("name", TABLES)
def test_no_raw_code_stands_on_the_customers_side(name):
    for code in words.table(name).codes:
        text = f"{words.customer(name, code)} {words.meaning(name, code)}"
        assert "_" not in re.sub(r"%\(\w+\)s", "", text), code


def test_the_check_for_misread_words_finds_them():
    for text in ("The car is safe.", "It passed.", "OK", "90 %", "ruled out", "a suspect"):
        assert NOT_FOR_CUSTOMERS.search(text)
    assert not NOT_FOR_CUSTOMERS.search("at most %(sum)s, did not cure, passenger")


def test_sentences_beside_the_tables_keep_to_the_same_words():
    phrases = [
        words.verdict_phrase(outcome, tag, "0.20 V", safety=safety)
        for outcome in words.VERDICT.codes
        for tag in ("maker", "S", "C")
        for safety in (True, False)
    ]
    phrases += [
        str(words.verdict_word(outcome, tag, safety=safety).customer)
        for outcome in words.VERDICT.codes
        for tag in ("maker", "S", "C")
        for safety in (True, False)
    ]
    phrases += [words.advice_sentence(code, not_tested=["brakes"]) for code in ADVICES]
    phrases += [str(words.EMISSIONS_LAW)]
    for phrase in phrases:
        assert not NOT_FOR_CUSTOMERS.search(phrase), phrase


@pytest.mark.parametrize("lookup", [words.technician, words.customer, words.meaning])
def test_an_unknown_code_or_table_raises(lookup):
    with pytest.raises(words.UnknownCode, match="certainty"):
        lookup("certainty", "sure")
    with pytest.raises(words.UnknownCode, match="certainties"):
        lookup("certainties", "confirmed")
    with pytest.raises(words.UnknownCode):
        lookup("certainty", "")


def test_the_codes_are_those_of_the_tables_in_the_database():
    assert words.TICKET_STATE.codes == STATES
    assert words.CERTAINTY.codes == CERTAINTIES
    assert set(words.DRIVING_ADVICE.codes) == set(ADVICES)
    assert set(words.ENTRY_KIND.codes) == set(kinds())


@pytest.mark.parametrize(
    ("name", "longest"),
    [
        ("ticket_state", 12),
        ("waits_for", 30),
        ("fuel_level", 20),
        ("arrival", 20),
        ("fuel", 20),
        ("gearbox", 20),
        ("drive", 20),
        ("contact_way", 20),
        ("family", 40),
        ("swap_reason", 30),
        ("part_condition", 12),
        ("swap_outcome", 24),
        ("photo_subject", 20),
        ("certainty", 12),
        ("driving_advice", 20),
        ("open_work_status", 10),
        ("swap_run_role", 8),
        ("ticket_part", 12),
    ],
)
def test_every_code_fits_its_column(name, longest):
    assert max(len(code) for code in words.table(name).codes) <= longest


# Conditions


@pytest.mark.parametrize("family", words.FAMILY.codes)
def test_a_family_asks_three_different_conditions_first_and_then_the_others(family):
    order = words.condition_order(family)
    assert order[:3] == words.first_conditions(family)
    assert sorted(order) == sorted(words.CONDITIONS)


def test_a_complaint_without_a_family_asks_as_for_something_else():
    assert words.first_conditions("") == words.first_conditions("other")
    with pytest.raises(words.UnknownCode):
        words.first_conditions("bad_mood")


@pytest.mark.parametrize("name", list(words.CONDITIONS))
def test_dont_know_is_the_last_answer_and_not_asked_is_none(name):
    answers = words.CONDITIONS[name].answers
    assert answers.codes[-1] == words.DONT_KNOW
    assert words.NOT_ASKED not in answers


def test_unanswered_conditions_are_stored_as_not_asked_apart_from_dont_know():
    stored = words.read_conditions(
        {
            "engine_temperature": "hot",
            "loads_on": ["lights", "blower"],
            "weather": "dont_know",
            "speed_band": [],
            "since_when": "",
        }
    )
    assert list(stored) == list(words.CONDITIONS)
    assert stored["engine_temperature"] == ["hot"]
    assert stored["loads_on"] == ["lights", "blower"]
    assert stored["weather"] == ["dont_know"]
    assert stored["speed_band"] == stored["since_when"] == ["not_asked"]
    assert words.read_conditions(stored) == stored


def test_what_was_answered_is_said_in_the_customers_phrases():
    stored = words.read_conditions(
        {"driving_state": ["idle"], "engine_temperature": "hot", "weather": "dont_know"}
    )
    assert words.said(stored) == ["engine hot", "at idle"]
    assert words.asked_but_unknown(stored) == ["Weather"]
    assert words.said({}) == []


@pytest.mark.parametrize(
    ("given", "fault"),
    [
        ({"mood": "bad"}, "“mood” is no condition"),
        ({"weather": "snowing"}, "“snowing” is no answer to “Weather”"),
        ({"weather": [3]}, "“3” is no answer"),
        ({"weather": ["dry", "dont_know"]}, "“don't know” and “dry” can't both hold"),
        ({"weather": ["any", "wet"]}, "can't both hold"),
        ({"engine_temperature": ["cold", "hot"]}, "“cold” and “hot” can't both hold"),
    ],
)
def test_answers_that_cannot_be_are_refused_by_name(given, fault):
    with pytest.raises(words.ConditionError, match=re.escape(fault)):
        words.read_conditions(given)


# Judgement


def test_the_strictest_advice_wins():
    assert words.strictest(["no_restriction", "do_not_drive", "only_as_stated"]) == "do_not_drive"
    assert words.strictest(["no_restriction", "only_as_stated"]) == "only_as_stated"
    with pytest.raises(words.UnknownCode):
        words.strictest(["drive"])


def test_no_restriction_always_lists_what_was_not_looked_at():
    assert words.advice_sentence("no_restriction", not_tested=["brakes", "tyres"]) == (
        "Nothing we measured is a reason not to drive. We did not look at: brakes, tyres."
    )


def test_no_restriction_never_stands_alone():
    assert words.advice_sentence("no_restriction").endswith(
        "It says nothing about what we did not look at."
    )


def test_do_not_drive_names_the_hazard_and_leaves_the_decision():
    said = words.advice_sentence("do_not_drive", words="The pads measure 0.8 mm.")
    assert said.startswith("Do not drive. The pads measure 0.8 mm.")
    assert "The decision is yours. You may have it towed elsewhere." in said


@pytest.mark.parametrize(
    ("outcome", "tag", "phrase"),
    [
        ("within", "maker", "inside the maker's limit of 0.20 V"),
        ("outside", "S", "outside the standard's limit of 0.20 V"),
        ("within", "C", "usual; common practice is 0.20 V"),
        ("outside", "C", "unusual; common practice is 0.20 V"),
        ("cannot_tell", "maker", "too close to the maker's limit of 0.20 V for this meter"),
        ("no_limit", "C", "measured, no limit known"),
    ],
)
def test_a_verdict_says_whose_limit_it_is(outcome, tag, phrase):
    assert words.verdict_phrase(outcome, tag, "0.20 V") == phrase


def test_doubt_at_a_limit_of_safety_is_treated_as_reached():
    word = words.verdict_word("cannot_tell", "maker", safety=True)
    assert "treat as reached" in str(word.technician)
    assert "we treat the limit as reached" in words.verdict_phrase(
        "cannot_tell", "S", "1.6 mm", safety=True
    )
    assert "reached" not in words.verdict_phrase("cannot_tell", "S", "1.6 mm")


@pytest.mark.parametrize(
    "lookup",
    [
        lambda: words.verdict_word("within", "rumour"),
        lambda: words.verdict_word("perhaps", "C"),
        lambda: words.verdict_phrase("within", "rumour", "1"),
        lambda: words.verdict_phrase("perhaps", "C", "1"),
    ],
)
def test_an_unknown_outcome_or_tag_raises(lookup):
    with pytest.raises(words.UnknownCode):
        lookup()


@pytest.mark.parametrize("flag", words.RED_FLAG.codes)
def test_every_red_flag_tells_the_caller_what_to_do_and_stands_as_advice(flag):
    assert len(words.RED_FLAG.meaning(flag)) > 40
    assert words.RED_FLAG_ADVICE in words.DRIVING_ADVICE


# Printed sentences


def test_a_sentence_takes_just_its_parameters():
    assert words.sentence("agree_at_most", amount="€610.00") == (
        "You agree to at most €610.00. We stop and ask before that."
    )
    for wrong in ({}, {"sum": "1"}, {"amount": "1", "more": "2"}):
        with pytest.raises(ValueError, match=r"takes \['amount'\]"):
            words.sentence("agree_at_most", **wrong)


def test_what_others_fitted_is_the_customers_report_and_no_accusation():
    assert words.sentence("fitted_elsewhere", part="a starter motor", when="3 March 2026") == (
        "The customer reports that a starter motor was fitted elsewhere on 3 March 2026; we have "
        "seen no test records of it."
    )


# In templates


def test_templates_print_the_words_and_nothing_for_no_code():
    page = Template(
        "{% load words %}{{ code|word:'certainty' }}, {{ code|customer_word:'certainty' }}, "
        "{{ code|meaning:'certainty' }}"
    )
    assert page.render(Context({"code": "not_tested"})) == (
        "not tested, not tested, We did not look at this."
    )
    assert page.render(Context({"code": ""})) == ", , "


def test_a_template_with_an_unknown_code_fails_instead_of_printing_it():
    page = Template("{% load words %}{{ code|word:'certainty' }}")
    with pytest.raises(words.UnknownCode):
        page.render(Context({"code": "sure"}))
