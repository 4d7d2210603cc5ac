"""A test as page and report show it: plain data, every word and every rounding decided here.

Made from what is stored with the run and nothing else: no query, no judging again.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from datetime import date
from typing import Any

from django.utils.formats import date_format
from django.utils.text import capfirst
from django.utils.translation import gettext as _

from jobs import words
from measurements.actions.runs import Recorded, read
from measurements.core import chart, decision, units
from measurements.core.assessment import Figure, VerdictOutcome
from measurements.core.procedure import Driving
from measurements.core.readings import Reading
from measurements.core.typed import with_unit
from measurements.core.wording import places_beyond
from measurements.models import Run
from measurements.procedures import PROCEDURES
from shop.models import Profile

ON_PAGE, ON_PAPER = "var(--paper)", "#ffffff"
MOST_KEY_ROWS = 4
MOST_FIGURES_OPEN = 8
OVERDUE = "*"
"""Beside a reading: its instrument's calibration was due."""

_WORST = ("outside", "cannot_tell", "within", "no_limit")

Row = dict[str, Any]


@dataclass(frozen=True)
class ReadingsTable:
    """One column of readings, as `_readings.html` takes it."""

    caption: str
    what: str
    unit: str
    rows: list[Row]
    notes: list[dict[str, str]]
    strips: bool
    judged: bool


@dataclass(frozen=True)
class RunView:
    """A test in words. Lists of text where not said otherwise; codes only where named so."""

    procedure: str
    title: str
    subject: str
    group: str
    by: str
    measured_at: str
    state_of_car: str
    fault_present: str
    pattern: str
    where: str
    tone: str
    is_sound: bool
    is_undecided: bool
    direct: bool
    headline: str
    outcome: str
    common: bool
    lower: bool
    also: list[str] = field(default_factory=list)
    conditions: list[str] = field(default_factory=list)
    tables: list[ReadingsTable] = field(default_factory=list)
    key_rows: list[Row] = field(default_factory=list)
    given: list[dict[str, str]] = field(default_factory=list)
    figures: list[dict[str, str]] = field(default_factory=list)
    extra_tables: list[dict[str, Any]] = field(default_factory=list)
    confounders: list[str] = field(default_factory=list)
    missing: list[str] = field(default_factory=list)
    unticked: list[str] = field(default_factory=list)
    customer: list[str] = field(default_factory=list)
    technician: list[str] = field(default_factory=list)
    customer_sentence: str = ""
    technician_sentence: str = ""
    chart: str = ""
    instruments: list[str] = field(default_factory=list)
    limit_sources: list[str] = field(default_factory=list)
    rule: str = ""
    owner_cautions: list[str] = field(default_factory=list)
    advice: str = ""
    advice_words: str = ""

    @property
    def many_figures(self) -> bool:
        """Whether the computed figures are so many that a page folds them."""
        return len(self.figures) > MOST_FIGURES_OPEN

    @property
    def compact_rows(self) -> list[Row]:
        """The key rows, each number with its unit, for a table of mixed quantities."""
        return [
            row
            | {
                "label": row["full_label"],
                "value": _joined(row["value"], row["unit"]),
                "limit": _joined(row["limit"], row["unit"]) if row["limit"] else "",
                "tag": "",
                "total": False,
            }
            for row in self.key_rows
        ]


