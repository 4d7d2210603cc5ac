"""Bringing the complaint about: under what it was tried, how often it came, and who saw it.

The quick gate before the search; a drive point by point is the road test. That a fault stayed away
is weighed by how often it is told to come (`core.recurrence`); 5 % of luck is a convention.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Literal

from measurements.core.assessment import Also, Assessment, Figure, Sentence
from measurements.core.cautions import MOVES_SILENTLY
from measurements.core.context import Context
from measurements.core.judging import conclude, figure_of
from measurements.core.procedure import (
    MAKER_FIRST,
    UNDECIDED,
    Caution,
    Choice,
    Confounder,
    Count,
    Driving,
    Effort,
    Fixed,
    Formula,
    Grid,
    Pattern,
    Precondition,
    Procedure,
    Row,
    Text,
)
from measurements.core.readings import Readings
from measurements.core.recurrence import (
    RISK,
    luck_of_none,
    luck_of_staying_away,
    more_needed,
    rate_at_least,
    rate_at_most,
    rate_with_doubt,
    tries_needed,
)
from measurements.core.units import show_value
from measurements.core.wording import at_head

MOST_TRIES = 200

OFTEN: Mapping[str, str] = {
    "every": "every time",
    "second": "every second",
    "fourth": "one in four",
    "tenth": "one in ten",
    "seldom": "more seldom",
    "unknown": "not known",
}
_ONE_IN = {"every": 1, "second": 2, "fourth": 4, "tenth": 10}

AS_TOLD = "as_told"

_TEN = 10

_STOPPED = {
    "no": "no",
    "chassis": "yes: brakes, steering or a wheel",
    "engine": "yes: lamp, temperature or a knock",
    "smoke": "yes: smoke, smell of fuel or a leak",
    "danger": "yes: another danger, see note",
    "not_the_car": "yes, not for the car: traffic, weather, time",
}
_DANGERS = {
    "chassis": "brakes, steering or a wheel",
    "engine": "a lamp, the temperature or a knock",
    "smoke": "smoke, a smell of fuel or a leak",
    "danger": "a danger that the technician noted",
}


@dataclass(frozen=True)
class Tried:
    """One condition: how often it was tried and how often the complaint came, 0 <= came <= tried,
    tried at least once."""

    code: str
    label: str
    tried: int
    came: int


def where_it_stays_away(tries: Sequence[Tried]) -> tuple[Tried, ...]:
    """Conditions under which it never came, and that by more than luck, beside those where it did.

    Fisher's exact test of each against all tries of the conditions under which it came.
    """
    came, tried = _where_it_came(tries)
    return tuple(
        one
        for one in tries
        if came and not one.came and luck_of_none(came, tried, one.tried) <= RISK + 1e-12
    )


def _where_it_came(tries: Sequence[Tried]) -> tuple[int, int]:
    """Times it came, and all tries, of the conditions under which it came at all."""
    with_it = [one for one in tries if one.came]
    return sum(one.came for one in with_it), sum(one.tried for one in with_it)


@dataclass(frozen=True)
class Trial:
    """All that was noted, reduced to what is weighed.

    impossible: labels of rows where it came more often than it was tried; one_in: as the customer
    tells it, once in so many tries, None if not known; agree: answer and counts do not contradict.
    """

    answer: str
    driver: str
    tries: tuple[Tried, ...]
    impossible: tuple[str, ...]
    one_in: int | None
    danger: str
    cut_short: bool

    @property
    def came(self) -> int:
        return sum(one.came for one in self.tries)

    @property
    def tried(self) -> int:
        return sum(one.tried for one in self.tries)

    @property
    def as_told(self) -> Tried | None:
        """The tries under all that the customer told."""
        return next((one for one in self.tries if one.code == AS_TOLD), None)

    @property
    def agree(self) -> bool:
        if self.answer == "no":
            return not self.came and not self.impossible
        return not self.tries or self.came > 0

    @property
    def seen(self) -> bool:
        """It came."""
        return self.answer in ("as_told", "otherwise")

    @property
    def clean(self) -> int:
        """Tries under the told conditions without it, where it never came."""
        told = self.as_told
        return told.tried if told and not self.came else 0

    @property
    def needed(self) -> int | None:
        """Tries in a row without it that speak against luck; None if it isn't told how often."""
        return None if self.one_in is None else tries_needed(self.one_in)


