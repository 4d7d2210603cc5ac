"""Does the order of the tests pay? Made-up jobs out of the tables, worked in three ways.

Each job draws a fault from a table and what every test of it would show; the same job is then
worked by swapping the likeliest part first, by tests in a fixed order, and by tests in our order.
The jobs come from our own tables, so all this shows is that the arithmetic works and what it would
save if the tables were right. How fragile that is show jobs drawn from numbers that were changed
at random, while those who work them still go by the unchanged tables.

Only `random.Random` draws, seeded by words, so that the same seed gives the same jobs everywhere.
"""

from __future__ import annotations

import hashlib
import math
import random
from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass, field, fields, is_dataclass, replace
from decimal import Decimal

from jobs.suspects.gather import COMPLAINT, SHARED, Made, Told, gather
from jobs.suspects.next_test import (
    LEAST_BITS,
    Candidate,
    Here,
    Ranked,
    looks_at_danger,
    minutes_from_here,
    rank,
)
from jobs.suspects.odds import IN_A_GROUP, UNDECIDED, Piece, update
from jobs.suspects.pairs import both
from jobs.suspects.tables import NOTHING, UNLISTED, Evidence, Row, Suspect, Table, source_of

SWAPS, FIXED, OURS = "swaps", "fixed", "ours"
STRATEGIES = (SWAPS, FIXED, OURS)

RIGHT, WRONG, OPEN = "right", "wrong", "open"
"""What the tests came to: the cause was named, another one was, or none."""

AS_THEY_ARE, A_LITTLE, A_LOT = 1.0, 1.5, 3.0
CHANGES = (AS_THEY_ARE, A_LITTLE, A_LOT)
"""How far the jobs stray from the tables: each number is multiplied by a factor of its own,
log-normal, whose geometric standard deviation this is; 1 leaves it as it is."""

ALLOWANCES = (60.0, 30.0, math.inf)
"""Minutes of tests that a customer may have agreed to; the first is the main case."""

RESAMPLES = 400
"""Of the bootstrap: the intervals of all that is no share are its 2.5th and 97.5th percentile."""


# --- what is assumed --------------------------------------------------------------------------


@dataclass(frozen=True)
class PriceClass:
    """Parts that cost about alike. price: in the shop's money, for the part alone; minutes: to swap
    it; parts: their whole names; words: a part whose name ends with one of these is here too."""

    name: str
    price: Decimal
    minutes: int
    parts: frozenset[str] = frozenset()
    words: frozenset[str] = frozenset()


MAJOR = PriceClass(
    "major",
    Decimal(1500),
    480,
    frozenset({"engine", "gearbox", "axle drive", "head gasket", "piston rings", "valve"})
    | {"valve stem seals", "timing chain"},
)
LARGE = PriceClass(
    "large",
    Decimal(350),
    120,
    frozenset({"alternator", "starter", "turbocharger", "catalyst", "particle filter", "radiator"})
    | {"steering rack", "brake servo", "master cylinder", "control unit", "engine computer"}
    | {"compressor", "clutch", "drive shaft", "fuel tank", "windscreen", "heater core", "injector"}
    | {"power steering pump", "steering assist motor", "exhaust gas cooler", "intercooler"}
    | {"engine harness", "timing belt", "condenser", "evaporator", "throttle body"},
)
SMALL = PriceClass(
    "small",
    Decimal(20),
    20,
    words=frozenset({"fuse", "relay", "bulb", "cap", "clamp", "strap", "link", "plug", "plugs"})
    | {"oil", "fluid", "coolant", "filter", "hose", "gasket", "seal", "connector", "bumper"}
    | {"stop", "membrane", "ring", "hanger", "cable", "belt", "pins", "washer"},
)
MIDDLE = PriceClass("middle", Decimal(90), 45)