def run_view(run: Run, *, profile: Profile | None = None, ground: str = ON_PAGE) -> RunView:
    """The words of a recorded test, in the units that it was recorded in."""
    found = read(run)
    tables = _tables(found)
    worst = _worst(found)
    driving = _driving(found)
    return RunView(
        procedure=found.procedure,
        title=found.words.title,
        subject=subject_words(found, run.subject),
        group=found.words.group,
        by=run.by.name,
        measured_at=run.measured_at.isoformat(),
        state_of_car=run.state_of_car,
        fault_present=found.context.fault_present,
        pattern=capfirst(found.words.pattern),
        where=_places(found, found.words.pattern, found.assessment.where),
        tone="undecided" if found.undecided else "sound" if found.sound else "seen",
        is_sound=found.sound,
        is_undecided=found.undecided,
        direct=found.words.direct,
        headline=_said(found, worst) if worst else "",
        outcome=worst.outcome if worst else "",
        common=bool(worst and worst.source and worst.source.tag == "C"),
        lower=bool(worst and decision.side_of(worst) == "lower"),
        also=_also(found),
        conditions=_conditions(found, run),
        tables=tables,
        key_rows=_key_rows(tables),
        given=_given(found),
        figures=_figures(found),
        extra_tables=[
            {
                "title": t.title,
                "head": list(t.head),
                "rows": [[_kept_together(cell) for cell in row] for row in t.rows],
            }
            for t in found.assessment.tables
        ],
        confounders=list(found.words.confounders.values()),
        missing=[_label(found, address) for address in found.assessment.missing],
        unticked=list(found.words.preconditions.values()),
        customer=[_kept_together(sentence.text) for sentence in found.assessment.customer],
        technician=[_kept_together(sentence.text) for sentence in found.assessment.technician],
        customer_sentence=" ".join(s.text for s in found.assessment.customer),
        technician_sentence=" ".join(s.text for s in found.assessment.technician),
        chart=chart.draw(found.assessment.chart, ground=ground, name=f"t{run.uid.hex[:8]}"),
        instruments=_instruments(found),
        limit_sources=_sources(found),
        rule=rule_words(found.context.risk),
        owner_cautions=_owner_cautions(found),
        advice=driving.code if driving else "",
        advice_words=driving.words if driving else "",
    )


def for_paper(view: RunView) -> RunView:
    """The same with its chart on the white of paper."""
    return replace(view, chart=view.chart.replace(ON_PAGE, ON_PAPER))


def rule_words(risk: float) -> str:
    """The decision rule (ISO/IEC 17025 7.8.6), for the reader of a report."""
    return _(
        "We call a reading inside or outside a limit only when the chance of being wrong is at "
        "most %(chance)s, with the meter's uncertainty counted in; nearer to the limit we say "
        "that we cannot tell. ± is twice the standard uncertainty."
    ) % {"chance": decision.chance_in_words(risk)}


def subject_words(found: Recorded, subject: str) -> str:
    """What was tested, where a procedure can be made on several things."""
    code, _colon, typed = subject.partition(":")
    label = next(
        (options[code] for options in found.words.choices.values() if code in options), code
    )
    return ", ".join(part for part in (label, typed.strip()) if part)


# --- readings -----------------------------------------------------------------------------------


def _tables(found: Recorded) -> list[ReadingsTable]:
    verdicts = {verdict.address: verdict for verdict in found.assessment.verdicts}
    tags = {text: chr(ord("a") + n) for n, text in enumerate(_sources(found))}
    columns: dict[tuple[str, str], list[Reading]] = {}
    for reading in found.readings:
        grid, _dot, rest = reading.address.partition(".")
        if reading.quantity and grid in found.readings.grid_rows:
            columns.setdefault((grid, rest.partition(".")[2]), []).append(reading)
    alone = {grid for grid, _c in columns if sum(grid == other for other, _d in columns) == 1}
    tables = []
    for (grid, column), readings in columns.items():
        rows = [
            _row(found, reading, verdicts.get(reading.address), tags, _row_of(found, reading))
            for reading in readings
        ]
        if grid in alone:
            rows += _closing_rows(found, readings[0], verdicts, tags)
        label = found.words.columns.get(f"{grid}.{column}", column)
        tables.append(_table(found.words.title, label, readings[0].unit, rows, tags))
    singles = [
        reading
        for reading in found.readings
        if reading.address.startswith("given.")
        and reading.origin == "measured"
        and reading.address in verdicts
        and not any(row["address"] == reading.address for t in tables for row in t.rows)
    ]
    for unit in dict.fromkeys(reading.unit for reading in singles):
        rows = [
            _row(found, reading, verdicts[reading.address], tags, reading.label)
            for reading in singles
            if reading.unit == unit
        ]
        tables.append(_table(found.words.title, _("measured besides"), unit, rows, tags))
    return tables