def assess(readings: Readings, context: Context) -> Assessment:
    """Whether it came and under what; where it stayed away, what that is worth."""
    trial = _trial(readings)
    seen = _seen(trial)
    lead, where = seen[0] if seen else (_quiet(trial), ())
    return conclude(
        PROCEDURE,
        readings,
        context,
        pattern=lead,
        where=where,
        also=tuple(Also(code, rows) for code, rows in seen[1:]),
        figures=_figures(trial),
        confounders=_confounders(trial, readings),
        customer=_customer(trial, lead, seen),
        technician=_technician(trial, lead, seen, readings),
        chart=_chart(trial),
    )


def _trial(readings: Readings) -> Trial:
    answer = str(readings.given("came") or "")
    tries, impossible = [], []
    for row in readings.rows("tries"):
        tried, came = row.value("tried"), row.value("came")
        if came is None and answer == "no":
            came = 0
        if tried is not None and came is not None and came > tried:
            impossible.append(row.label)
        elif tried and came is not None:
            tries.append(Tried(row.code, row.label, int(tried), int(came)))
    often = str(readings.given("often") or "unknown")
    stopped = str(readings.given("stopped") or "no")
    return Trial(
        answer=answer,
        driver=str(readings.given("driver") or ""),
        tries=tuple(tries),
        impossible=tuple(impossible),
        one_in=readings.given("one_in") or _ONE_IN.get(often),
        danger=_DANGERS.get(stopped, ""),
        cut_short=stopped != "no",
    )


def _seen(trial: Trial) -> list[tuple[str, tuple[str, ...]]]:
    """What was seen with its rows, in the order of the declared patterns."""
    found: dict[str, tuple[str, ...]] = {}
    if trial.danger:
        found["stopped"] = ()
    if trial.seen and trial.driver and trial.agree:
        came_at = tuple(one.code for one in trial.tries if one.came)
        if trial.driver == "customer_alone":
            found["came_unseen"] = came_at
        else:
            found["as_told" if trial.answer == "as_told" else "other_than_told"] = came_at
        if where_it_stays_away(trial.tries):
            found["only_under_some"] = came_at
    return [(p.code, found[p.code]) for p in PROCEDURE.patterns if p.code in found]


def _quiet(trial: Trial) -> str:
    """That it stayed away is a result only where it is said how often it was tried."""
    quiet = trial.answer == "no" and trial.agree and trial.tried > 0
    return "not_reproduced" if quiet else "undecided"


def _figures(trial: Trial) -> list[Figure]:
    """Counts only: chances stand in the technician's words."""
    if not trial.tries:
        return []
    figures = [
        figure_of("tried", "tried, all conditions", "count", float(trial.tried)),
        figure_of("came", "it came", "count", float(trial.came)),
    ]
    if trial.needed is not None and not trial.came:
        left = max(0, trial.needed - trial.clean)
        figures += [
            figure_of("needed", "tries in a row without it, to count", "count", trial.needed),
            figure_of("left", "of these still to be made", "count", left),
        ]
    return figures


def _expected(readings: Readings) -> list[Figure]:
    """For each condition how often it is to be expected, so that two runs with unlike numbers of
    tries can be compared; of ten tries, since customers read no chances."""
    found = []
    for one in _trial(readings).tries:
        rate, u = rate_with_doubt(one.came, one.tried)
        label = f"{one.label}: to be expected in {_TEN} tries"
        found.append(Figure(f"expected_{one.code}", label, "count", _TEN * rate, _TEN * u))
    return found


def _fault_shown(readings: Readings) -> Literal["yes", "no", "unknown"]:
    """Whether the complaint itself came; something else that came says nothing of it."""
    answer = readings.given("came")
    return "yes" if answer == "as_told" else "no" if answer == "no" else "unknown"


def _confounders(trial: Trial, readings: Readings) -> list[str]:
    weak = []
    if trial.driver == "customer_alone":
        weak.append("customer_alone")
    if trial.cut_short:
        weak.append("cut_short")
    if trial.answer != "no" or not trial.tried:
        return weak
    if trial.as_told is None:
        weak.append("not_as_told")
    elif trial.needed is None:
        weak.append("often_unknown")
    elif trial.clean < trial.needed:
        weak.append("too_few")
    return weak


# --- words, chart ----------------------------------------------------------------------