@dataclass(frozen=True)
class Assumptions:
    """All that is neither in the tables nor in the procedures; judgement, common practice.

    sure_of_costly, sure: share of the leading suspect at which it is named as the cause, where its
    repair is costly or a matter of safety, and otherwise; least_bits: no further test is made when
    none tells more; allowance_minutes: no test is begun that would go beyond it (inf: no end);
    decides_nothing: share of tests, and of the customer's answers, that come out undecided;
    two_faults: share of jobs with two faults at once, of which nobody is told; most_swaps: needless
    ones after which anybody gives up; trying_minutes: to see after a swap whether the fault is
    gone; work_minutes: of a repair that needs no part; classes: what parts cost, the first that
    fits, else the last.
    """

    sure_of_costly: float = 0.9
    sure: float = 0.7
    least_bits: float = LEAST_BITS
    allowance_minutes: float = ALLOWANCES[0]
    decides_nothing: float = 0.05
    two_faults: float = 0.05
    most_swaps: int = 5
    trying_minutes: int = 10
    work_minutes: int = 30
    classes: tuple[PriceClass, ...] = (MAJOR, LARGE, SMALL, MIDDLE)

    def class_of(self, part: str) -> PriceClass:
        """What a part costs."""
        kind = part.rpartition(" ")[2]
        named = (one for one in self.classes if part in one.parts or kind in one.words)
        return next(named, self.classes[-1])


# --- the family and its jobs ------------------------------------------------------------------


@dataclass(frozen=True)
class Step:
    """A test that can be made. group: other tests of it see the same thing."""

    candidate: Candidate
    group: str = ""


@dataclass(frozen=True)
class Family:
    """What somebody at the car has: the table, the tests in the shop's fixed order, the conditions
    that the customer is asked for. sound: kind of evidence -> outcome that means nothing unusual;
    alarmed: the complaint is a danger by itself.
    """

    table: Table
    tests: tuple[Step, ...]
    asked: tuple[str, ...]
    sound: Mapping[str, str]
    alarmed: bool = False


@dataclass(frozen=True)
class Job:
    """A car with its fault, or two, and what each test or question would bring forth."""

    faults: tuple[str, ...]
    outcomes: Mapping[str, str]


@dataclass(frozen=True)
class End:
    """How a job went. named: what the tests came to; found: the cause was named, or a swap cured;
    minutes: of tests, and of swapping what was not at fault; needless: price of those parts;
    in_three: the cause, or one of two, was among the three likeliest when swapping began."""

    named: str
    found: bool
    tests: int = 0
    minutes: float = 0.0
    needless: Decimal = Decimal(0)
    in_three: bool = False


def strayed(shares: Row, factor: float, draw: random.Random) -> dict[str, float]:
    """A distribution each number of which was multiplied by a random factor; it still sums to 1."""
    if factor == AS_THEY_ARE:
        return dict(shares)
    spread = math.log(factor)
    raised = {name: p * math.exp(draw.gauss(0.0, spread)) for name, p in shares.items()}
    total = sum(raised.values())
    return {name: p / total for name, p in raised.items()}


def draw_job(family: Family, seed: str, factor: float, assumed: Assumptions) -> Job:
    """One job. Where numbers stray, they do so for this job alone, and each suspect has a row of
    its own, also where the table gives it the common one."""
    draw, stray = _dice(seed), _dice(f"{seed}/strayed")
    starts = strayed(family.table.starts, factor, stray)
    two = draw.random() < assumed.two_faults
    first = _drawn(starts, draw)
    listed = {code: p for code, p in starts.items() if code not in (first, *_NO_REPAIR)}
    second = _drawn(listed, draw)
    faults = (first, second) if two and first not in _NO_REPAIR else (first,)
    outcomes = {}
    for key, evidence in family.table.evidence.items():
        shown = _shown(evidence, faults, family.sound.get(source_of(key), ""), factor, stray)
        came, decides = _drawn(shown, draw), draw.random() >= assumed.decides_nothing
        outcomes[key] = came if decides else UNDECIDED
    return Job(faults, outcomes)


def _shown(
    evidence: Evidence, faults: tuple[str, ...], sound: str, factor: float, stray: random.Random
) -> Row:
    """How likely each outcome really is with these faults."""
    rows = {fault: strayed(evidence.row(fault), factor, stray) for fault in faults}
    if len(faults) == 1:
        return rows[faults[0]]
    usual = strayed(evidence.otherwise, factor, stray)
    return both(Evidence(evidence.key, usual, rows), faults[0], faults[1], sound)