def _table(
    title: str, what: str, unit: str, rows: list[Row], tags: dict[str, str]
) -> ReadingsTable:
    used = {row["tag"] for row in rows}
    notes = [{"tag": tag, "text": f"{text}."} for text, tag in tags.items() if tag in used]
    late = dict.fromkeys(row["overdue"] for row in rows if row["overdue"])
    notes += [{"tag": OVERDUE, "text": text} for text in late]
    if converted := [f"{row['label']}, {row['read_as']}" for row in rows if row["read_as"]]:
        text = _("Converted; what was read: %(rows)s.") % {"rows": "; ".join(converted)}
        notes.append({"tag": "", "text": text})
    return ReadingsTable(
        caption=f"{title}: {what}",
        what=capfirst(what),
        unit=unit,
        rows=rows,
        notes=notes,
        strips=any(row["strip"] for row in rows),
        judged=any(row["outcome"] for row in rows),
    )


def _closing_rows(
    found: Recorded, like: Reading, verdicts: dict[str, VerdictOutcome], tags: dict[str, str]
) -> list[Row]:
    """What was measured over the whole of a route closes its table."""
    return [
        _row(found, reading, verdicts[reading.address], tags, reading.label) | {"total": True}
        for reading in found.readings
        if reading.address.startswith("given.")
        and reading.address in verdicts
        and (reading.quantity, reading.unit) == (like.quantity, like.unit)
        and reading.origin == "measured"
    ]


def _row(
    found: Recorded,
    reading: Reading,
    verdict: VerdictOutcome | None,
    tags: dict[str, str],
    label: str,
) -> Row:
    value, _sign, half = reading.understood.partition(" ± ")
    source = verdict.source if verdict else None
    return {
        "address": reading.address,
        "label": capfirst(label),
        "value": _without_unit(value, reading.unit),
        "unit": reading.unit,
        "full_label": capfirst(label),
        "u": half,
        "read_as": _read_as(reading),
        "overdue": _overdue(found, reading),
        "limit": _limit(verdict, reading.unit) if verdict else "",
        "tag": tags.get(source.words, "") if source else "",
        "strip": _strip(verdict) if verdict else "",
        "outcome": verdict.outcome if verdict else "",
        "lower": bool(verdict and decision.side_of(verdict) == "lower"),
        "common": bool(source and source.tag == "C"),
        "total": False,
    }


def _overdue(found: Recorded, reading: Reading) -> str:
    """That the instrument's calibration was due before the day of the test; "" where it was not,
    where no day was entered, and where the day of the test is not stored."""
    for instrument in found.context.instruments.values():
        due = instrument.calibration_due
        if reading.instrument == instrument.name and due and due < found.context.measured_on:
            return _("read with %(name)s, whose calibration was due on %(day)s.") % {
                "name": instrument.name,
                "day": _day(due),
            }
    return ""


def _day(iso: str) -> str:
    return date_format(date.fromisoformat(iso), "j F Y")


def _read_as(reading: Reading) -> str:
    """What was typed, where the value is shown with other figures; "" where it is not."""
    typed = reading.typed_unit and units.unit_symbol(reading.quantity, reading.typed_unit)
    if not typed or units.moves_the_point_only(reading.quantity, typed, reading.unit):
        return ""
    return with_unit(reading.typed.strip(), reading.typed_unit)


def _joined(text: str, unit: str) -> str:
    return f"{text}\u00a0{unit}" if unit and text[-1:].isdigit() else text


def _kept_together(text: str) -> str:
    """No line ends between a value and its doubt."""
    return text.replace(" ± ", "\u00a0±\u00a0")


def _unbroken(text: str, part: str) -> str:
    return text.replace(part, part.replace(" ", "\u00a0")) if part else text


def _without_unit(text: str, unit: str) -> str:
    return text.removesuffix(unit).rstrip("\u00a0 ") if unit else text


def limit_text(low: float | None, high: float | None, quantity: str, unit: str = "") -> str:
    """ "at most 0.20", "at least 13.0" or "13.8 to 14.8", without the unit."""
    unit = unit or units.QUANTITIES[quantity].unit
    least, most = units.limit_texts(low, high, quantity, unit)
    if least and most:
        return _("%(low)s to %(high)s") % {"low": least, "high": most}
    if most:
        return _("at most %(high)s") % {"high": most}
    return _("at least %(low)s") % {"low": least} if least else ""


def _limit(verdict: VerdictOutcome, unit: str) -> str:
    return limit_text(verdict.low, verdict.high, verdict.quantity, unit)


def _strip(verdict: VerdictOutcome) -> str:
    if verdict.value is None or verdict.outcome == "no_limit":
        return ""
    # The sign of a drop tells how the leads were held: its size is held against the limit.
    value = abs(verdict.value) if verdict.low is None else verdict.value
    return chart.limit_strip(value, verdict.u, verdict.low, verdict.high, verdict.outcome)