def _percent(chance: float) -> str:
    """A chance in whole per cent; below one, in words."""
    if chance < 0.01:
        return "less than 1 %"
    if chance > 0.99:
        return "more than 99 %"
    return show_value(100 * chance, "ratio", places=0)


def _of(one: Tried) -> str:
    return f"{one.came} of {one.tried}"


def _labels(codes: Sequence[str], trial: Trial) -> str:
    return ", ".join(one.label for one in trial.tries if one.code in codes)


Seen = Sequence[tuple[str, tuple[str, ...]]]


def _customer(trial: Trial, lead: str, seen: Seen) -> list[Sentence]:
    apart = _labels([one.code for one in where_it_stays_away(trial.tries)], trial)
    said = [
        PROCEDURE.say(
            f"customer.{code}", where=_labels(where, trial), why=trial.danger, apart=apart
        )
        for code, where in seen or ((lead, ()),)
    ]
    if trial.tries and trial.agree and trial.seen:
        said.append(PROCEDURE.say("customer.counts", came=str(trial.came), tried=str(trial.tried)))
    if lead == "not_reproduced":
        labels = ", ".join(f"{one.label} ({one.tried})" for one in trial.tries)
        said.append(PROCEDURE.say("customer.tried", what=labels))
        if trial.needed is not None and trial.clean < trial.needed > 1:
            said.append(PROCEDURE.say("customer.needed", needed=str(trial.needed)))
        said.append(PROCEDURE.say("customer.note"))
    return said


def _technician(trial: Trial, lead: str, seen: Seen, readings: Readings) -> list[Sentence]:
    told = [
        PROCEDURE.say(f"next.{code}", where=_labels(where, trial))
        for code, where in seen or ((lead, ()),)
        if code != "undecided"
    ]
    if lead == "undecided":
        told.append(PROCEDURE.say(_why_undecided(trial)))
    for label in trial.impossible:
        told.append(PROCEDURE.say("impossible", row=at_head(label)))
    if trial.agree and trial.seen:
        told += _conditions_told(trial)
    if lead == "not_reproduced":
        told += _luck_told(trial)
    if trial.agree and trial.as_told is not None and trial.answer != "otherwise":
        told.append(_rate_told(trial.as_told))
    if trial.driver == "customer_alone":
        told.append(PROCEDURE.say("customer_alone"))
    if trial.seen and trial.agree and trial.driver and not readings.given("where_came"):
        told.append(PROCEDURE.say("note_where"))
    return told


def _why_undecided(trial: Trial) -> str:
    if not trial.answer:
        return "say_whether"
    if not trial.agree:
        return "disagree"
    return "say_who" if trial.seen else "say_how_often"


def _conditions_told(trial: Trial) -> list[Sentence]:
    """For each condition without it, whether that is more than luck, or how many tries lack."""
    came, tried = _where_it_came(trial.tries)
    told = []
    for one in trial.tries:
        if one.came or not came:
            continue
        luck = luck_of_none(came, tried, one.tried)
        more = more_needed(came, tried, one.tried, MOST_TRIES)
        id = "stays_away" if more == 0 else "apart_open" if more is None else "apart_more"
        told.append(
            PROCEDURE.say(
                id,
                row=at_head(one.label),
                tried=str(one.tried),
                came=str(came),
                of=str(tried),
                luck=_percent(luck),
                more=str(more),
            )
        )
    return told


def _luck_told(trial: Trial) -> list[Sentence]:
    if trial.as_told is None:
        return [PROCEDURE.say("not_as_told")]
    if trial.one_in is None or trial.needed is None:
        return [PROCEDURE.say("ask_often")]
    luck = luck_of_staying_away(trial.one_in, trial.clean)
    numbers = {"clean": str(trial.clean), "needed": str(trial.needed)}
    if trial.one_in == 1:
        return [PROCEDURE.say("luck_every", **numbers)]
    return [
        PROCEDURE.say(
            "luck_enough" if trial.clean >= trial.needed else "luck",
            one_in=str(trial.one_in),
            luck=_percent(luck),
            **numbers,
        )
    ]


def _rate_told(one: Tried) -> Sentence:
    high = _percent(rate_at_most(one.came, one.tried))
    if not one.came:
        return PROCEDURE.say("rate_none", tried=str(one.tried), high=high)
    low = _percent(rate_at_least(one.came, one.tried))
    if one.came == one.tried:
        return PROCEDURE.say("rate_all", counts=_of(one), low=low)
    return PROCEDURE.say("rate", counts=_of(one), low=low, high=high)