def _dice(seed: str) -> random.Random:
    return random.Random(seed)  # noqa: S311  (nothing secret hangs on it)


def _drawn(shares: Mapping[str, float], draw: random.Random) -> str:
    (one,) = draw.choices(list(shares), list(shares.values()))
    return one


# --- three ways to work a job -----------------------------------------------------------------


@dataclass
class Car:
    """A job in the bay: what is known after which tests, worked out once for all who work it."""

    family: Family
    job: Job
    _pieces: dict[frozenset[str], tuple[Piece, ...]] = field(default_factory=dict)
    _shares: dict[frozenset[str], Mapping[str, float]] = field(default_factory=dict)
    _ranked: dict[tuple[frozenset[str], Here], list[Ranked]] = field(default_factory=dict)

    def pieces(self, made: frozenset[str]) -> tuple[Piece, ...]:
        """The evidence as it would count on a ticket: answers, and the tests of these keys."""
        if made not in self._pieces:
            told = [
                Told(0, condition, (outcome,))
                for condition in self.family.asked
                if (outcome := self.job.outcomes.get(COMPLAINT + condition, UNDECIDED)) != UNDECIDED
            ]
            tests = [
                _as_made(number, test, self.job.outcomes.get(test.candidate.key, UNDECIDED))
                for number, test in enumerate(self.family.tests, 1)
                if test.candidate.key in made
            ]
            self._pieces[made] = gather(self.family.table, tests=tests, answers=told).pieces
        return self._pieces[made]

    def shares(self, made: frozenset[str]) -> Mapping[str, float]:
        """The odds of all suspects after these tests."""
        if made not in self._shares:
            self._shares[made] = update(self.family.table, self.pieces(made)).shares
        return self._shares[made]

    def ranked(self, made: frozenset[str], here: Here) -> list[Ranked]:
        """The tests that were not made, in our order."""
        if (made, here) not in self._ranked:
            seen = {piece.group for piece in self.pieces(made) if piece.group}
            left = [
                self._candidate(test, made, seen)
                for test in self.family.tests
                if test.candidate.key not in made
            ]
            self._ranked[made, here] = rank(self.family.table, self.shares(made), left, here)
        return self._ranked[made, here]

    def _candidate(self, test: Step, made: frozenset[str], seen: Collection[str]) -> Candidate:
        """As it stands beside tests and answers that saw the same thing, and with what is in view.

        seen: their groups.
        """
        family, key = self.family, test.candidate.key
        evidence, shares = family.table.evidence.get(key), self.shares(made)
        return replace(
            test.candidate,
            weight=IN_A_GROUP if SHARED.get(source_of(key), test.group) in seen else 1.0,
            danger=evidence is not None
            and looks_at_danger(family.table, evidence, shares, alarmed=family.alarmed),
        )


def _as_made(number: int, test: Step, outcome: str) -> Made:
    named, _, state = test.candidate.key.partition("@")
    procedure, _, subject = named.partition(":")
    return Made(number, procedure, outcome, subject, state, group=test.group)


def work(car: Car, assumed: Assumptions) -> dict[str, End]:
    """The same job in each of the three ways."""
    return {
        SWAPS: by_swaps(car, assumed),
        FIXED: by_tests(car, assumed, in_our_order=False),
        OURS: by_tests(car, assumed, in_our_order=True),
    }


def by_swaps(car: Car, assumed: Assumptions) -> End:
    """Swap the likeliest part, then the next, until the fault is gone. What the customer answered
    is known here as well."""
    shares = car.shares(frozenset())
    return _swapped(car, shares, None, End(OPEN, False, in_three=_in_three(car, shares)), assumed)