def _row_of(found: Recorded, reading: Reading) -> str:
    grid, code, _column = reading.address.split(".")
    return _row_label(found, code, grid)


def _places(found: Recorded, pattern: str, codes: Iterable[str]) -> str:
    return places_beyond(pattern, (_row_label(found, code) for code in codes))


def _row_label(found: Recorded, code: str, grid: str = "") -> str:
    for key in [grid] if grid else found.readings.grid_rows:
        for row in found.readings.rows(key):
            if row.code == code:
                return row.label
    return code


def _label(found: Recorded, address: str) -> str:
    """What people call an address."""
    grid, _dot, rest = address.partition(".")
    row, _dot, column = rest.partition(".")
    label = found.words.columns.get(f"{grid}.{column or row}", column or row)
    return f"{_row_label(found, row, grid)}: {label}" if column else label


def _key_rows(tables: list[ReadingsTable]) -> list[Row]:
    """The rows that matter: outside first, then in doubt, else the closing ones and the first."""
    rows = [
        row | {"full_label": f"{row['label']}, {_small(table.what)}"}
        if len(tables) > 1 and not row["address"].startswith("given.")
        else row
        for table in tables
        for row in table.rows
    ]
    telling = [row for row in rows if row["outcome"] == "outside"]
    telling += [row for row in rows if row["outcome"] == "cannot_tell"]
    if not telling:
        judged = [row for row in rows if row["outcome"] == "within"]
        telling = [row for row in rows if row["total"]] or judged or rows
    return telling[:MOST_KEY_ROWS]


def _small(label: str) -> str:
    """A label inside a line: its first letter small, unless it begins with a sign as B+ does."""
    return label[:1].lower() + label[1:] if label[1:2].islower() else label


def _worst(found: Recorded) -> VerdictOutcome | None:
    """The verdict that says most: outside before doubt before inside; first where the pattern
    points, then what was read rather than computed, then the farthest from its limit."""
    where = set(found.assessment.where)

    def rank(verdict: VerdictOutcome) -> tuple[int, bool, bool, float]:
        bound = verdict.high if verdict.high is not None else verdict.low
        beyond = abs((verdict.value or 0.0) / bound) if bound else 0.0
        elsewhere = not where & set(verdict.address.split("."))
        computed = verdict.address.startswith("figure.")
        return (_WORST.index(verdict.outcome), elsewhere, computed, -beyond)

    return min(found.assessment.verdicts, key=rank, default=None)


def _said(found: Recorded, verdict: VerdictOutcome) -> str:
    """One reading or figure with its verdict, for a line of text."""
    reading = found.readings.get(verdict.address)
    figure = found.assessment.figure(verdict.address.removeprefix("figure."))
    unit = reading.unit if reading else figure.unit if figure else ""
    if reading:
        value, label = reading.understood, _short_label(found, reading)
    elif verdict.value is not None:
        system = found.context.units
        value = units.show(verdict.value, verdict.u, verdict.quantity, system, unit=unit)
        label = verdict.label
    else:
        return ""
    shown = _("%(label)s %(value)s") % {"label": capfirst(label), "value": value}
    if verdict.source is None or verdict.outcome == "no_limit":
        return shown
    limit = _limit(verdict, unit) + (f"\u00a0{unit}" if unit else "")
    phrase = words.verdict_phrase(verdict.outcome, verdict.source.tag, limit, safety=verdict.safety)
    return f"{shown}: {phrase}"


def _short_label(found: Recorded, reading: Reading) -> str:
    """The row alone where a grid has one column of numbers, else row and column."""
    grid, _dot, rest = reading.address.partition(".")
    if grid not in found.readings.grid_rows:
        return reading.label
    others = {
        r.address.split(".")[2]
        for r in found.readings
        if r.address.startswith(f"{grid}.") and r.quantity
    }
    row = _row_label(found, rest.partition(".")[0], grid)
    return row if len(others) == 1 else f"{row}, {_label(found, reading.address).split(': ')[-1]}"


# --- the rest -----------------------------------------------------------------------------------