def _chart(trial: Trial) -> dict[str, Any]:
    """A mark for each condition, solid where it came, with the counts."""
    if not trial.tries:
        return {}
    said = ", ".join(f"{one.label} {_of(one)}" for one in trial.tries)
    return {
        "kind": "tally",
        "title": PROCEDURE.say("chart", tries=said).text,
        "firm": "came",
        "loose": "did not come",
        "rows": [
            {"label": one.label, "marks": [{"label": _of(one), "firm": one.came > 0}]}
            for one in trial.tries
        ],
    }


# --- the declaration --------------------------------------------------------------------------

_NO_FURTHER = Driving(
    "do_not_drive",
    "Trying it was stopped because going on was a danger. The car is not to be driven before the "
    "reason is found and put right.",
)

_CONDITIONS: tuple[tuple[str, str], ...] = (
    ("cold", "engine cold"),
    ("hot", "engine hot"),
    ("standing", "standing, idling"),
    ("town", "town speed"),
    ("fast", "open-road speed"),
    ("load", "uphill or loaded"),
    ("braking", "braking"),
    ("turning", "turning"),
    ("bumps", "over bumps"),
    ("wet", "wet"),
    ("stood", "after standing"),
    ("other", "something else"),
)


def _times(key: str, label: str, needed: bool, help: str = "") -> Count:
    return Count(key=key, label=label, needed=needed, high=MOST_TRIES, help=help)