def by_tests(car: Car, assumed: Assumptions, *, in_our_order: bool) -> End:
    """Test after test, until a cause can be named, the allowance is used up or nothing more can be
    told; then swap by what is known.

    Both orders begin from the same odds, leave out a test that would tell nothing just then or
    goes beyond the allowance, take half the time for what is open already, and stop by one rule.
    """
    made: frozenset[str] = frozenset()
    here, minutes = Here(), 0.0
    place = {test.candidate.key: n for n, test in enumerate(car.family.tests)}
    while not (named := _named(car, made, assumed)):
        fitting = [
            one
            for one in car.ranked(made, here)
            if minutes + one.minutes <= assumed.allowance_minutes
        ]
        if not any(one.bits > assumed.least_bits for one in fitting):
            break
        if not in_our_order:
            fitting.sort(key=lambda one: place[one.candidate.key])
        test = fitting[0].candidate
        minutes += minutes_from_here(test, here)
        here = _after(test, here)
        made |= {test.key}
    right = named is not None and named.code in car.job.faults
    so_far = End(
        RIGHT if right else WRONG if named else OPEN,
        right,
        len(made),
        minutes,
        in_three=_in_three(car, car.shares(made)),
    )
    if right or (named and named.code in _NO_REPAIR):
        return so_far
    return _swapped(car, car.shares(made), named, so_far, assumed)


def _in_three(car: Car, shares: Mapping[str, float]) -> bool:
    return not set(car.job.faults).isdisjoint(sorted(shares, key=lambda code: -shares[code])[:3])


def _after(candidate: Candidate, here: Here) -> Here:
    engine = candidate.wants if candidate.wants in ("hot", "driving") else here.engine
    return Here(engine, here.open | candidate.opens)


def _named(car: Car, made: frozenset[str], assumed: Assumptions) -> Suspect | None:
    """The suspect whose share is large enough for what its repair would risk; never untested."""
    if not made:
        return None
    shares = car.shares(made)
    suspect = car.family.table.suspect(max(shares, key=lambda code: shares[code]))
    stakes = suspect.costly or suspect.safety
    enough = assumed.sure_of_costly if stakes else assumed.sure
    return suspect if shares[suspect.code] >= enough else None


# --- swapping ---------------------------------------------------------------------------------

_WORK = "work on "
"""Before the code of a suspect for which no part is swapped."""

_NO_REPAIR = (UNLISTED, NOTHING)


def _repairs(suspect: Suspect) -> tuple[str, ...]:
    return suspect.parts or (_WORK + suspect.code,)


def _swapped(
    car: Car, shares: Mapping[str, float], named: Suspect | None, so_far: End, assumed: Assumptions
) -> End:
    """One part after another, the likeliest first and what was named before all, until the fault is
    gone or everybody gives up. Nobody swaps on a guess what is marked costly."""
    table, minutes, needless = car.family.table, so_far.minutes, so_far.needless
    left = [one for one in table.suspects if one.code not in _NO_REPAIR and not one.costly]
    part = _repairs(named)[0] if named else _likeliest_part(left, shares)
    for _ in range(assumed.most_swaps):
        if _cures(table, car.job, part):
            return replace(so_far, found=True, minutes=minutes, needless=needless)
        minutes += _minutes_of(part, assumed)
        needless += _price_of(part, assumed)
        left = [one for one in left if part not in _repairs(one)]
        if not left:
            break
        part = _likeliest_part(left, shares)
    return replace(so_far, minutes=minutes, needless=needless)


def _likeliest_part(left: Sequence[Suspect], shares: Mapping[str, float]) -> str:
    """The part with the greatest share of all suspects that name it; of equal ones the first."""
    weights: dict[str, float] = {}
    for suspect in left:
        for part in _repairs(suspect):
            weights[part] = weights.get(part, 0.0) + shares[suspect.code]
    return max(weights, key=lambda part: weights[part])


def _cures(table: Table, job: Job, part: str) -> bool:
    """Whether it is a part of a fault that is there; which of its parts is seen once it is open."""
    return any(
        part in _repairs(table.suspect(code)) for code in job.faults if code not in _NO_REPAIR
    )


def _price_of(part: str, assumed: Assumptions) -> Decimal:
    return Decimal(0) if part.startswith(_WORK) else assumed.class_of(part).price


