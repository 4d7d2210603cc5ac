"""Show on made-up jobs whether the reasoning pays, and make the help page of it."""

from __future__ import annotations

import math
import re
from argparse import ArgumentParser
from collections.abc import Callable, Iterable, Sequence
from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.management.base import BaseCommand, CommandError
from django.template.loader import render_to_string

from jobs.suspects.simulation import (
    A_LITTLE,
    A_LOT,
    AS_THEY_ARE,
    FIXED,
    MAIN,
    OURS,
    SWAPS,
    Assumptions,
    Comparison,
    Family,
    Figure,
    PriceClass,
    Result,
    Simulated,
    Situation,
    Step,
    digest,
    run,
)

PAGE = Path("templates") / "help" / "_simulation.html"
SEED, JOBS = 20, 100

WAYS = {
    SWAPS: "Swapping the likeliest part first",
    FIXED: "Tests in the usual order",
    OURS: "Tests in our order",
}

STRAYED = {
    AS_THEY_ARE: "Tables right",
    A_LITTLE: f"Tables a little wrong (each number by a factor of about {A_LITTLE:g})",
    A_LOT: f"Tables very wrong (each number by a factor of about {A_LOT:g})",
}

NEEDS_A_PART = "substitution"
"""A test that begins with choosing a part, which nobody here does; it is left out."""


class Command(BaseCommand):
    """Prints the comparison; `--write` keeps it as a help page, `--check` ends with 1 where that
    page is stale: whether the tables, the assumptions, the code or the page were changed since."""

    help = (
        "Draws faults from the tables of suspects and compares swapping the likeliest part, tests "
        "in the usual order and tests in our order on them."
    )
    requires_system_checks: list[str] = []

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--seed", type=int, default=SEED, help="of all that is drawn")
        parser.add_argument("--faults", type=int, default=JOBS, help="jobs of each family")
        parser.add_argument("--family", help="only this family of complaints")
        parser.add_argument("--write", action="store_true", help="keep it as a help page")
        parser.add_argument("--check", action="store_true", help="only say whether that is stale")

    def handle(self, *args: Any, **options: Any) -> None:
        path = Path(settings.BASE_DIR) / PAGE
        if options["check"]:
            check(path)
            return
        if options["faults"] < 1:
            raise CommandError("--faults: at least one job of each family")
        if options["write"] and options["family"]:
            raise CommandError("The help page is of all families: --write without --family")
        families, assumed = families_of(options["family"]), Assumptions()
        found = run(
            families, options["faults"], options["seed"], assumed, Progress(self.stderr).show
        )
        page = told(found, assumed, options["seed"], options["faults"])
        self.stdout.write("\n".join(as_text(page)))
        if options["write"]:
            page["digest"] = digest(families, options["faults"], options["seed"], assumed)
            path.write_text(as_html(page), encoding="utf-8")
            self.stdout.write(f"\nWritten: {PAGE}")


class Progress:
    """How many jobs are worked: a line that is rewritten on a terminal, some lines elsewhere."""

    def __init__(self, stream: Any) -> None:
        self.stream, self.tenths = stream, 0

    def show(self, done: int, total: int) -> None:
        """Say it, elsewhere only after each tenth."""
        live, tenths = self.stream.isatty(), 10 * done // total
        if live:
            ending = "\n" if done == total else "\r"
            self.stream.write(f"{done} of {total} jobs worked", str, ending=ending)
            self.stream.flush()
        elif tenths > self.tenths:
            self.tenths = tenths
            self.stream.write(f"{done} of {total} jobs worked", str)


def check(path: Path) -> None:
    """Whether the page stands on what there is now; raises CommandError with what to do."""
    text = path.read_text("utf-8") if path.is_file() else ""
    kept = dict(re.findall(r'data-(seed|jobs|digest)="(\w+)"', text))
    stale = CommandError(f"{PAGE} is stale: run manage.py simulate --write")
    if kept.keys() != {"seed", "jobs", "digest"}:
        raise stale
    now = digest(families_of(), int(kept["jobs"]), int(kept["seed"]), Assumptions())
    if now != kept["digest"]:
        raise stale


# --- what somebody at the car has -------------------------------------------------------------


def families_of(only: str | None = None) -> list[Family]:
    """All families that have a table, or the one that is asked for."""
    from jobs.suspects.knowledge import tables

    if only and only not in tables():
        raise CommandError(
            f"There is no table of “{only}”. There are: {', '.join(sorted(tables()))}"
        )
    return [_family(name) for name in sorted(tables()) if only in (None, name)]