PROCEDURE = Procedure(
    name="make_it_happen",
    title="Make it happen",
    version=1,
    group="On the road",
    purpose="Shows whether the complaint can be brought about, under what it comes and under what "
    "it stays away, and whether we have seen it ourselves.",
    proves_nothing_when="It was not tried under what the customer told, or too few times for how "
    "seldom it comes. That it stayed away never means that it is gone.",
    cautions=(
        Caution(
            "Do not bring about what hurts.",
            "Brakes that go, steering that locks, an engine that dies in traffic, fuel, smoke, "
            "heat: not on the road. On a lift, on stands or on closed ground, or not at all.",
            "common practice",
        ),
        Caution(
            "Not on the road before it is fit for it.",
            "Pedal pumped firm before it moves, brakes and steering tried at walking pace, nuts "
            "tight, tyres whole, nothing apart, no drips.",
            "common practice",
        ),
        Caution(
            "Stop at once.",
            "Red lamp, flashing engine lamp, temperature rising, soft pedal, heavy or loose "
            "steering, smoke, smell of fuel, new knock. Hazard lights, engine off, tow.",
            "common practice",
        ),
        Caution(
            "Licence, insurance, plates, and the customer's yes.",
            "Agreed beforehand: who drives, how far, on what road. Whoever drives is licensed and "
            "insured for this car; the customer at the wheel too.",
            "common practice; local rules",
        ),
        Caution(
            "The driver only drives.",
            "No meter, no tool, no phone for who is at the wheel: a second person reads, or the "
            "car stands. What measures is fixed in place and hangs in no airbag's way.",
            "common practice; local rules",
        ),
        Caution(
            "Belts on, traffic law holds.",
            "Speed limits hold for trying too. Hard braking, swerving, bumps only where nobody is "
            "near; mirror first, nothing loose in the car.",
            "common practice; local rules",
        ),
        Caution(
            "Trying it while it stands.",
            "Neutral or park, brake on, wheels chocked, nobody in front; hands, hair and sleeves "
            "clear of belts and fans.",
            "OSHA 29 CFR 1910.212, 1910.219; common practice",
            from_memory=True,
        ),
        Caution(
            "Exhaust in a building kills.",
            "Extract it or try outdoors.",
            "occupational limits for carbon monoxide",
        ),
        Caution(
            "Liquid in a cylinder, or no oil pressure: do not crank or run it to see.",
            "Plugs out first, or oil pressure and level first.",
            "common practice",
        ),
        Caution(
            "Heat on purpose, never past the maker's mark.",
            "Watch the temperature all the time; never open the cooling system hot.",
            "HSE HSG261; common practice",
            from_memory=True,
        ),
        Caution(
            "Wetting on purpose.",
            "A fine spray, not a jet, not into air intakes or control units, never near high "
            "voltage.",
            "common practice",
        ),
        MOVES_SILENTLY,
        Caution(
            "Do not try it yourself where it is dangerous.",
            "With bad brakes, heavy or loose steering, smoke, a red lamp or a smell of fuel: stop "
            "and call us. Show it to us only with us in the car, or standing.",
            "common practice",
            "customer",
        ),
        MAKER_FIRST,
    ),
    preconditions=(
        Precondition(
            "agreed", "Customer agreed to the drive; licence, insurance and plates hold.", ""
        ),
        Precondition("fit", "Pedal firm, wheels, tyres and steering looked at, nothing apart.", ""),
        Precondition(
            "untouched",
            "Nothing unplugged, erased, cleaned or charged before it was tried.",
            "disturbed",
        ),
    ),
    fault_shown=_fault_shown,
    effort=Effort(
        minutes=15,
        tools=("second person", "phone holder"),
        state="any",
        risk="Traffic; a fault can get worse on the way.",
    ),
    given=(
        Choice(
            key="came",
            label="It came",
            needed=True,
            chips=True,
            choices={"as_told": "as told", "otherwise": "other than told", "no": "did not come"},
        ),
        Choice(
            key="driver",
            label="Who drove",
            needed=True,
            chips=True,
            choices={
                "technician": "we alone",
                "customer_alone": "customer alone",
                "technician_with": "we, with customer",
                "customer_with": "customer, with us",
                "nobody": "it stood",
            },
        ),
        Choice(
            key="often",
            label="How often, as told",
            chips=True,
            origin="told",
            choices=OFTEN,
            help="Of the same kind as the tries: drives, starts, stops.",
        ),
        Choice(key="stopped", label="Stopped early", choices=_STOPPED, finer=True),
        Text(
            key="where_came",
            label="Where and when it came",
            longest=120,
            finer=True,
            help="Place, minute, speed, gear, lamp: so that it can be tried there again.",
        ),
        Text(key="route", label="Route", longest=120, finer=True),
        Count(
            key="one_in",
            label="Told as once in how many, if known",
            low=1,
            high=1000,
            origin="told",
            finer=True,
        ),
    ),
    grids=(
        Grid(
            "tries",
            "Tries",
            Fixed(
                (
                    Row(AS_TOLD, "as told"),
                    *(Row(code, label, optional=True) for code, label in _CONDITIONS),
                )
            ),
            (
                _times("tried", "tried", True, "How many times."),
                _times("came", "it came", False, "How many times of these."),
            ),
            help="Each try counts in one row: in the first if all that was told was there, else "
            "in the one that names it best.",
        ),
    ),
    patterns=(
        Pattern("stopped", "stopped, going on was a danger", driving=_NO_FURTHER),
        Pattern("only_under_some", "comes under some conditions and stays away under others"),
        Pattern("other_than_told", "seen by us, other than told"),
        Pattern("as_told", "seen by us, as told"),
        Pattern("came_unseen", "came on the customer's own drive, not seen by us"),
        Pattern("not_reproduced", "did not appear while we tried", sound=True),
        UNDECIDED,
    ),
    confounders=(
        Confounder(
            "not_as_told",
            "It was not tried under all that the customer told.",
            0.2,
            only_sound=True,
        ),
        Confounder(
            "too_few",
            "It was tried too few times for how seldom it is told to come.",
            0.3,
            only_sound=True,
        ),
        Confounder(
            "often_unknown",
            "It is not known how often it comes, so its staying away cannot be weighed.",
            0.4,
            only_sound=True,
        ),
        Confounder("cut_short", "The trying was stopped early.", 0.5, only_sound=True),
        Confounder(
            "disturbed",
            "Something may have been unplugged, erased or cleaned before, which can take a fault "
            "away for a while.",
            0.3,
            only_sound=True,
        ),
        Confounder("customer_alone", "It was tried by the customer alone.", 0.5),
    ),
    needs_before=("look_over", "trouble_codes", "oil_level"),
    spoils=("battery_at_rest", "parasitic_draw", "pressure_hold", "tyres"),
    formulas=(
        Formula("tried", "sum of the tries under all conditions"),
        Formula("came", "sum of the times it came"),
        Formula(
            "needed",
            "ln 0.05 / ln (1 - 1/n), rounded up, where it is told to come once in n tries: so many "
            "in a row without it leave less than 5 % to luck",
            "zero-failure (success-run) sample size",
        ),
        Formula("left", "needed less the tries under the told conditions without it, not below 0"),
    ),
    example={
        "ready.agreed": "yes",
        "ready.fit": "yes",
        "ready.untouched": "yes",
        "given.came": "as_told",
        "given.driver": "customer_with",
        "given.often": "fourth",
        "given.where_came": "second roundabout, 20 km/h, after ten minutes",
        "tries.as_told.tried": "5",
        "tries.as_told.came": "2",
    },
    compared_by=_expected,
    evidence_group="road",
    assess=assess,
    sentences={
        # customer
        "customer.stopped": "We stopped trying, because going on was a danger: {why}.",
        "customer.only_under_some": "It came with: {where}. It stayed away with: {apart}.",
        "customer.other_than_told": "A fault came while we tried, but other than you told. Please "
        "tell us whether it is the one you mean.",
        "customer.as_told": "The fault came while we tried, as you told it.",
        "customer.came_unseen": "The fault came on your own drive. We have not seen it ourselves.",
        "customer.not_reproduced": "The fault did not appear while we tried. That does not mean it "
        "is gone.",
        "customer.undecided": "What was tried is not far enough on record to say anything.",
        "customer.counts": "Times tried: {tried}; times it came: {came}.",
        "customer.tried": "Tried, with the number of times: {what}.",
        "customer.needed": "For a fault that comes as seldom as you told, it would have to stay "
        "away {needed} times in a row before that says much.",
        "customer.note": "When it comes again, please note: day and time, engine cold or hot, "
        "speed, weather, load, and what the car did.",
        # technician: what it means for what comes next
        "next.stopped": "Stopped for a danger: its own tests first, the complaint after. Tell the "
        "owner in writing, offer a tow.",
        "next.only_under_some": "Comes under: {where}. Test under exactly that, once with it there "
        "and once without: the difference is the finding.",
        "next.other_than_told": "Came other than told: show it to the customer, agree that it is "
        "the same complaint, or enter it as one of its own.",
        "next.as_told": "Seen as told. For tests made while it is there answer that it "
        "was happening just then; only those weigh whole. Do not unplug before they are made.",
        "next.came_unseen": "Told again, not seen: ride along, or send a diary with it.",
        "next.not_reproduced": "For tests made now answer that it was not happening just then: a "
        "good reading then says next to nothing, and no part is more than suspected unless "
        "something is seen on it directly. Ride with the customer, or a diary and a date.",
        "say_whether": "Say whether it came.",
        "say_who": "Say who drove: whether we saw it ourselves.",
        "say_how_often": "Say how often it was tried: without that its staying away says nothing.",
        "disagree": "The answer and the counts contradict each other: put one of them right.",
        "impossible": "{row}: it came more often than it was tried; that row is not counted.",
        "not_as_told": "Not one of the tries was under all that the customer told: try that first.",
        "ask_often": "Ask how often it comes: then it is known how many tries without it would "
        "mean something.",
        "luck_every": "Told to come every time; tries without it: {clean}. It has changed, or "
        "something that was told was not there.",
        "luck": "Told as once in {one_in}; tries without it: {clean}. Still there as told, it "
        "would stay away that long by luck with a chance of {luck}. In a row, {needed} would "
        "bring that below 5 %.",
        "luck_enough": "Told as once in {one_in}; tries without it: {clean}. Still there as told, "
        "it would stay away that long by luck with a chance of only {luck}. Rather it has changed, "
        "comes more seldom than told, or something that was told was not there.",
        "rate_none": "As told, none in {tried}: it may still come in up to {high} of such tries "
        "(95 % certainty).",
        "rate": "As told, {counts}: it comes in {low} to {high} of such tries (each end at 95 % "
        "certainty).",
        "rate_all": "As told, {counts}: it comes in at least {low} of such tries (95 % certainty).",
        "stays_away": "{row}: tried {tried} times without it, against {came} of {of} where it "
        "came. Were the condition no matter, luck alone would do that with a chance of {luck}.",
        "apart_more": "{row}: not come in {tried}, against {came} of {of} where it came. That can "
        "still be luck ({luck}); tries without it that would settle it: {more} more.",
        "apart_open": "{row}: not come in {tried}, against {came} of {of} where it came. That can "
        "still be luck ({luck}); bring it about more often where it comes.",
        "customer_alone": "Tried by the customer alone: told, not seen by us.",
        "note_where": "Note where and when it came, so that the repair can be tried there again.",
        # chart
        "chart": "How often it came of how many tries: {tries}.",
    },
)