def _minutes_of(part: str, assumed: Assumptions) -> int:
    swap = assumed.work_minutes if part.startswith(_WORK) else assumed.class_of(part).minutes
    return swap + assumed.trying_minutes


# --- what came of all jobs --------------------------------------------------------------------


@dataclass(frozen=True)
class Figure:
    """A number with its interval, 95 %."""

    value: float
    low: float
    high: float


@dataclass(frozen=True)
class Result:
    """Figures of one way to work. Shares by Wilson's interval, the others by the bootstrap over
    jobs: means of all jobs, and minutes_each, minutes of all jobs for each whose cause was found.
    """

    strategy: str
    found: Figure
    in_three: Figure
    right: Figure
    wrong: Figure
    open: Figure
    tests: Figure
    minutes: Figure
    minutes_each: Figure
    needless: Figure


@dataclass(frozen=True)
class Comparison:
    """What came of a set of jobs. saved_...: fixed order less ours, job by job."""

    jobs: int
    results: tuple[Result, ...]
    saved_tests: Figure
    saved_minutes: Figure
    saved_needless: Figure


Ends = Mapping[str, Sequence[End]]
"""Strategy -> how each job went, the jobs in the same order."""


def simulate(
    family: Family, numbers: Sequence[int], seed: int, factor: float, assumed: Sequence[Assumptions]
) -> list[Ends]:
    """How jobs of a family went, each way: once for each set of assumptions that differ only in
    what is done at the car. numbers: which of the endless row of jobs."""
    ends: list[dict[str, list[End]]] = [{way: [] for way in STRATEGIES} for _ in assumed]
    for number in numbers:
        name = f"{seed}/{family.table.family}/{number}"
        car = Car(family, draw_job(family, name, factor, assumed[0]))
        for found, one in zip(ends, assumed, strict=True):
            for strategy, end in work(car, one).items():
                found[strategy].append(end)
    return list(ends)


@dataclass(frozen=True)
class Situation:
    """Under what the jobs were worked."""

    factor: float
    allowance_minutes: float


@dataclass(frozen=True)
class Simulated:
    """What came of all of it; of_family: of each family in the main case."""

    of: Mapping[Situation, Comparison]
    of_family: Mapping[str, Comparison]


MAIN = Situation(AS_THEY_ARE, ALLOWANCES[0])
SITUATIONS = (
    MAIN,
    *(Situation(AS_THEY_ARE, minutes) for minutes in ALLOWANCES[1:]),
    *(Situation(factor, ALLOWANCES[0]) for factor in CHANGES[1:]),
)


def run(
    families: Sequence[Family],
    jobs: int,
    seed: int,
    assumed: Assumptions,
    progress: Callable[[int, int], None] = lambda done, total: None,
) -> Simulated:
    """The whole simulation: so many jobs of each family in every situation.

    progress: told how many jobs are worked, and of how many, after each family.
    """
    ends: dict[Situation, dict[str, list[End]]] = {
        situation: {way: [] for way in STRATEGIES} for situation in SITUATIONS
    }
    of_family = {}
    total, done = len(CHANGES) * len(families) * jobs, 0
    for factor in CHANGES:
        situations = [one for one in SITUATIONS if one.factor == factor]
        assumptions = [
            replace(assumed, allowance_minutes=one.allowance_minutes) for one in situations
        ]
        for family in families:
            found = simulate(family, range(jobs), seed, factor, assumptions)
            for situation, came in zip(situations, found, strict=True):
                for way in STRATEGIES:
                    ends[situation][way] += came[way]
                if situation == MAIN:
                    of_family[family.table.family] = compared(came, f"{seed}")
            done += jobs
            progress(done, total)
    return Simulated({one: compared(ends[one], f"{seed}") for one in SITUATIONS}, of_family)


def wilson(hits: int, of: int, z: float = 1.959964) -> Figure:
    """A share with Wilson's score interval.

    >>> wilson(0, 10).low
    0.0
    """
    share = hits / of
    middle = (share + z * z / (2 * of)) / (1 + z * z / of)
    reach = z / (1 + z * z / of) * math.sqrt(share * (1 - share) / of + z * z / (4 * of * of))
    return Figure(share, max(0.0, middle - reach), min(1.0, middle + reach))


