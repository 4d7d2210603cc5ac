"""Say what the tables conclude from published cases, and make the help page of it."""

from __future__ import annotations

from argparse import ArgumentParser
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.management.base import BaseCommand, CommandError
from django.template.loader import render_to_string

from jobs.reasoning.odds_words import in_words, per_cent
from jobs.suspects.tables import UNLISTED, Table
from jobs.suspects.worked_cases import LEADING, Conclusion, conclude, read_all

PAGE = Path("templates") / "help" / "_worked_cases.html"

PLACES = ("first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth")


class Command(BaseCommand):
    """`worked_cases` prints the conclusions; `--write` keeps them as a help page, `--check` ends
    with 1 where that page is stale."""

    help = "Hold what the tables of suspects conclude against cases from published descriptions."
    requires_system_checks: list[str] = []

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--write", action="store_true", help="keep it as a help page")
        parser.add_argument("--check", action="store_true", help="only say whether that is stale")

    def handle(self, *args: Any, **options: Any) -> None:
        page = told(conclusions())
        made, path = as_html(page), Path(settings.BASE_DIR) / PAGE
        if options["check"]:
            if not path.is_file() or path.read_text("utf-8") != made:
                raise CommandError(f"{PAGE} is stale: run manage.py worked_cases --write")
            return
        self.stdout.write("\n".join(as_text(page)))
        if options["write"]:
            path.write_text(made, encoding="utf-8")
            self.stdout.write(f"\nWritten: {PAGE}")


def conclusions() -> list[Conclusion]:
    """What follows from every case; raises CommandError with all that is wrong in the files."""
    from jobs.suspects.knowledge import outcomes, tables

    found = read_all(tables(), outcomes())
    if faults := [str(fault) for one in found for fault in one.faults]:
        raise CommandError("\n".join(faults))
    return [conclude(one.case, tables()[one.case.family]) for one in found if one.case]


# --- how it is told ---------------------------------------------------------------------------


def told(found: Sequence[Conclusion]) -> dict[str, Any]:
    """All that text and page show."""
    return {"summary": list(_summary(found)), "cases": [_row(one) for one in found]}


def _summary(found: Sequence[Conclusion]) -> Iterable[str]:
    agreed = sum(one.agreed for one in found)
    near = sum(max(one.ranks.values()) <= LEADING for one in found)
    yield (
        f"In {agreed} of {len(found)} cases the program puts first what the cause proved to be, in "
        f"{len(found) - agreed} it does not. In {near} the cause, of two faults both, is among the "
        f"{LEADING} likeliest."
    )
    acted = [one for one in found if one.enough]
    if not acted:
        yield "In none of them would it say that enough is known to act."
        return
    rightly = sum(one.agreed for one in acted)
    yield (
        f"In {len(acted)} it would say that enough is known to act: in {rightly} rightly, in "
        f"{len(acted) - rightly} on another cause or on one of two."
    )


def _row(one: Conclusion) -> dict[str, Any]:
    from jobs import words
    from jobs.suspects.knowledge import tables
    from measurements.procedures import PROCEDURES

    case, table = one.case, tables()[one.case.family]
    return {
        "title": case.title,
        "family": words.FAMILY.technician(case.family),
        "story": case.story,
        "translated": case.translated,
        "source": case.source,
        "from_memory": case.read != "read",
        "told": [
            f"{words.CONDITION.technician(name)}: {words.CONDITIONS[name].answers.technician(code)}"
            for name, codes in case.told.items()
            for code in codes
        ],
        "tests": [
            {
                "title": PROCEDURES[test.procedure].title,
                "outcome": PROCEDURES[test.procedure].pattern(test.pattern).label,
                "note": test.note,
            }
            for test in case.tests
        ],
        "counted": one.counted,
        "cause": _labels(table, case.causes),
        "first": _labels(table, one.first),
        "share": _percent(one.share),
        "leading": [
            f"{table.suspect(code).label}: {in_words(share)}, {_percent(share)}"
            for code, share in one.leading
        ],
        "agreed": one.agreed,
        "verdict": _verdict(one),
    }


def _percent(share: float) -> str:
    return f"{per_cent(share)}\N{NO-BREAK SPACE}%"


def _labels(table: Table, codes: Sequence[str]) -> str:
    return "; and ".join(table.suspect(code).label for code in codes)


def _verdict(one: Conclusion) -> str:
    """What is to be said beside yes or no; nothing of a case that agrees and stays open."""
    acted = "It would say that enough is known to act." if one.enough else ""
    return acted if one.agreed else f"{_missed(one)} {acted}".strip()


def _missed(one: Conclusion) -> str:
    """Why it does not agree."""
    causes, named = set(one.case.causes), set(one.first)
    if causes == {UNLISTED}:
        return f"The cause is not in our table; something not on the list stood {_places(one)}."
    if len(causes) > 1 and named & causes:
        return f"It names one of the two faults and not the other; they stood {_places(one)}."
    if causes < named:
        return "It names a second fault beside the cause, where there was one."
    return f"The cause stood {_places(one)}."


def _places(one: Conclusion) -> str:
    return " and ".join(
        PLACES[rank - 1] if rank <= len(PLACES) else f"at place {rank}"
        for rank in one.ranks.values()
    )


def as_text(page: dict[str, Any]) -> Iterable[str]:
    """For a terminal."""
    yield from page["summary"]
    for row in page["cases"]:
        yield f"\n{row['title']} ({row['family']})"
        yield f"  proved to be  {row['cause']}"
        yield f"  put first     {row['first']}, {row['share']}"
        yield f"  agreed        {'yes' if row['agreed'] else 'NO'}. {row['verdict']}".rstrip()
        yield f"  source        {row['source']}{', from memory' if row['from_memory'] else ''}"


def as_html(page: dict[str, Any]) -> str:
    """The fragment of the help page."""
    made = render_to_string("help/_worked_table.html", page)
    return "\n".join(line.rstrip() for line in made.splitlines() if line.strip()) + "\n"