def _also(found: Recorded) -> list[str]:
    said = []
    for item in found.assessment.also:
        label = capfirst(found.words.patterns.get(item.pattern, item.pattern))
        places = _places(found, label, item.where)
        said.append(f"{label}: {places}" if places else label)
    return said


_STATES = {"cold": "cold", "hot": "hot"}


def _conditions(found: Recorded, run: Run) -> list[str]:
    said = []
    if run.state_of_car in _STATES:
        said.append(words.customer("condition.engine_temperature", _STATES[run.state_of_car]))
    elif run.state_of_car == "driving":
        said.append(_("while driving"))
    if found.context.fault_present != "unknown":
        said.append(words.customer("fault_present", found.context.fault_present))
    return [str(text) for text in said]


def _given(found: Recorded) -> list[dict[str, str]]:
    """Facts told or chosen beside the readings, with the values measured along with them."""
    judged = {verdict.address for verdict in found.assessment.verdicts}
    return [
        {"label": capfirst(reading.label), "value": _kept_together(value_words(found, reading))}
        for reading in found.readings
        if reading.address.startswith("given.") and reading.address not in judged
    ]


def value_words(found: Recorded, reading: Reading) -> str:
    """A value as people say it: the chosen label, yes or no, the number with its unit."""
    grid, _dot, rest = reading.address.partition(".")
    key = f"{grid}.{rest.partition('.')[2] or rest}"
    if reading.status == "measured" and isinstance(reading.value, bool):
        return _("yes") if reading.value else _("no")
    if key in found.words.choices:
        return str(found.words.choices[key].get(str(reading.value), reading.value))
    if reading.quantity and (typed := _read_as(reading)):
        return _("%(value)s, converted from %(typed)s") % {
            "value": reading.understood,
            "typed": typed,
        }
    return reading.understood


def _figures(found: Recorded) -> list[dict[str, str]]:
    shown = []
    for figure in found.assessment.figures:
        value = (
            ""
            if figure.value is None
            else units.show(
                figure.value,
                figure.u,
                figure.quantity,
                found.context.units,
                digit=_digit(found, figure),
                unit=figure.unit,
            )
        )
        shown.append(
            {
                "label": capfirst(figure.label),
                "value": _kept_together(value),
                "absent": figure.absent_because,
            }
        )
    return shown


def _digit(found: Recorded, figure: Figure) -> float:
    """No figure shows more than was read, the digit of the readings of its quantity, unless that
    would hide its uncertainty's first digit or, of an exact one, its own second. In the stored
    unit; 0 for no bound."""
    read_to = [r.digit for r in found.readings if r.quantity == figure.quantity and r.digit > 0]
    if figure.u > 0:
        return min(*read_to, 10 ** math.floor(math.log10(2 * figure.u)), math.inf)
    if not read_to or not figure.value:
        return min(read_to, default=0.0)
    return min(*read_to, 10 ** (math.floor(math.log10(abs(figure.value))) - 1))


def _sources(found: Recorded) -> list[str]:
    """Where the limits come from, each once."""
    return list(
        dict.fromkeys(v.source.words for v in found.assessment.verdicts if v.source is not None)
    )


def _instruments(found: Recorded) -> list[str]:
    used = dict.fromkeys(reading.instrument for reading in found.readings if reading.instrument)
    said = []
    for name in used:
        for instrument in found.context.instruments.values():
            if instrument.name == name:
                parts = [_unbroken(instrument.words, instrument.accuracy)]
                if instrument.serial:
                    parts.append(_("serial number %(serial)s") % {"serial": instrument.serial})
                if instrument.calibration_due:
                    parts.append(
                        _("calibration due %(day)s") % {"day": _day(instrument.calibration_due)}
                    )
                said.append(", ".join(parts))
                break
        else:
            said.append(name)
    return list(dict.fromkeys(said))


def _driving(found: Recorded) -> Driving | None:
    """Driving advice that the pattern proposes; today's, since it is only a proposal."""
    procedure = PROCEDURES.get(found.procedure)
    return procedure.pattern(found.assessment.pattern).driving if procedure else None


def _owner_cautions(found: Recorded) -> list[str]:
    procedure = PROCEDURES.get(found.procedure)
    if procedure is None:
        return []
    return [
        f"{caution.danger} {caution.text}"
        for caution in procedure.cautions_for(found.context)
        if caution.reader == "customer"
    ]