def _family(name: str) -> Family:
    from jobs import words
    from jobs.likely_tests import likely_for
    from jobs.reasoning.of_ticket import FIRST_TESTS, SAFETY_FAMILIES
    from jobs.suspects.knowledge import sound_outcomes, tables

    habit = likely_for([name])
    # The first things are made with any complaint, also where the table says nothing of them.
    keys = dict.fromkeys((*tables()[name].evidence, *FIRST_TESTS))
    tests = [test for key in keys if (test := _test(key))]

    def place(test: Step) -> tuple[int, float, str]:
        """The shop's habit, and behind it the quick ones first."""
        one = test.candidate
        usual = habit.index(one.name) if one.name in habit else len(habit)
        return usual, one.minutes, one.key

    return Family(
        tables()[name],
        tuple(sorted(tests, key=place)),
        words.first_conditions(name),
        sound_outcomes(),
        alarmed=name in SAFETY_FAMILIES,
    )


def _test(key: str) -> Step | None:
    from jobs.reasoning.of_ticket import FIRST_TESTS
    from jobs.suspects.next_test import Candidate
    from jobs.suspects.tables import source_of
    from measurements.procedures import PROCEDURES

    procedure = PROCEDURES.get(source_of(key))
    if procedure is None or procedure.name == NEEDS_A_PART:
        return None
    candidate = Candidate(
        procedure.name,
        key,
        procedure.effort.minutes,
        opens=frozenset(procedure.leaves_apart),
        wants=procedure.effort.state,
        first=procedure.name in FIRST_TESTS,
    )
    return Step(candidate, procedure.evidence_group)


# --- how it is told ---------------------------------------------------------------------------


def told(found: Simulated, assumed: Assumptions, seed: int, jobs: int) -> dict[str, Any]:
    """All that text and page show."""
    from jobs import words

    main = found.of[MAIN]
    return {
        "seed": seed,
        "jobs": jobs,
        "all_jobs": main.jobs,
        "families": len(found.of_family),
        "command": f"python3 manage.py simulate --seed {seed} --faults {jobs}",
        "summary": _summary(main),
        "situations": [
            {"title": _title(situation), **_section(came)} for situation, came in found.of.items()
        ],
        "of_family": [
            {"title": words.FAMILY.technician(name), **_section(came)}
            for name, came in found.of_family.items()
        ],
        "assumptions": list(_assumptions(assumed)),
    }


def _title(situation: Situation) -> str:
    minutes = situation.allowance_minutes
    end = "tests without an end" if math.isinf(minutes) else f"at most {minutes:g} minutes of tests"
    return f"{STRAYED[situation.factor]}, {end}"


def _section(came: Comparison) -> dict[str, Any]:
    """A line for each figure, a cell for each way; who swaps makes no test and names nothing."""
    lines = []
    for heading, figure_of, shown, tested in FIGURES:
        cells = []
        for one in came.results:
            figure = figure_of(one)
            none = tested and one.strategy == SWAPS
            value = "" if none else shown(figure.value)
            interval = f"{shown(figure.low)} to {shown(figure.high)}"
            cells.append({"way": WAYS[one.strategy], "value": value, "interval": interval})
        lines.append({"heading": heading, "cells": cells})
    return {"lines": lines, "saved": _saved(came)}


def _percent(share: float) -> str:
    return f"{100 * share:.0f} %"


def _whole(number: float) -> str:
    return "–" if math.isinf(number) else _signed(f"{number:.0f}")


def _one_digit(number: float) -> str:
    return _signed(f"{number:.1f}")


def _signed(text: str) -> str:
    """With a minus that is one, and without that of nought."""
    return text.removeprefix("-") if not float(text) else text.replace("-", "\N{MINUS SIGN}")


FIGURES: Sequence[tuple[str, Callable[[Result], Figure], Callable[[float], str], bool]] = (
    ("Cause found in the end", lambda one: one.found, _percent, False),
    ("Among the likeliest three", lambda one: one.in_three, _percent, False),
    ("Cause named by tests", lambda one: one.right, _percent, True),
    ("Another cause named", lambda one: one.wrong, _percent, True),
    ("None named", lambda one: one.open, _percent, True),
    ("Tests", lambda one: one.tests, _one_digit, True),
    ("Minutes", lambda one: one.minutes, _whole, False),
    ("Minutes for each found", lambda one: one.minutes_each, _whole, False),
    ("Needless parts, money", lambda one: one.needless, _whole, False),
)
"""Heading, figure, how it is shown, and whether only who tests has it."""