def compared(ends: Ends, seed: str) -> Comparison:
    """Figures of all three ways; one resample takes the same jobs from each."""
    jobs = len(ends[OURS])
    columns = {
        strategy: [(one.tests, one.minutes, float(one.needless), one.found) for one in found]
        for strategy, found in ends.items()
    }
    draw = _dice(f"{seed}/resample")
    everyone = range(jobs)
    means = [_means(columns, everyone)]
    means += [_means(columns, draw.choices(everyone, k=jobs)) for _ in range(RESAMPLES)]

    def figure(of: Callable[[Mapping[str, _Means]], float]) -> Figure:
        values = [of(one) for one in means]
        return Figure(values[0], *_middle_95(values[1:]))

    def result(way: str) -> Result:
        named = [one.named for one in ends[way]]
        return Result(
            way,
            found=wilson(sum(one.found for one in ends[way]), jobs),
            in_three=wilson(sum(one.in_three for one in ends[way]), jobs),
            right=wilson(named.count(RIGHT), jobs),
            wrong=wilson(named.count(WRONG), jobs),
            open=wilson(named.count(OPEN), jobs),
            tests=figure(lambda mean: mean[way].tests),
            minutes=figure(lambda mean: mean[way].minutes),
            minutes_each=figure(lambda mean: mean[way].minutes_each),
            needless=figure(lambda mean: mean[way].needless),
        )

    return Comparison(
        jobs,
        tuple(result(way) for way in STRATEGIES),
        figure(lambda mean: mean[FIXED].tests - mean[OURS].tests),
        figure(lambda mean: mean[FIXED].minutes - mean[OURS].minutes),
        figure(lambda mean: mean[FIXED].needless - mean[OURS].needless),
    )


@dataclass(frozen=True)
class _Means:
    tests: float
    minutes: float
    needless: float
    found: float

    @property
    def minutes_each(self) -> float:
        return self.minutes / self.found if self.found else math.inf


def _means(
    columns: Mapping[str, Sequence[tuple[float, ...]]], jobs: Sequence[int]
) -> dict[str, _Means]:
    return {
        way: _Means(*(sum(c) / len(jobs) for c in zip(*(told[n] for n in jobs), strict=True)))
        for way, told in columns.items()
    }


def _middle_95(values: Sequence[float]) -> tuple[float, float]:
    ordered = sorted(values)
    cut = round(0.025 * len(ordered))
    return ordered[cut], ordered[-1 - cut]


# --- whether a printed result still stands ----------------------------------------------------

PROBED = 1
"""Jobs of each family that are worked again to see whether the figures still stand."""


def digest(families: Sequence[Family], jobs: int, seed: int, assumed: Assumptions) -> str:
    """A check value of all that the figures rest on: tables, tests with their minutes, assumptions,
    seed, number of jobs, and how a few jobs of each family end as the code is now."""
    said = [f"{jobs} {seed} {SITUATIONS} {RESAMPLES}", _plain(assumed)]
    for family in families:
        said.append(f"{family.table.family} {family.table.digest} {family.asked}")
        said += map(_plain, family.tests)
        for factor in CHANGES:
            said += map(_plain, simulate(family, range(PROBED), seed, factor, [assumed]))
    return hashlib.sha256("\n".join(said).encode()).hexdigest()


def _plain(value: object) -> str:
    """In words that don't depend on the order of a set, nor on the last digits of a float."""
    if is_dataclass(value):
        return _plain({one.name: getattr(value, one.name) for one in fields(value)})
    if isinstance(value, Mapping):
        return "{" + ", ".join(f"{key}: {_plain(value[key])}" for key in sorted(value)) + "}"
    if isinstance(value, frozenset):
        return "{" + ", ".join(sorted(map(_plain, value))) + "}"
    if isinstance(value, (tuple, list)):
        return "[" + ", ".join(map(_plain, value)) + "]"
    return f"{value:.6g}" if isinstance(value, float) else str(value)
