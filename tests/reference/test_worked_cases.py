"""What the tables of suspects conclude, against what the cause proved to be in published cases.

No table was made from these cases. A case that comes out otherwise is a miss, and stays listed as
one: on the help page, and here by name.
"""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from django.conf import settings
from django.core.management import call_command

from jobs.management.commands.worked_cases import PAGE, as_html, conclusions, told
from jobs.suspects.knowledge import outcomes, tables
from jobs.suspects.tables import UNLISTED
from jobs.suspects.worked_cases import FOLDER, Conclusion, read_all
from tests.reference.conftest import Against

MISSES = {
    "alternator_and_sulphated_battery",
    "battery_renewed_alternator_dead",
    "catalyst_breaks_up",
    "dry_wheel_bearing_burns",
    "fuel_pump_jams",
    "ground_after_alterations",
    "hose_squeezed_by_bracket",
    "solenoid_wire_corroded",
    "steering_joint_parts",
    "vent_seal_floods_boot",
}
"""Cases in which something else is put first than what the cause proved to be."""

CONCLUSIONS = conclusions()


def slugs(found: list[Conclusion]) -> set[str]:
    return {one.case.slug for one in found}


def test_every_file_reads() -> None:
    found = read_all(tables(), outcomes())
    assert [str(fault) for one in found for fault in one.faults] == []
    assert len(found) == len(list(FOLDER.iterdir())) >= 12


def test_some_causes_are_not_on_our_list_and_some_cases_have_two_faults() -> None:
    causes = [one.case.causes for one in CONCLUSIONS]
    assert causes.count((UNLISTED,)) >= 2
    assert sum(len(cause) == 2 for cause in causes) >= 2


def test_each_case_has_a_source_of_its_own() -> None:
    assert len({one.case.source for one in CONCLUSIONS}) == len(CONCLUSIONS)


@pytest.mark.parametrize(
    "one",
    [one for one in CONCLUSIONS if one.case.slug not in MISSES],
    ids=lambda one: one.case.slug,
)
def test_the_true_cause_is_put_first(one: Conclusion, against: Against) -> None:
    table = tables()[one.case.family]
    against(
        f"cause of “{one.case.title}”",
        one.case.source,
        expected=[table.suspect(code).label for code in one.case.causes],
        got=[table.suspect(code).label for code in one.first],
    )


def test_the_misses_are_just_these() -> None:
    assert slugs([one for one in CONCLUSIONS if not one.agreed]) == MISSES


def test_the_page_is_what_is_concluded() -> None:
    assert (Path(settings.BASE_DIR) / PAGE).read_text("utf-8") == as_html(told(CONCLUSIONS))
    call_command("worked_cases", "--check")


def test_the_page_counts_what_agrees_and_lists_every_miss() -> None:
    page = as_html(told(CONCLUSIONS))
    agreed = len(CONCLUSIONS) - len(MISSES)
    assert f"In {agreed} of {len(CONCLUSIONS)} cases" in page
    assert len(re.findall(r"<b>Yes\.</b>", page)) == agreed
    assert len(re.findall(r"<b>No\.</b>", page)) == len(MISSES)