def _summary(main: Comparison) -> str:
    of = {one.strategy: one for one in main.results}
    shares = [100 * of[way].found.value for way in (SWAPS, FIXED, OURS)]
    money = [of[way].needless.value for way in (SWAPS, FIXED, OURS)]
    return (
        "Of 100 jobs the cause is found in {:.0f} by swapping, in {:.0f} by tests in the usual "
        "order and in {:.0f} by tests in our order; a job costs {:.0f}, {:.0f} and {:.0f} in parts "
        "that were not at fault."
    ).format(*shares, *money)


def _saved(came: Comparison) -> str:
    """Our order beside the usual one, and whether chance alone could have made the difference."""
    minutes = came.saved_minutes
    if minutes.low > 0:
        verdict = "Our order takes less time than the usual one"
    elif minutes.high < 0:
        verdict = "Our order takes more time than the usual one"
    else:
        verdict = "In time, these jobs do not tell our order from the usual one"
    differences = (
        ("minutes", came.saved_minutes, _one_digit),
        ("tests", came.saved_tests, _one_digit),
        ("in needless parts", came.saved_needless, _whole),
    )
    numbers = "; ".join(
        f"{shown(figure.value)} {what} ({shown(figure.low)} to {shown(figure.high)})"
        for what, figure, shown in differences
    )
    return f"{verdict}. Our order saves on each job: {numbers}."


def _assumptions(assumed: Assumptions) -> Iterable[str]:
    """Each assumption in a sentence."""
    yield (
        f"A cause is named when its share reaches {_percent(assumed.sure)}, where its repair is "
        f"costly or a matter of safety {_percent(assumed.sure_of_costly)}; never before a test."
    )
    yield (
        "No further test is made when none is expected to tell more than "
        f"{assumed.least_bits:g} bits, or when it would go beyond the minutes that were agreed."
    )
    yield (
        f"{_percent(assumed.decides_nothing)} of tests and of the customer's answers decide "
        f"nothing. {_percent(assumed.two_faults)} of jobs have two faults, of which nobody is "
        "told; whoever comes to either counts as having found the cause."
    )
    yield (
        "Where no cause is named, or another one, parts are swapped, the likeliest first, until "
        f"the fault is gone; after {assumed.most_swaps} needless ones everybody gives up. Nobody "
        "swaps on a guess what is marked costly."
    )
    yield (
        f"After a swap it takes {assumed.trying_minutes} minutes to see whether the fault is gone; "
        f"a repair that needs no part takes {assumed.work_minutes} minutes. The right repair "
        "itself is not counted: it has to be made in any case."
    )
    yield from map(_price, assumed.classes)


def _price(one: PriceClass) -> str:
    named = ", ".join(sorted(one.parts | one.words)) or "all others"
    return f"{one.name.capitalize()} parts: {one.price}, {one.minutes} minutes to swap ({named})."


def as_text(page: dict[str, Any]) -> Iterable[str]:
    """For a terminal."""
    yield "A simulation out of our own tables: it shows that the arithmetic works, and what it"
    yield "would save if the tables were right. Intervals in brackets: 95 %."
    yield f"Seed {page['seed']}, {page['jobs']} jobs of each of {page['families']} families."
    yield ""
    yield page["summary"]
    for section in page["situations"]:
        yield from _section_as_text(section)
    yield "\nBy family, as in the first of these"
    for section in page["of_family"]:
        yield from _section_as_text(section)
    yield "\nAssumed (judgement)"
    for sentence in page["assumptions"]:
        yield f"- {sentence}"


def _section_as_text(section: dict[str, Any]) -> Iterable[str]:
    lines: Sequence[dict[str, Any]] = section["lines"]
    yield f"\n{section['title']}"
    yield " " * 26 + "".join(f"{cell['way']:>36}" for cell in lines[0]["cells"])
    for line in lines:
        texts = [
            f"{cell['value']} ({cell['interval']})" if cell["value"] else "–"
            for cell in line["cells"]
        ]
        yield f"{line['heading']:26}" + "".join(f"{text:>36}" for text in texts)
    yield section["saved"]


def as_html(page: dict[str, Any]) -> str:
    """The fragment of the help page."""
    made = render_to_string("help/_simulation_table.html", page)
    return "\n".join(line.rstrip() for line in made.splitlines() if line.strip()) + "\n"
