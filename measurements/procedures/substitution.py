"""Substitution: a part is moved, lent or replaced by a lamp as a test, and the fault is watched.

One thing at a time; put back again, does the fault come back with it? All of that is common
practice. Counts of a fault (misfires) at both places: the conditional test of two Poisson counts,
J. Przyborowski and H. Wilenski, Biometrika 31 (1940) 313, from memory: given their sum, one of two
counts is binomial. It has an evidence group of its own: it sees neither spark nor fuel nor volts,
only whether the fault goes where the part goes.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from measurements.core.assessment import Also, Assessment, Figure, Sentence, Table
from measurements.core.context import Context
from measurements.core.judging import conclude, figure_of, judge
from measurements.core.procedure import (
    MAKER_FIRST,
    UNDECIDED,
    Caution,
    Choice,
    Confounder,
    Count,
    Effort,
    Fixed,
    Flag,
    Formula,
    Grid,
    Pattern,
    Precondition,
    Procedure,
    Quantity,
    Row,
    Text,
)
from measurements.core.readings import Readings
from measurements.core.recurrence import RISK
from measurements.core.units import show
from measurements.core.wording import at_head

if TYPE_CHECKING:
    from uncertainties import UFloat

KINDS: Mapping[str, str] = {
    "swap": "two like parts changed places",
    "good": "known-good part put in",
    "borrowed": "like part borrowed",
    "lamp": "lamp or load in its place",
}
ANSWERS: Mapping[str, str] = {
    "followed": "went along with the part",
    "stayed": "stayed at its place",
    "gone": "gone everywhere",
    "same": "the same at both",
    "new": "a new fault",
    "not_tried": "not tried yet",
}
LAMP: Mapping[str, str] = {"lit": "lit bright, or worked", "dim": "dim or weak", "dark": "dark"}
LOAD: Mapping[str, str] = {
    "like": "about what the part takes",
    "small": "much less",
    "led": "next to nothing: LED, meter",
}
BACK: Mapping[str, str] = {
    "no": "not put back yet",
    "returned": "back, fault as at first",
    "away": "back, fault stayed away",
    "untried": "back, not tried again",
}
SHARE_LEFT = 0.5
"""A fault counts as gone where less than this share of it is left, and as staying where more is
(judgement)."""

MOST_COUNTED = 20_000

# --- counts -----------------------------------------------------------------------------------


def at_most(came: int, of: int, share: float) -> float:
    """Chance, 0 to 1, that of so many at most `came` fall where the `share` of them belongs.

    >>> round(at_most(2, 15, 0.5) * 2**15, 6)
    121.0
    """
    if came >= of:
        return 1.0
    if came < 0:
        return 0.0
    log_is, log_not, whole = math.log(share), math.log1p(-share), math.lgamma(of + 1)
    ways = (
        math.exp(
            whole - math.lgamma(k + 1) - math.lgamma(of - k + 1) + k * log_is + (of - k) * log_not
        )
        for k in range(came + 1)
    )
    return min(1.0, float(f"{math.fsum(ways):.10g}"))


def luck_of_difference(one: int, other: int) -> float:
    """Chance that two counts over the same time differ as much, either way, only by luck.

    >>> luck_of_difference(3, 5), luck_of_difference(0, 6)
    (0.7265625, 0.03125)
    """
    return min(1.0, 2 * at_most(min(one, other), one + other, 0.5))


def share_expected(times: float, left: float = SHARE_LEFT) -> float:
    """Share of all counted that belongs to the later count, were `left` of the rate still there.

    times: later counting time over the earlier.

    >>> share_expected(2.0)
    0.5
    """
    return left * times / (1 + left * times)


def luck_of_fall(before: int, after: int, times: float) -> float:
    """Chance of so few after, or fewer, were just `SHARE_LEFT` of the rate still there."""
    return at_most(after, before + after, share_expected(times))


def luck_of_holding(before: int, after: int, times: float) -> float:
    """Chance of so many after, or more, were just `SHARE_LEFT` of the rate still there."""
    return at_most(before, before + after, 1 - share_expected(times))


@dataclass(frozen=True)
class Counts:
    """What was counted where the fault was and at the other place; None where nothing was.

    times: counting time after over the one before.
    """

    first: tuple[int, int] | None
    second: tuple[int, int] | None
    times: float

    @property
    def says(self) -> str:
        """ "followed", "stayed", "gone", "cannot_tell", or "" where too little was counted."""
        if self.first is None:
            return ""
        before, after = self.first
        if self.second is None:
            return self._of_one(before, after)
        other_before, other_after = self.second
        if luck_of_difference(before, other_before) > RISK or before < other_before:
            return "cannot_tell"
        apart = luck_of_difference(after, other_after) <= RISK
        if apart and other_after > after:
            return "followed"
        if luck_of_fall(before + other_before, after + other_after, self.times) <= RISK:
            return "gone"
        return "stayed" if apart else "cannot_tell"

    def _of_one(self, before: int, after: int) -> str:
        if luck_of_fall(before, after, self.times) <= RISK:
            return "gone"
        held = luck_of_holding(before, after, self.times) <= RISK
        return "stayed" if held and before else "cannot_tell"


_WHEN = ("before", "after")


def _row_counts(readings: Readings, row: str) -> tuple[int, int] | None:
    before, after = (readings.value(f"counts.{row}.{when}") for when in _WHEN)
    return None if before is None or after is None else (before, after)


def _seconds(readings: Readings) -> tuple[UFloat | None, UFloat | None]:
    """Counting times before and after; one that was not noted is like the other."""
    before, after = (readings.uncertain(f"given.time_{when}") for when in _WHEN)
    return after if before is None else before, before if after is None else after


def _counts(readings: Readings) -> Counts:
    before, after = _seconds(readings)
    times = 1.0
    if before is not None and after is not None:
        times = float(after.nominal_value / before.nominal_value)
    return Counts(_row_counts(readings, "first"), _row_counts(readings, "second"), times)


def _rates(readings: Readings) -> list[Figure]:
    """Counts in a minute; the doubt of a count is its root, of nought one."""
    from uncertainties import ufloat

    figures = []
    for row in readings.rows("counts"):
        for when, seconds in zip(_WHEN, _seconds(readings), strict=True):
            counted = row.value(when)
            if counted is None:
                continue
            key, label = f"rate_{row.code}_{when}", f"{row.label}, {when}"
            if seconds is None:
                why = "how long it was counted is not noted"
                figures.append(Figure(key, label, "frequency", None, absent_because=why))
                continue
            rate: Any = ufloat(counted, math.sqrt(max(counted, 1))) / seconds
            figures.append(figure_of(key, label, "frequency", rate, unit="1/min"))
    return figures


# --- what it says -----------------------------------------------------------------------------


@dataclass(frozen=True)
class Trial:
    """What was tried and what was told or counted of it."""

    kind: str
    answer: str
    lamp: str
    load: str
    back: str
    counted: str

    @property
    def contradicts(self) -> bool:
        """What was told does not go with what was counted, or with what was done."""
        if self.kind == "good" and self.answer == "followed":
            return True
        told = "stayed" if (self.kind, self.answer) == ("good", "same") else self.answer
        counted = self.counted in ("followed", "stayed", "gone")
        return counted and told in ("followed", "stayed", "gone", "same") and told != self.counted

    @property
    def counts_too_few(self) -> bool:
        """It was counted, and the counts show nothing of what was told."""
        return self.counted == "cannot_tell" and self.answer in ("", "followed", "stayed", "gone")

    @property
    def heard(self) -> str:
        """The answer as told, else as counted."""
        return self.answer or (self.counted if self.counted != "cannot_tell" else "")

    @property
    def pattern(self) -> str:
        """Code of the pattern while parts are moved and once they are back."""
        if self.kind == "lamp":
            return self._of_lamp()
        if self.contradicts or self.counts_too_few:
            return "undecided"
        moved = self.while_moved
        if moved == "undecided" or moved == "new_fault":
            return moved
        if self.back == "away":
            return "gone_after_moving"
        if self.back == "returned":
            return {
                "followed": "followed_and_back",
                "gone_after_moving": "gone_and_back",
                "good_part_gone": "gone_and_back",
            }.get(moved, moved)
        return moved

    @property
    def while_moved(self) -> str:
        """The pattern before anything was put back."""
        if self.kind not in KINDS:
            return "undecided"
        two_places = self.kind == "swap"
        return {
            "followed": "followed",
            "stayed": "stayed" if two_places else "good_part_remains",
            "gone": "gone_after_moving" if two_places else "good_part_gone",
            "same": "good_part_remains" if self.kind == "good" else "same_at_both",
            "new": "new_fault",
        }.get(self.heard, "undecided")

    def _of_lamp(self) -> str:
        if self.lamp == "lit":
            return "undecided" if self.load == "led" else "lamp_lit"
        return {"dim": "lamp_dim", "dark": "lamp_dark"}.get(self.lamp, "undecided")


def _trial(readings: Readings, counts: Counts) -> Trial:
    keys = ("kind", "answer", "lamp", "load", "back")
    kind, answer, lamp, load, back = (str(readings.given(key) or "") for key in keys)
    return Trial(kind, answer, lamp, load, back, counts.says)


def assess(readings: Readings, context: Context) -> Assessment:
    """Whether the fault went along, stayed or vanished, and how much that is worth."""
    counts = _counts(readings)
    trial = _trial(readings, counts)
    lead, moved = trial.pattern, trial.while_moved
    also = []
    if lead == "gone_after_moving" and moved not in (lead, "good_part_gone"):
        also.append(Also(moved))
    figures = _rates(readings)
    return conclude(
        PROCEDURE,
        readings,
        context,
        pattern=lead,
        also=also,
        figures=figures,
        verdicts=[v for v in judge(PROCEDURE, readings, context) if v.outcome != "no_limit"],
        confounders=_confounders(trial, lead, readings),
        tables=_tables(readings, figures),
        customer=_customer(trial, lead, readings),
        technician=_technician(trial, lead, counts, readings),
        chart=_chart(readings, figures),
    )


_PROVED_BY_RETURN = ("followed_and_back", "gone_and_back")


def _confounders(trial: Trial, lead: str, readings: Readings) -> list[str]:
    checks = (
        ("more_than_one", readings.given("others") is True),
        ("connector_disturbed", _connector_counts(trial, lead, readings)),
        (
            "good_part_unproven",
            lead == "good_part_remains" and readings.given("proved") != "proved",
        ),
        ("light_load", lead == "lamp_lit" and trial.load == "small"),
        ("load_unknown", lead == "lamp_lit" and not trial.load),
    )
    return [code for code, holds in checks if holds]


def _connector_counts(trial: Trial, lead: str, readings: Readings) -> bool:
    """Plugs come off with almost every part; only where the fault came back is that answered."""
    plugs = readings.given("plugs")
    if trial.kind == "lamp":
        return bool(plugs) and lead != "undecided"
    if lead in (*_PROVED_BY_RETURN, "undecided"):
        return False
    return lead == "gone_after_moving" or plugs is not False


# --- words, table, chart ----------------------------------------------------------------------


def _text(readings: Readings, key: str) -> str:
    return " ".join(str(readings.given(key) or "").split())


def _tried(readings: Readings) -> str:
    """ "ignition coil, cylinder 2 to cylinder 3"."""
    route = " to ".join(
        part for part in (_text(readings, "source"), _text(readings, "target")) if part
    )
    return ", ".join(part for part in (_text(readings, "what") or "a part", route) if part)


def _say(id: str, readings: Readings) -> Sentence:
    tried = _tried(readings)
    return PROCEDURE.say(id, tried=tried, head=at_head(tried))


def _is_out(trial: Trial) -> bool:
    """Something still stands where it does not belong."""
    return bool(trial.kind) and trial.back in ("", "no")


def _customer(trial: Trial, lead: str, readings: Readings) -> list[Sentence]:
    said = [_say(f"customer.{lead}", readings)]
    if trial.kind:
        said.append(PROCEDURE.say("customer.only_a_test"))
    if readings.given("others") is True:
        said.append(PROCEDURE.say("customer.others"))
    return said


def _percent(chance: float) -> str:
    """ "less than 1 %", "about 7 %"."""
    if chance < 0.01:
        return PROCEDURE.say("words.under_one").text
    return PROCEDURE.say("words.about", percent=str(round(100 * chance))).text


def _technician(trial: Trial, lead: str, counts: Counts, readings: Readings) -> list[Sentence]:
    told = []
    if lead != "undecided":
        told.append(_say(f"next.{lead}", readings))
    elif trial.answer == "not_tried":
        told.append(_say("next.not_tried", readings))
    elif trial.kind == "lamp" and trial.lamp == "lit":
        told.append(PROCEDURE.say("led"))
    elif not (trial.contradicts or trial.counts_too_few):
        told.append(PROCEDURE.say("next.undecided"))
    if trial.contradicts:
        told.append(PROCEDURE.say("contradicts"))
    told += _of_counts(trial, counts)
    if lead == "gone_after_moving" and trial.back == "away":
        told.append(PROCEDURE.say("stayed_away"))
    if lead in ("followed", "good_part_gone") and trial.back in ("", "no"):
        told.append(PROCEDURE.say("put_back"))
    if _connector_counts(trial, lead, readings):
        told.append(PROCEDURE.say("connector"))
    if readings.given("others") is True:
        told.append(PROCEDURE.say("others"))
    if _is_out(trial):
        told.append(PROCEDURE.say("still_out"))
    return told


def _of_counts(trial: Trial, counts: Counts) -> list[Sentence]:
    if not counts.says or counts.first is None:
        return []
    before, after = counts.first
    if counts.second is None:
        key, chance = "counted.fell", luck_of_fall(before, after, counts.times)
        if counts.says == "stayed":
            key, chance = "counted.held", luck_of_holding(before, after, counts.times)
        told = [PROCEDURE.say(key, before=str(before), after=str(after), luck=_percent(chance))]
    else:
        other_before, other_after = counts.second
        told = [
            PROCEDURE.say(
                "counted.both",
                before=str(before),
                other_before=str(other_before),
                luck_before=_percent(luck_of_difference(before, other_before)),
                after=str(after),
                other_after=str(other_after),
                luck_after=_percent(luck_of_difference(after, other_after)),
            )
        ]
    if trial.counts_too_few:
        told.append(PROCEDURE.say("counted.too_few"))
    told.append(PROCEDURE.say("counted.bursts"))
    return told


def _tables(readings: Readings, figures: Sequence[Figure]) -> tuple[Table, ...]:
    rates = {figure.key: figure for figure in figures if figure.value is not None}
    cells = []
    for row in readings.rows("counts"):
        counted = [row.value(when) for when in _WHEN]
        if counted == [None, None]:
            continue
        shown = [rates.get(f"rate_{row.code}_{when}") for when in _WHEN]
        cells.append(
            (
                row.label,
                *("" if one is None else str(one) for one in counted),
                *(
                    "" if one is None else show(one.value or 0.0, one.u, "frequency", unit="1/min")
                    for one in shown
                ),
            )
        )
    if not cells:
        return ()
    head = ("place", "before", "after", "rate before", "rate after")
    return (Table("Counted at each place", head, tuple(cells)),)


def _chart(readings: Readings, figures: Sequence[Figure]) -> dict[str, Any]:
    """Before and after at each place, in a minute; as counted where no time is known."""
    rates = {figure.key: figure for figure in figures}
    timed = bool(figures) and all(figure.value is not None for figure in figures)
    rows, told = [], []
    for row in readings.rows("counts"):
        points: dict[str, Any] = {}
        for when in _WHEN:
            counted = row.value(when)
            if counted is None:
                continue
            rate = rates[f"rate_{row.code}_{when}"]
            value, u = float(counted), math.sqrt(max(counted, 1))
            if timed and rate.value is not None:
                value, u = 60 * rate.value, 60 * rate.u
            points[when] = [value, u]
            told.append(
                PROCEDURE.say("chart.one", place=row.label, when=when, counted=str(counted)).text
            )
        if points:
            rows.append({"label": row.label, "low": None, "high": None, **points})
    if not rows:
        return {}
    return {
        "kind": "pairs",
        "title": PROCEDURE.say("chart", told="; ".join(told)).text,
        "axis": "counted",
        "unit": "in a minute" if timed else "in all",
        "rows": rows,
    }


def _moved(readings: Readings) -> tuple[str, ...]:
    """What stands elsewhere now; nothing once it was put back."""
    trial = _trial(readings, _counts(readings))
    begun = (
        trial.answer
        or trial.lamp
        or any(_text(readings, key) for key in ("what", "source", "target"))
    )
    if not (_is_out(trial) and begun):
        return ()
    source, target = _text(readings, "source"), _text(readings, "target")
    what = _text(readings, "what") or "part"
    if trial.kind == "swap":
        key = "apart.swap" if source and target else "apart.swap_somewhere"
    elif trial.kind == "borrowed":
        key = "apart.borrowed_from" if source else "apart.borrowed"
    else:
        key = f"apart.{trial.kind}"
    placed = what if trial.kind == "swap" or not target else f"{what}, {target}"
    said = PROCEDURE.say(key, what=what, placed=placed, source=source, target=target)
    return (at_head(said.text),)


def _next_step(readings: Readings, context: Context) -> tuple[tuple[str, str], ...]:
    """The box that would tell most now."""
    trial = _trial(readings, _counts(readings))
    if not trial.kind:
        return ()
    if trial.kind == "lamp":
        if not trial.lamp:
            return (("given.lamp", "Switched on: does the lamp light?"),)
        if not trial.load:
            return (("given.load", "A lamp that takes little lights through a bad joint too."),)
        return ()
    if trial.heard in ("", "not_tried"):
        return (("given.answer", "Same conditions as before: where is the fault now?"),)
    if trial.heard in ("followed", "gone") and trial.back in ("", "no", "untried"):
        return (("given.back", "Put back, does it come back? That makes it far stronger."),)
    return ()


# --- the declaration --------------------------------------------------------------------------


def _place(key: str, label: str, help: str) -> Text:
    return Text(key=key, label=label, longest=60, origin="told", help=help)


def _time(key: str, label: str) -> Quantity:
    return Quantity(
        key=key,
        label=label,
        quantity="time",
        unit="min",
        possible=(5.0, 36_000.0),
        likely=(30.0, 3600.0),
        instrument="clock",
        finer=True,
        help="One of the two is enough where both were the same.",
    )


PROCEDURE = Procedure(
    name="substitution",
    title="Substitution",
    version=1,
    group="Whole car",
    purpose="Shows whether a fault goes along with a part: the part is moved, lent or replaced by "
    "a lamp or load for a moment, one thing at a time, and put back. A test, not a sale.",
    proves_nothing_when="The fault was not there just before, more than one thing was moved, or it "
    "was tried under other conditions. A disturbed connector alone may make a fault vanish; a new "
    "part can be bad.",
    cautions=(
        Caution(
            "Engine off, ignition off, key out before anything is unplugged or moved.",
            "Unplugged live, coils and control units take harm and new codes are stored. Hot parts "
            "cool first; fans start by themselves.",
            "common practice",
        ),
        Caution(
            "Ignition: tens of kilovolts.",
            "Never pull or hold a coil or lead on a running engine. Nobody with a pacemaker near "
            "it.",
            "common practice",
        ),
        Caution(
            "Fuel under pressure when an injector is moved.",
            "Low-pressure port injection only: pressure let down the maker's way, no spark, catch "
            "what drips, eyes covered, extinguisher at hand, new seals, then look for leaks before "
            "it is started.",
            "OSHA 29 CFR 1910.106; common practice",
            from_memory=True,
        ),
        Caution(
            "Direct injection and common rail: no injector is moved, no line loosened.",
            "Their fuel goes through skin; a pinprick wound means hospital at once, however small.",
            "common practice",
        ),
        Caution(
            "Air bags, belt tensioners, anything of high voltage: never by substitution.",
            "No part moved, no lamp, no meter. Orange cables and yellow plugs are left alone.",
            "UN R100; maker's instructions",
            from_memory=True,
        ),
        Caution(
            "Immobiliser and coded control units are not exchanged.",
            "They may learn the wrong car or lock both. Only the maker's own way.",
            "maker's instructions",
        ),
        Caution(
            "A lamp or load only where the maker allows it.",
            "Never on electronics, sensor, air-bag or bus lines; never more current than the fuse "
            "and the driver carry. It gets hot: off the paint, off the trim.",
            "common practice; maker's instructions",
        ),
        Caution(
            "Codes of all modules are read and noted first.",
            "Unplugging stores new ones and may wipe old ones. A photo before a plug is touched.",
            "common practice",
        ),
        Caution(
            "Only alike with alike.",
            "Same part number, pins and rating; a relay with another pinning can burn a control "
            "unit. Locks and seals whole again afterwards.",
            "common practice",
        ),
        Caution(
            "Misfiring, an engine burns its catalyst.",
            "Run it no longer than needed, and let it cool: dry grass, hands and hoses keep away.",
            "common practice",
        ),
        Caution(
            "Brakes and steering are not tried out on the road with parts on trial.",
            "A part that stops or steers the car is fitted for good, the maker's way, or not at "
            "all.",
            "common practice",
        ),
        Caution(
            "Parts on trial are a test.",
            "Nothing is sold by it, and what was moved or lent goes back to its place.",
            "common practice",
            "customer",
        ),
        MAKER_FIRST,
    ),
    preconditions=(
        Precondition("seen", "The fault was there just before the move.", "not_seen_before"),
        Precondition("alike", "Tried again under the same conditions.", "other_conditions"),
        Precondition("noted", "Codes noted and a photo taken before a plug was touched."),
    ),
    effort=Effort(
        minutes=10,
        tools=("hand tools", "like or known-good part", "test lamp or load of the part's size"),
        risk="A plug or clip may break; a disturbed contact may hide the fault.",
    ),
    given=(
        Choice(
            key="kind", label="What was done", needed=True, chips=True, choices=KINDS, origin="told"
        ),
        Text(
            key="what",
            label="Part under test",
            longest=60,
            needed=True,
            origin="told",
            help="Ignition coil, fuel pump relay, fan motor.",
        ),
        _place("source", "From where", "Cylinder 2; socket of the horn relay; new from the shelf."),
        _place("target", "To where", "Cylinder 3; socket of the fuel pump relay."),
        Choice(
            key="answer",
            label="The fault",
            chips=True,
            choices=ANSWERS,
            help="Engine or circuit working again, in the same conditions as before.",
        ),
        Choice(
            key="back",
            label="Put back again",
            chips=True,
            choices=BACK,
            help="A fault that comes back with the part is worth far more than one that left once.",
        ),
        Flag(key="others", label="Something else was moved or changed too", needed=True),
        Choice(key="lamp", label="The lamp or load", chips=True, choices=LAMP),
        Choice(key="load", label="It takes", chips=True, choices=LOAD),
        Flag(
            key="plugs",
            label="A connector was unplugged or bent aside",
            finer=True,
            help="Left empty it counts as yes: most parts hang on one.",
        ),
        Choice(
            key="proved",
            label="The part put in",
            finer=True,
            choices={
                "proved": "proved on this or another car",
                "new": "new, not proved",
                "used": "used, not known",
            },
        ),
        Text(key="shown_before", label="How the fault showed before", longest=120, finer=True),
        Text(key="shown_after", label="How it showed afterwards", longest=120, finer=True),
        _time("time_before", "Counted before for"),
        _time("time_after", "Counted afterwards for"),
    ),
    grids=(
        Grid(
            "counts",
            "Counts of the fault",
            Fixed(
                (
                    Row("first", "where the fault was", optional=True),
                    Row("second", "the other place", optional=True),
                )
            ),
            tuple(
                Count(key=when, label=when, needed=True, finer=True, high=MOST_COUNTED)
                for when in _WHEN
            ),
            help="Misfires as the tool counts them, both places over the same time. May stay "
            "empty.",
        ),
    ),
    patterns=(
        Pattern(
            "followed_and_back",
            "the fault went along with the part, and back again with it",
            direct=True,
        ),
        Pattern("followed", "the fault went along with the part", direct=True),
        Pattern(
            "gone_and_back",
            "the fault left with the part and came back when it was put back",
            direct=True,
        ),
        Pattern("stayed", "the fault stayed at its place, with another part there", direct=True),
        Pattern("good_part_gone", "the fault is gone with another part in"),
        Pattern("good_part_remains", "the fault remains with another part in"),
        Pattern("same_at_both", "the fault is the same at both places"),
        Pattern("new_fault", "another fault than before after the move"),
        Pattern("gone_after_moving", "the fault is gone after parts were moved"),
        Pattern("lamp_dark", "a lamp in place of the part stays dark", direct=True),
        Pattern("lamp_dim", "a lamp in place of the part is dim", direct=True),
        Pattern("lamp_lit", "a lamp in place of the part lights as it should", sound=True),
        UNDECIDED,
    ),
    confounders=(
        Confounder(
            "more_than_one", "More than one thing was moved or changed at the same time.", 0.2
        ),
        Confounder(
            "connector_disturbed",
            "A connector was disturbed: that alone may have been the repair, or a new fault.",
            0.6,
        ),
        Confounder("not_seen_before", "It is not known that the fault was there just before.", 0.3),
        Confounder("other_conditions", "It was not tried again under the same conditions.", 0.4),
        Confounder(
            "good_part_unproven", "The part put in was not proved good: a new one can be bad.", 0.5
        ),
        Confounder(
            "light_load",
            "The lamp takes much less than the part: a bad joint carries that too.",
            0.4,
            only_sound=True,
        ),
        Confounder("load_unknown", "How much the lamp takes is not noted.", 0.5, only_sound=True),
    ),
    comparable={"kind": (0.0, 0.0)},
    compares=("rate_*",),
    needs_before=("trouble_codes",),
    spoils=("make_it_happen", "voltage_drop"),
    evidence_group="substitution",
    moved=_moved,
    formulas=(
        Formula(
            "rate_*",
            "counted / counting time; its doubt is the square root of the count, of nought one",
            "variance of a Poisson count",
        ),
    ),
    example={
        "ready.seen": "yes",
        "ready.alike": "yes",
        "ready.noted": "yes",
        "given.kind": "swap",
        "given.what": "ignition coil",
        "given.source": "cylinder 2",
        "given.target": "cylinder 3",
        "given.answer": "followed",
        "given.back": "returned",
        "given.others": "no",
        "given.time_before": "2 min",
        "counts.first.before": "46",
        "counts.first.after": "1",
        "counts.second.before": "0",
        "counts.second.after": "41",
    },
    next_step=_next_step,
    assess=assess,
    sentences={
        "apart.swap": "{what} of {source}, now at {target}; the other one in its place",
        "apart.swap_somewhere": "{what} changed places with a like one",
        "apart.good": "known-good part in place of: {placed}",
        "apart.borrowed": "borrowed part in place of: {placed}",
        "apart.borrowed_from": "borrowed part, from {source}, in place of: {placed}",
        "apart.lamp": "lamp or load in place of: {placed}",
        "words.under_one": "less than 1 %",
        "words.about": "about {percent} %",
        "chart": "Counted before and after: {told}.",
        "chart.one": "{place}, {when}: {counted}",
        # customer
        "customer.followed_and_back": "As a test a part was moved ({tried}). The fault went along "
        "with it, and came back when the part was put back.",
        "customer.followed": "As a test a part was moved ({tried}). The fault went along with it.",
        "customer.gone_and_back": "As a test another part was put in ({tried}). The fault was gone "
        "meanwhile, and came back with the first one.",
        "customer.stayed": "As a test two like parts changed places ({tried}). The fault stayed "
        "where it was.",
        "customer.good_part_gone": "As a test another part was put in ({tried}). Meanwhile the "
        "fault did not show. That can have more than one reason, so it is looked into further.",
        "customer.good_part_remains": "As a test another part was put in ({tried}). The fault was "
        "still there.",
        "customer.same_at_both": "As a test two like parts changed places ({tried}). The fault "
        "shows the same at both places.",
        "customer.new_fault": "As a test a part was moved ({tried}). Another fault showed then; "
        "this is looked into first.",
        "customer.gone_after_moving": "After parts were moved as a test ({tried}) the fault no "
        "longer shows. That does not mean that it is mended: moving a plug can hide a fault for a "
        "while.",
        "customer.lamp_dark": "As a test a lamp was connected instead of the part ({tried}). It "
        "did not light, so current does not reach the part or does not flow back.",
        "customer.lamp_dim": "As a test a lamp was connected instead of the part ({tried}). It was "
        "dim, so too little current reaches the part.",
        "customer.lamp_lit": "As a test a lamp was connected instead of the part ({tried}). It "
        "lit, so the wires carried current just then.",
        "customer.undecided": "Trying parts by way of a test has not decided anything yet.",
        "customer.only_a_test": "This was a test. No part has been sold by it.",
        "customer.others": "Something else was changed at the same time, so it is repeated one "
        "thing at a time.",
        # technician
        "next.followed_and_back": "{head}: went along and came back with the part. Its own plug "
        "and seat moved along too if they were taken: look at them, then the part's own test.",
        "next.followed": "{head}: went along with the part. The part's own test next, if it has "
        "one.",
        "next.gone_and_back": "{head}: gone with the other one in, back with the first. Pins, seat "
        "and plug of the first looked at; then its own test.",
        "next.stayed": "{head}: another part there, same fault. What stayed: plug, wires, driver, "
        "ground, and what the part works on (plug, injector, compression). Halve from there.",
        "next.good_part_gone": "{head}: no fault with the other one in. Was it the part, or the "
        "plug that was moved?",
        "next.good_part_remains": "{head}: the fault remains. That lowers the part and does not "
        "rule it out: the other one may be bad too. Feed, ground and control under load next.",
        "next.same_at_both": "{head}: the same at both. What both share: feed, ground, fuse, fuel, "
        "air, control unit.",
        "next.new_fault": "{head}: another fault. Plug home, pins straight, right way round, codes "
        "read again; put all back before anything else.",
        "next.gone_after_moving": "{head}: gone, and that proves nothing yet. Look at pins and "
        "lock, tug and warm the plug, try as often as it used to come.",
        "next.lamp_dark": "{head}: the lamp stays dark. Volts to ground on both sides with the "
        "lamp on: feed missing, or ground, or the command.",
        "next.lamp_dim": "{head}: the lamp is dim. Volt drop along feed and ground with this load.",
        "next.lamp_lit": "{head}: feed and ground carried this load just then. Not answered: more "
        "current, heat, wiggled. The part's own test next.",
        "next.not_tried": "{head}: run it under the same conditions as before, then note where the "
        "fault is.",
        "next.undecided": "Say what was moved, from where to where, and where the fault was then.",
        "contradicts": "What was told and what was counted do not go together: try it again, or "
        "count again.",
        "stayed_away": "Put back, it did not come back: a contact that was moved, or a fault that "
        "comes and goes. No part is shown by this.",
        "put_back": "Put it back and try again: only a fault that comes back with the part makes "
        "it firm.",
        "led": "An LED or meter lights through a joint that carries nothing: repeat with a load "
        "like the part.",
        "connector": "A disturbed connector may be the repair: pins, lock and crimp looked at, "
        "wiggled on purpose.",
        "others": "More than one thing changed: all back, then one at a time.",
        "still_out": "Not put back yet: it stays on the list of what is apart until it is back, or "
        "fitted for good as a swap.",
        "counted.both": "Counted before {before} against {other_before} at the other place (by "
        "luck alone {luck_before}); after {after} against {other_after} ({luck_after}).",
        "counted.fell": "Counted {before} before, {after} after. Were half of it still there, so "
        "few would come by luck with a chance of {luck}.",
        "counted.held": "Counted {before} before, {after} after. Were only half of it left, so "
        "many would come by luck with a chance of {luck}.",
        "counted.too_few": "The counts cannot tell where the fault is: count longer, in the "
        "conditions in which it comes most.",
        "counted.bursts": "Misfires come in bursts, so counts tell less than this arithmetic: "
        "count over several minutes.",
    },
)
