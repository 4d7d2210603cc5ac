"""Starter current by clamp: what the starter draws and loses, and its ripple hump by hump.

Each cylinder's compression slows the starter, so that its current rises: a hump for each cylinder,
in firing order. A hump lower than the others shows a cylinder that resists less; the level of all
together it does not show. Only ratios of humps are judged, in which the clamp's gain cancels.
Sources: windows and the telling difference are common practice; amperes by engine are the maker's.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any, Literal

from measurements.core import battery, units
from measurements.core.assessment import Also, Assessment, Figure, Sentence, Table, VerdictOutcome
from measurements.core.cautions import CAN_LEAP
from measurements.core.context import Context, Engine
from measurements.core.cylinder_pressure import share_percent
from measurements.core.decision import decide, limit_words
from measurements.core.judging import conclude, figure_of, judge, judge_figure, span_for
from measurements.core.procedure import (
    MAKER_FIRST,
    UNDECIDED,
    Caution,
    Choice,
    Code,
    Confounder,
    Count,
    Driving,
    Effort,
    Fixed,
    Flag,
    Formula,
    Grid,
    Limit,
    OfCar,
    Pattern,
    Precondition,
    Procedure,
    Quantity,
    Row,
    Source,
    Span,
)
from measurements.core.readings import Reading, Readings, RowReadings
from measurements.core.uncertainty import decimal_places
from measurements.core.wording import at_head
from measurements.procedures.compression import arrangement
from measurements.procedures.cranking import (
    COMMANDED_SHARE,
    FROST_C,
    HIGH_OF_NOTED,
    LOW_OF_NOTED,
    USUAL_CURRENT_A,
    held_least_v,
    lies,
)
from measurements.procedures.cranking import PROCEDURE as CRANKING
from measurements.procedures.voltage_drop import WHOLE_LIMIT_V, resistance_mohm

if TYPE_CHECKING:
    from uncertainties import UFloat

_PRACTICE = Source("C", "common practice")
_NOTED = Source("C", "around the current when all is well, common practice")

TELLING_SHARE: Mapping[str, float] = {"heights": 80.0, "peaks": 90.0}
"""What was compared -> least usual share of a hump of the mean of the others, per cent: a fifth
lower tells by height above the trough (common practice). A peak stands on the current that friction
takes, which hides part of the difference: there a tenth (judgement)."""

WINDINGS_A = 30.0
"""Solenoid windings alone hold with 10 to 20 A (common practice); more flows in a starter."""

LONGEST_S, SHORTEST_S = 10.0, 2.0
"""Cranked longer it gets hot; shorter it has not settled into equal turns (common practice)."""

_TURNS = ("turns", "turns_slowly")
_STANDS = ("clicks", "nothing")
_NO_CRANKING = ("liquid_suspected", "stops_dead")
SIDES = ("feed", "ground")


# --- limits -----------------------------------------------------------------------------------


def _temperature_c(readings: Readings) -> float | None:
    """Of the battery as far as the engine's tells it: a warm engine says nothing of that."""
    temp_c = readings.given("temperature")
    return None if temp_c is None or temp_c > 20 else float(temp_c)


def _volts_limit(context: Context, readings: Readings, row: RowReadings | None) -> Span | None:
    return Span(held_least_v(_temperature_c(readings)) * context.car.volts / 12, None, _PRACTICE)


def _current_limit(context: Context, readings: Readings, row: RowReadings | None) -> Span | None:
    """Around what was noted, else what is usual by fuel; stiff oil in frost has no upper end."""
    if readings.given("clamp") == "ac":
        return None
    noted = readings.given("noted_current")
    if noted:
        low, high, source = LOW_OF_NOTED * noted, HIGH_OF_NOTED * noted, _NOTED
    elif context.car.volts == 12:
        low, high = USUAL_CURRENT_A.get(context.car.fuel, USUAL_CURRENT_A[""])
        source = _PRACTICE
    else:
        return None
    temp_c = _temperature_c(readings)
    return Span(low, None if temp_c is not None and temp_c < FROST_C else high, source)


def _side_span(side: str, context: Context) -> Span | None:
    limit_v = WHOLE_LIMIT_V["starter_" + side]
    return Span(None, limit_v, _PRACTICE) if context.car.volts == 12 else None


def _volts_range(context: Context) -> tuple[float, float]:
    most = 20.0 * context.car.volts / 12
    return (-most, most)  # leads swapped


def _not_for(context: Context) -> str:
    if not context.car.has_engine:
        return "an electric car has no engine to crank."
    return CRANKING.not_for(context) if CRANKING.not_for else ""


# --- the humps --------------------------------------------------------------------------------


@dataclass(frozen=True)
class Humps:
    """Humps of the current by row code, in the order in which they came; A on one clamp.

    by: "heights" above the troughs, "peaks" where troughs were not read of all, "" where the clamp
    cannot tell; sizes: of those that were read; cylinders: number by row code, empty if not known.
    """

    rows: tuple[str, ...]
    by: Literal["heights", "peaks", ""] = ""
    sizes: Mapping[str, UFloat] = field(default_factory=dict)
    cylinders: Mapping[str, int] = field(default_factory=dict)

    @property
    def whole(self) -> bool:
        """Every hump was read, and there are others to compare it with."""
        return len(self.sizes) == len(self.rows) > 1

    def lowest(self, codes: Sequence[str] | None = None) -> str:
        """The lowest hump of these (of all), "" without one."""
        among = self.sizes if codes is None else codes
        return min(among, key=lambda code: self.sizes[code].nominal_value, default="")

    def share(self, code: str, low: Sequence[str] = ()) -> UFloat | None:
        """Per cent of the mean of the others, those that are low left out; None where that mean is
        not clear of nought, or nothing else was read."""
        if len(self.sizes) < 2:
            return None
        others = [one for one in self.sizes if one != code and one not in low] or [code]
        read: list[Any] = [self.sizes[one] for one in others]
        mean = sum(read[1:], read[0]) / len(read)
        if mean.nominal_value <= 2 * mean.std_dev:
            return None
        found: UFloat = share_percent(self.sizes[code], mean)
        return found

    def low(self, limit: float, risk: float) -> tuple[str, ...]:
        """Humps beyond doubt below the limit; each is held against those not found low before it,
        so that one does not hide the next."""
        found: list[str] = []
        while len(found) < len(self.sizes) - 1:
            code = self.lowest([one for one in self.sizes if one not in found])
            share = self.share(code, found)
            if share is None:
                break
            if decide(share.nominal_value, share.std_dev, limit, None, risk).outcome != "outside":
                break
            found.append(code)
        return tuple(code for code in self.sizes if code in found)

    def label(self, code: str) -> str:
        """ "cylinder 3", or "hump 2" where the cylinder is not known."""
        number = self.cylinders.get(code)
        return f"hump {code[1:]}" if number is None else f"cylinder {number}"

    def named(self, codes: Sequence[str]) -> str:
        """Several humps as people say them; unknown ones by their distance from the first."""
        if len(codes) == 1:
            return self.label(codes[0])
        if self.cylinders:
            numbers = [str(number) for number in sorted(self.cylinders[code] for code in codes)]
            return "cylinders {} and {}".format(", ".join(numbers[:-1]), numbers[-1])
        first, *rest = codes
        places = [self.rows.index(code) - self.rows.index(first) for code in rest]
        parts = [self.label(first), *(f"the {_nth(place)} after it" for place in places)]
        return "{} and {}".format(", ".join(parts[:-1]), parts[-1])


Shares = Mapping[str, "UFloat | None"]
"""Row code -> share of a hump, per cent; None where nothing clear of nought stands beside it."""


def _nth(number: int) -> str:
    """
    >>> [_nth(n) for n in (1, 2, 3, 4, 11)]
    ['1st', '2nd', '3rd', '4th', '11th']
    """
    ending = {1: "st", 2: "nd", 3: "rd"}.get(number, "th")
    return f"{number}{ending}"


def firing_order(readings: Readings, engine: Engine) -> tuple[int, ...]:
    """As typed, else the car's; empty where neither names each cylinder once."""
    typed = readings.given("order")
    order = tuple(int(n) for n in str(typed).split("-")) if typed else engine.firing_order
    return order if sorted(order) == list(range(1, engine.cylinders + 1)) else ()


def cylinders_of(first: int, order: Sequence[int]) -> tuple[int, ...]:
    """The cylinders in firing order from that of the first hump; empty if it is not among them.

    >>> cylinders_of(4, (1, 3, 4, 2))
    (4, 2, 1, 3)
    """
    if first not in order:
        return ()
    start = list(order).index(first)
    return (*order[start:], *order[:start])


def _humps(readings: Readings, context: Context) -> Humps:
    """What was read of the humps; nothing where the engine did not turn."""
    rows = readings.rows("humps")
    codes = tuple(row.code for row in rows)
    if readings.given("did") not in (*_TURNS, None):
        return Humps(codes)
    peaks = {row.code: row.uncertain("peak") for row in rows}
    troughs = {row.code: row.uncertain("trough") for row in rows}
    read: dict[str, Any] = {code: peak for code, peak in peaks.items() if peak is not None}
    # A clamp held the other way shows every hump as a dip.
    sign = -1 if sum(peak.nominal_value for peak in read.values()) < 0 else 1
    by: Literal["heights", "peaks", ""] = "peaks"
    if read and all(troughs[code] is not None for code in read):
        by = "heights"
        read = {code: peak - troughs[code] for code, peak in read.items()}
    elif readings.given("clamp") == "ac":
        return Humps(codes)
    sizes = {code: sign * number for code, number in read.items()}
    first = readings.given("first")
    known: tuple[int, ...] = ()
    if first is not None and readings.given("trigger") not in ("shared", "none"):
        known = cylinders_of(first, firing_order(readings, context.car.engine))
    return Humps(codes, by if sizes else "", sizes, dict(zip(codes, known, strict=False)))


def _low_pattern(low: Sequence[str], humps: Humps, engine: Engine) -> str:
    """One low, neighbours, a bank or several; where they stand only if the cylinders are known."""
    if humps.cylinders:
        return arrangement([f"c{humps.cylinders[code]}" for code in low], engine)
    return "one_low" if len(low) == 1 else "several_low"


# --- reasoning --------------------------------------------------------------------------------


def assess(readings: Readings, context: Context) -> Assessment:
    """Dangers first, then command, losses, volts and current together, then the humps."""
    humps = _humps(readings, context)
    usual = TELLING_SHARE.get(humps.by, 0.0)
    chosen = span_for(PROCEDURE, "figure.lowest_share", context, readings)
    limit = chosen.low if chosen is not None and chosen.low is not None else usual
    low = humps.low(limit, context.risk)
    shares = {code: humps.share(code, low) for code in humps.sizes}
    flows = _flows(readings, context)
    figures = _figures(readings, flows) + _hump_figures(humps, shares)
    judged = {figure.key: figure for figure in figures}
    verdicts = list(judge(PROCEDURE, readings, context))
    if flows:
        verdicts += [
            judge_figure(PROCEDURE, judged[f"{side}_drop"], context, _side_span(side, context))
            for side in SIDES
            if f"{side}_drop" in judged
        ]
    if "lowest_share" in judged:
        span = Span(usual, None, _PRACTICE)
        verdicts.append(judge_figure(PROCEDURE, judged["lowest_share"], context, span))
    by_address = {verdict.address: verdict for verdict in verdicts}
    seen = [Also(code) for code in _seen(readings, context, by_address)]
    if low:
        seen.append(Also(_low_pattern(low, humps, context.car.engine), low))
    leading, *rest = seen or [Also(_quiet(readings, humps, verdicts))]
    weak = _confounders(readings, context, humps, leading.pattern)
    return conclude(
        PROCEDURE,
        readings,
        context,
        pattern=leading.pattern,
        where=leading.where,
        also=rest,
        figures=figures,
        verdicts=verdicts,
        confounders=weak,
        tables=_tables(readings, humps, shares),
        customer=_customer(leading, readings, humps, figures, shares, by_address, weak),
        technician=_technician(leading, rest, readings, humps, figures, shares, verdicts),
        chart=_chart(humps, shares, limit),
    )


def _commanded(readings: Readings, context: Context) -> bool | None:
    """Whether volts arrive at the solenoid's control terminal; None if not read."""
    control = readings.value("volts.control.volts")
    if control is None:
        return None
    rest = readings.value("volts.rest.volts") or context.car.volts
    return bool(abs(control) >= COMMANDED_SHARE * abs(rest))


def _amperes(readings: Readings) -> UFloat | None:
    """The current held, without its sign; None with a clamp that sees no direct current."""
    held = readings.uncertain("current.held.amps")
    if held is None or readings.given("clamp") == "ac":
        return None
    found: UFloat = _size(held)
    return found


def _windings_at_most(readings: Readings, context: Context) -> bool:
    """No more flows than solenoid windings take."""
    held, reading = _amperes(readings), readings.get("current.held.amps")
    if held is not None:
        found = decide(held.nominal_value, held.std_dev, None, WINDINGS_A, context.risk)
        return found.outcome == "within"
    below = reading is not None and reading.status == "below" and reading.bound is not None
    return bool(below and reading and reading.bound is not None and reading.bound <= WINDINGS_A)


def _flows(readings: Readings, context: Context) -> bool:
    """A starter's current flows: the engine turns, or the clamp says so. Else no drop is judged."""
    if readings.given("did") in _TURNS:
        return True
    held = _amperes(readings)
    if held is None:
        return False
    found = decide(held.nominal_value, held.std_dev, WINDINGS_A, None, context.risk)
    return found.outcome == "within"


def _seen(
    readings: Readings, context: Context, by_address: Mapping[str, VerdictOutcome]
) -> list[str]:
    """What is unusual but the humps; what can do harm first."""
    seen = []
    did = readings.given("did")
    stands = did in _STANDS
    if readings.given("liquid"):
        seen.append("liquid_suspected")
    if did == "stops_dead":
        seen.append("stops_dead")
    if did == "whirs":
        return [*seen, "whirs_alone"]
    commanded = _commanded(readings, context)
    if stands and commanded is False:
        seen.append("no_command")
    for side in SIDES:
        drop = by_address.get(f"figure.{side}_drop")
        if drop is not None and drop.outcome == "outside":
            seen.append(f"{side}_loses")
    if stands and commanded and _windings_at_most(readings, context):
        return [*seen, "commanded_no_current"]
    found = _by_volts_and_current(readings, by_address, stands, commanded)
    if found == "slow_as_usual" and seen:
        return seen  # then it is not without a reason that was seen
    return [*seen, found] if found else seen


def _by_volts_and_current(
    readings: Readings,
    by_address: Mapping[str, VerdictOutcome],
    stands: bool,
    commanded: bool | None,
) -> str:
    """One picture from volts held, current held and what the engine did; "" for nothing unusual."""
    volts, amps = (
        lies(by_address.get(address), readings.get(address))
        for address in ("volts.posts.volts", "current.held.amps")
    )
    did = readings.given("did")
    slow = did == "turns_slowly"
    if volts == "low":
        if amps == "high" and (slow or stands or did == "stops_dead"):
            return "high_current_slow"
        return "low_volts_low_current" if amps == "low" else "low_volts"
    if amps == "high":
        return "high_current_slow" if slow or stands or did == "stops_dead" else "high_current"
    if volts != "usual":
        return ""
    if amps == "low" and (slow or (stands and commanded is not False)):
        return "good_volts_low_current"
    if amps == "low" and did == "turns":
        return "turns_lightly"
    return "slow_as_usual" if slow and amps == "usual" else ""


def _quiet(readings: Readings, humps: Humps, verdicts: Sequence[VerdictOutcome]) -> str:
    """Nothing unusual is shown: is that worth something?"""
    judged = [verdict for verdict in verdicts if verdict.outcome != "no_limit"]
    if readings.given("did") != "turns" or any(v.outcome != "within" for v in judged):
        return "undecided"
    addresses = {verdict.address for verdict in judged}
    if humps.whole and "figure.lowest_share" in addresses:
        return "even"
    return "current_usual" if "current.held.amps" in addresses else "undecided"


def _confounders(readings: Readings, context: Context, humps: Humps, pattern: str) -> list[str]:
    weak = []
    rest = readings.value("volts.rest.volts")
    if (
        rest is not None
        and abs(rest) < battery.CHEMISTRIES["flooded"].low_v * context.car.volts / 12
    ):
        weak.append("battery_low")
    if readings.given("clamp") == "ac":
        weak.append("ac_clamp")
    if readings.get("current.held.amps") is not None and readings.get("volts.posts.volts") is None:
        weak.append("volts_not_read")
    if not humps.by:
        return weak
    ripple, seconds = readings.given("ripple"), readings.given("seconds")
    if ripple == "rising":
        weak.append("ripple_not_steady")
    if ripple == "few" or (seconds is not None and seconds < SHORTEST_S):
        weak.append("few_turns")
    if not humps.cylinders:
        weak.append("trigger_unknown")
    if readings.given("throttle") == "shut":
        weak.append("throttle_shut")
    if humps.by == "peaks":
        weak.append("peaks_alone")
    if pattern == "even" and _amperes(readings) is None:
        weak.append("level_unknown")
    return weak


# --- figures ----------------------------------------------------------------------------------


def _size(number: Any) -> Any:
    """The number without its sign, which only tells how leads or clamp were held."""
    return -number if getattr(number, "nominal_value", number) < 0 else number


def drops(posts_v: Any, stud_v: Any, ground_v: Any) -> dict[str, Any]:
    """Volts lost on either side of a starter, by side, as far as they were read (else None).

    posts_v: across the battery posts; stud_v: starter's stud against the battery's − post;
    ground_v: starter's case against that post; signs only tell how the leads were held.

    >>> drops(12.5, 12.0, -0.25)
    {'feed': 0.5, 'ground': 0.25}
    """
    feed = None if posts_v is None or stud_v is None else _size(posts_v) - _size(stud_v)
    return {"feed": feed, "ground": None if ground_v is None else _size(ground_v)}


def _figures(readings: Readings, flows: bool) -> list[Figure]:
    """Current without its sign, losses with their resistance where a starter's current flows, and
    power."""
    posts, stud, ground = (
        readings.uncertain(f"volts.{row}.volts") for row in ("posts", "stud", "ground")
    )
    amps = _amperes(readings)
    flowing: Any = (
        amps if flows and amps is not None and amps.nominal_value > 2 * amps.std_dev else None
    )
    figures = []
    if amps is not None:
        figures.append(figure_of("held", "current held", "current", amps))
    lost = drops(posts, stud, ground)
    for side in SIDES:
        drop = lost[side]
        if drop is None:
            continue
        figures.append(figure_of(f"{side}_drop", f"lost on the {side} side", "voltage", drop))
        if flowing is None:
            figures.append(
                Figure(
                    f"{side}_resistance",
                    f"resistance of the {side} side",
                    "resistance",
                    None,
                    absent_because="no current of a starter at work was measured",
                )
            )
        else:
            ohms: Any = resistance_mohm(drop, flowing) / 1000
            figures.append(
                figure_of(
                    f"{side}_resistance",
                    f"resistance of the {side} side",
                    "resistance",
                    ohms,
                    unit="mΩ",
                )
            )
    if flowing is not None and posts is not None:
        figures.append(
            figure_of(
                "power", "power taken from the battery", "power", _size(posts) * flowing / 1000
            )
        )
    if stud is not None and lost["ground"] is not None:
        left: Any = _size(stud) - lost["ground"]
        figures.append(figure_of("starter_volts", "volts left for the starter", "voltage", left))
        if flowing is not None:
            figures.append(
                figure_of("starter_power", "power into the starter", "power", left * flowing / 1000)
            )
    return figures


def _hump_figures(humps: Humps, shares: Shares) -> list[Figure]:
    found = []
    for code, share in shares.items():
        if share is None:
            continue
        number = humps.cylinders.get(code)
        key = f"share_{code}" if number is None else f"share_c{number}"
        label = f"{humps.label(code)}, of the mean of the others"
        found.append(figure_of(key, label, "ratio", share))
    lowest = shares.get(humps.lowest())
    if lowest is not None:
        label = "lowest hump, of the mean of the others"
        found.insert(0, figure_of("lowest_share", label, "ratio", lowest))
    return found


# --- words, table, chart ----------------------------------------------------------------------


def _volts(reading: Reading) -> str:
    """As fine as it was read, never finer than a hundredth."""
    if reading.number is None:
        return reading.understood
    places = min(2, decimal_places(0.0, reading.digit))
    return units.show_value(reading.number, "voltage", places=places, unit="V")


def _amps(reading: Reading) -> str:
    if reading.number is None:
        return reading.understood
    return units.show_value(abs(reading.number), "current", places=0, unit="A")


_DID = {
    "turns": "turned at its usual speed",
    "turns_slowly": "turned slowly",
    "clicks": "clicked and did not turn",
    "nothing": "did nothing",
    "stops_dead": "turned and stopped dead",
    "whirs": "whirred without turning the engine",
}


def _params(
    item: Also, readings: Readings, humps: Humps, figures: Sequence[Figure], shares: Shares
) -> dict[str, str]:
    """Everything that a sentence may name; what was not read is not named by its patterns."""
    by_key = {figure.key: figure for figure in figures}
    params = {"did": _DID.get(str(readings.given("did")), "was tried")}
    posts, held = readings.get("volts.posts.volts"), readings.get("current.held.amps")
    if posts is not None:
        params["volts"] = _volts(posts)
    if held is not None:
        params["amps"] = _amps(held)
    side = item.pattern.removesuffix("_loses")
    if side in SIDES:
        drop, ohms = by_key[f"{side}_drop"], by_key[f"{side}_resistance"]
        params["drop"] = _shown(drop)
        params["lost"] = units.show_value(drop.value or 0.0, "voltage", places=1, unit="V")
        params["ohms"] = _shown(ohms) if ohms.value is not None else "no current measured"
    if item.where:
        params["where"] = humps.named(item.where)
        params["at_head"] = at_head(params["where"])
        share = shares[humps.lowest(item.where)]
        params["share"] = units.show_value(
            share.nominal_value if share is not None else 0.0, "ratio", places=0
        )
        params["count"] = str(len(item.where))
    return params


def _shown(figure: Figure) -> str:
    digit = {"voltage": 0.01, "resistance": 1e-4}.get(figure.quantity, 0.0)
    return units.show(figure.value or 0.0, figure.u, figure.quantity, digit=digit, unit=figure.unit)


_JUDGED_BY = {
    "feed_loses": "figure.feed_drop",
    "ground_loses": "figure.ground_drop",
    "low_volts_low_current": "volts.posts.volts",
    "low_volts": "volts.posts.volts",
}
"""Pattern -> the verdict whose limit the customer is told."""


def _customer(
    leading: Also,
    readings: Readings,
    humps: Humps,
    figures: Sequence[Figure],
    shares: Shares,
    by_address: Mapping[str, VerdictOutcome],
    weak: Sequence[str],
) -> list[Sentence]:
    say = PROCEDURE.say
    spoken = leading.pattern
    if leading.where and not humps.cylinders:
        spoken = "one_unnamed" if len(leading.where) == 1 else "several_unnamed"
    elif spoken == "high_current_slow" and readings.get("volts.posts.volts") is None:
        spoken = "high_current_slow_only"
    said = [say(f"customer.{spoken}", **_params(leading, readings, humps, figures, shares))]
    verdict = by_address.get(_JUDGED_BY.get(leading.pattern, ""))
    if verdict is not None and verdict.source is not None:
        whose = "common" if verdict.source.tag == "C" else "maker"
        said.append(say("limit." + whose, limit=limit_words(verdict)))
    if leading.where:
        said.append(say("customer.next_by_gauge"))
    if leading.pattern == "even":
        said.append(say("customer.level"))
    if "battery_low" in weak and leading.pattern not in _NO_CRANKING:
        said.append(say("customer.battery_low"))
    return said


def _technician(
    leading: Also,
    rest: Sequence[Also],
    readings: Readings,
    humps: Humps,
    figures: Sequence[Figure],
    shares: Shares,
    verdicts: Sequence[VerdictOutcome],
) -> list[Sentence]:
    say = PROCEDURE.say
    spoken = leading.pattern
    if spoken == "high_current_slow" and readings.get("volts.posts.volts") is None:
        spoken = "high_current_slow_only"
    said = [say(f"technician.{spoken}", **_params(leading, readings, humps, figures, shares))]
    said += [
        say(
            "technician.also",
            seen=PROCEDURE.pattern(item.pattern).label
            + (f" ({humps.named(item.where)})" if item.where else ""),
        )
        for item in rest
    ]
    if leading.pattern in _NO_CRANKING:
        return said
    said += _about_losses(readings, figures, leading.pattern)
    said += _about_humps(leading, rest, readings, humps, shares)
    seconds = readings.given("seconds")
    if seconds is not None and seconds > LONGEST_S:
        said.append(say("technician.too_long", most=units.show_value(LONGEST_S, "time")))
    doubtful = {verdict.address for verdict in verdicts if verdict.outcome == "cannot_tell"}
    lowest = shares.get(humps.lowest())
    if "figure.lowest_share" in doubtful and lowest is not None:
        said.append(
            say(
                "technician.lowest_close",
                where=humps.label(humps.lowest()),
                share=units.show(lowest.nominal_value, lowest.std_dev, "ratio", digit=1.0),
            )
        )
    elif doubtful:
        said.append(say("technician.close"))
    return said


def _about_losses(readings: Readings, figures: Sequence[Figure], pattern: str) -> list[Sentence]:
    """Which side is short of volts, and whether the starter's contact closes."""
    say = PROCEDURE.say
    lost = {f.key.removesuffix("_drop"): f for f in figures if f.key.endswith("_drop")}
    posts, stud = (readings.value(f"volts.{row}.volts") for row in ("posts", "stud"))
    if pattern == "commanded_no_current":
        if posts is None or stud is None:
            return []
        return [
            say("technician.stud_live" if abs(stud) >= abs(posts) / 2 else "technician.stud_dead")
        ]
    if len(lost) < 2 or readings.given("did") not in _TURNS:
        return []
    more = max(lost, key=lambda side: lost[side].value or 0.0)
    return [
        say("technician.sides", feed=_shown(lost["feed"]), ground=_shown(lost["ground"]), more=more)
    ]


def _about_humps(
    leading: Also, rest: Sequence[Also], readings: Readings, humps: Humps, shares: Shares
) -> list[Sentence]:
    """What the comparison of the humps is worth, and what is lacking for it."""
    say = PROCEDURE.say
    said = []
    if readings.given("clamp") == "ac":
        said.append(say("technician.ac_clamp"))
    typed = [row for row in readings.rows("humps") if row.get("peak") is not None]
    if typed and readings.given("did") not in (*_TURNS, None):
        said.append(say("technician.humps_without_turning"))
    if not humps.by:
        return said
    if not humps.whole:
        said.append(say("technician.lacking"))
    if len(shares) > 1 and None in shares.values():
        said.append(say("technician.no_height"))
    low = next((item.where for item in (leading, *rest) if item.where), ())
    if low and len(low) == len(humps.sizes) - 1 > 1:
        said.append(say("technician.one_above"))
    if not humps.cylinders:
        shared = readings.given("trigger") == "shared"
        said.append(say("technician.shared" if shared else "technician.not_named"))
    if humps.by == "peaks":
        said.append(say("technician.peaks_alone"))
    return said


def _tables(readings: Readings, humps: Humps, shares: Shares) -> tuple[Table, ...]:
    if not humps.by:
        return ()
    cells = []
    for row in readings.rows("humps"):
        peak, trough = row.get("peak"), row.get("trough")
        share = shares.get(row.code)
        number = humps.cylinders.get(row.code)
        cells.append(
            (
                row.code[1:],
                "not known" if number is None else str(number),
                peak.understood if peak else "not read",
                trough.understood if trough else "not read",
                "–" if share is None else units.show(share.n, share.s, "ratio", digit=1.0),
            )
        )
    head = ("hump", "cylinder", "peak", "trough", "of the others' mean")
    return (Table("Humps of the current, in the order in which they came", head, tuple(cells)),)


def _chart(humps: Humps, shares: Shares, limit: float) -> dict[str, Any]:
    """Each hump beside the mean of the others, in firing order; where cylinders are not known from
    the lowest on, so that a run before lies under it hump by hump."""
    known: dict[str, Any] = {code: share for code, share in shares.items() if share is not None}
    if not known or len(known) < len(shares):
        return {}
    codes = list(known)
    rows = [(humps.label(code), code) for code in codes]
    if not humps.cylinders:
        start = humps.rows.index(humps.lowest())
        turned = [*humps.rows[start:], *humps.rows[:start]]
        names = ["the lowest", *(f"{_nth(n)} after it" for n in range(1, len(turned)))]
        rows = [(name, code) for name, code in zip(names, turned, strict=True) if code in known]
    told = "; ".join(
        PROCEDURE.say(
            "chart.hump",
            label=humps.label(code),
            share=units.show_value(known[code].nominal_value, "ratio", places=0),
        ).text
        for _, code in rows
    )
    least = units.show_value(limit, "ratio", places=0)
    return {
        "kind": "scale",
        "title": PROCEDURE.say("chart.humps", told=told, least=least).text,
        "unit": "%",
        "axis": "of the mean of the others",
        "low": limit,
        "high": None,
        "marks": [{"value": 100.0, "label": "the others"}],
        "rows": [
            {"label": label, "value": known[code].nominal_value, "u": known[code].std_dev}
            for label, code in rows
        ],
    }


def _next_step(readings: Readings, context: Context) -> tuple[tuple[str, str], ...]:
    """The reading that would tell most now, with the reason; none that would crank again where
    that can do harm."""
    did = readings.given("did")
    if readings.given("liquid") or did in ("stops_dead", "whirs"):
        return ()
    if did is None:
        return (("given.did", "What the engine did decides which readings tell more."),)
    if did in _STANDS and _commanded(readings, context) is None:
        return (("volts.control.volts", "It tells a missing command from a starter that stands."),)
    if readings.get("current.held.amps") is None:
        return (("current.held.amps", "The clamp tells a weak battery from a stiff engine."),)
    if readings.get("volts.posts.volts") is None:
        return (("volts.posts.volts", "Current means little without the volts behind it."),)
    if did != "turns" and readings.get("volts.stud.volts") is None:
        return (("volts.stud.volts", "It shows how much is lost before the starter."),)
    if did in _TURNS and readings.get("humps.h1.peak") is None:
        return (("humps.h1.peak", "The ripple compares the cylinders, nothing opened."),)
    if did in _TURNS and readings.given("first") is None:
        return (("given.first", "Without a trigger no cylinder can be named."),)
    return ()


# --- declaration ------------------------------------------------------------------------------


def _advice(pattern: str) -> Driving | None:
    """What the cranking test advises for the same sight."""
    return CRANKING.pattern(pattern).driving


_MAY_NOT_START = _advice("whirs_alone")

PROCEDURE = Procedure(
    name="starter_current",
    title="Starter current, and compression compared by it",
    version=1,
    group="Electrical",
    purpose="Tells by clamp whether battery, cables, command, starter or engine holds the start "
    "back, and compares the cylinders by the humps of the current, nothing opened. Peaks are read "
    "off the screen.",
    proves_nothing_when="The battery is weak, the clamp not zeroed or for alternating current "
    "only, or the speed still rising. Even humps say nothing of how much all cylinders build "
    "together, and nothing when liquid may be in one; an engine that fires unevenly has uneven "
    "humps.",
    # The same clamp and meter at the same moment as in cranking, which must not count twice. The
    # humps share no instrument with the compression gauge.
    evidence_group="electrical_supply",
    battery_matters=True,
    needs_before=("battery_at_rest", "trouble_codes"),
    spoils=("parasitic_draw", "oil_level"),
    leaves_apart=("Fuel and ignition disabled for cranking",),
    handling_u={"volts": 0.03, "amps": 3.0, "peak": 1.5, "trough": 1.5},
    comparable={
        "clamp": (0.0, 0.0),
        "throttle": (0.0, 0.0),
        "temperature": (15.0, 0.0),
    },
    compares=("held", "feed_*", "ground_*", "starter_*", "power", "lowest_share", "share_c*"),
    maker_figures={
        "feed_drop": ("Lost on the feed side while cranking", "voltage"),
        "ground_drop": ("Lost on the ground side while cranking", "voltage"),
        "lowest_share": ("Lowest hump, of the mean of the others", "ratio"),
    },
    effort=Effort(
        4,
        ("clamp meter for direct current", "multimeter", "scope or logger"),
        risk="the car can leap when it is cranked",
    ),
    cautions=(
        Caution(
            "Liquid suspected in a cylinder: do not crank.",
            "Plugs or injectors out first, then turn it by hand. Signs: stopped dead, coolant "
            "lost, deep water, much too much fuel or oil.",
            "common practice",
            "customer",
        ),
        Caution(
            "It stops dead: do not crank again.",
            "Plugs out, turn it by hand, find out why. A second try bends what is still straight.",
            "common practice",
        ),
        CAN_LEAP,
        Caution(
            "The engine must not start.",
            "Fuel and ignition disabled, both, as the maker says; coils must not fire into the "
            "open. A diesel that gets fuel starts without ignition.",
            "the maker's instructions",
        ),
        Caution(
            "Belts and fans.",
            "Sleeves, hair, clamp and leads clear of them; electric fans start by themselves.",
            "workplace rules on machine guarding",
            from_memory=True,
        ),
        Caution(
            "Nobody under the car while it is cranked.",
            "For the starter's stud from below: car on rated stands, clip on, come out, then "
            "crank.",
            "common practice",
        ),
        Caution(
            "The starter's feed stud is live and has no fuse.",
            "Insulated clips, rings and watch off, no spanner between stud and metal. Eyes "
            "covered: battery gas burns.",
            "workplace safety guidance on batteries",
            from_memory=True,
        ),
        Caution(
            "At most 10 s, then a pause of two minutes.",
            "Starter, cables and clips get hot.",
            "common practice",
        ),
        Caution(
            "Clamp round the whole cable.",
            "Jaws shut, every cable of that post inside; never pull a battery lead on a running "
            "engine.",
            "common practice",
        ),
        Caution(
            "Control wire: back-probe, do not pierce.",
            "No lamp and no ohmmeter on air-bag, sensor or bus lines beside it.",
            "the maker's instructions",
        ),
        MAKER_FIRST,
    ),
    preconditions=(
        Precondition("held", "Neutral or park, brake on, wheels chocked, nobody in front"),
        Precondition("disabled", "Fuel and ignition disabled as the maker says"),
        Precondition("no_liquid", "No reason to suspect liquid in a cylinder"),
        Precondition("zeroed", "Clamp zeroed beside the cable", "clamp_not_zeroed"),
        Precondition("whole_cable", "Clamp round every cable of the post", "part_of_the_current"),
    ),
    given=(
        Choice(
            key="did",
            label="the engine",
            needed=True,
            chips=True,
            choices={
                "turns": "turns as usual",
                "turns_slowly": "turns slowly",
                "stops_dead": "turns, then stops dead",
                "clicks": "clicks, does not turn",
                "whirs": "starter whirs, engine stands",
                "nothing": "nothing at all",
            },
        ),
        Flag(
            key="liquid",
            label="liquid in a cylinder suspected",
            help="Then do not crank; record it here.",
        ),
        Choice(
            key="ripple",
            label="the humps",
            chips=True,
            choices={
                "steady": "alike from turn to turn",
                "rising": "speed still rising",
                "few": "only a turn or two",
            },
        ),
        Choice(
            key="trigger",
            label="trigger",
            chips=True,
            choices={
                "own": "one cylinder's own line",
                "shared": "line shared by two cylinders",
                "none": "none",
            },
            help="The command of a coil or injector, or the camshaft's sensor.",
        ),
        Count(
            key="first",
            label="the first hump is of cylinder",
            low=1,
            high=16,
            help="By the trigger. Left empty, no cylinder is named.",
        ),
        Quantity(
            key="temperature",
            label="temperature of the engine",
            quantity="temperature",
            possible=(-50.0, 150.0),
            likely=(-25.0, 110.0),
            instrument="thermometer",
        ),
        Choice(
            key="clamp",
            label="the clamp",
            chips=True,
            finer=True,
            choices={"dc": "reads direct current", "ac": "alternating current only"},
        ),
        Choice(
            key="throttle",
            label="throttle",
            chips=True,
            finer=True,
            choices={"open": "held open", "shut": "shut", "none": "this engine has none"},
        ),
        Quantity(
            key="seconds",
            label="cranked for",
            quantity="time",
            possible=(0.1, 120.0),
            likely=(1.0, 15.0),
            instrument="clock",
            origin="told",
            finer=True,
        ),
        Quantity(
            key="noted_current",
            label="current when all is well",
            quantity="current",
            origin="told",
            possible=(1.0, 3000.0),
            likely=(40.0, 1200.0),
            finer=True,
            help="Maker's data, or this shop's own note of such an engine.",
        ),
        Code(
            key="order",
            label="firing order",
            pattern=r"[1-9][0-9]?(-[1-9][0-9]?)*",
            example="1-3-4-2",
            origin="told",
            finer=True,
            help="The maker's, where the car's own is not entered or differs.",
        ),
    ),
    grids=(
        Grid(
            "current",
            "Current by clamp",
            Fixed(
                (
                    Row("held", "held, mean of the ripple"),
                    Row("first", "highest at the first moment", optional=True),
                )
            ),
            (
                Quantity(
                    key="amps",
                    label="current",
                    quantity="current",
                    possible=(-3000.0, 3000.0),
                    likely=(-1500.0, 1500.0),
                    instrument="clamp_ammeter",
                    needed=True,
                ),
            ),
            help="The sign only tells how the clamp was held. The first moment is noted, not "
            "judged.",
        ),
        Grid(
            "volts",
            "Volts",
            Fixed(
                (
                    Row("rest", "battery posts, at rest"),
                    Row("posts", "battery posts, held while cranking"),
                    Row("control", "solenoid's control terminal, commanded"),
                    Row("stud", "starter's own stud, held", optional=True),
                    Row("ground", "starter's case, held", optional=True),
                )
            ),
            (
                Quantity(
                    key="volts",
                    label="volts",
                    quantity="voltage",
                    possible=_volts_range,
                    instrument="multimeter",
                ),
            ),
            help="All against the battery's − post. The stud is the one behind the solenoid's "
            "contact.",
        ),
        Grid(
            "humps",
            "Humps of the current, in the order in which they come",
            OfCar("humps"),
            (
                Quantity(
                    key="peak",
                    label="peak",
                    quantity="current",
                    possible=(-3000.0, 3000.0),
                    likely=(-1500.0, 1500.0),
                    instrument="clamp_ammeter",
                ),
                Quantity(
                    key="trough",
                    label="trough after it",
                    quantity="current",
                    possible=(-3000.0, 3000.0),
                    likely=(-1500.0, 1500.0),
                    instrument="clamp_ammeter",
                ),
            ),
            help="By cursor on scope or logger, mean of some turns. With the troughs the "
            "comparison is sharper.",
        ),
    ),
    limits=(
        Limit("volts.posts.volts", bounds=_volts_limit, magnitude=True),
        Limit("current.held.amps", bounds=_current_limit, magnitude=True),
    ),
    patterns=(
        Pattern(
            "liquid_suspected",
            "liquid in a cylinder suspected: not to be cranked",
            driving=_advice("liquid_suspected"),
        ),
        Pattern("stops_dead", "turns, then stops dead", direct=True, driving=_advice("stops_dead")),
        Pattern(
            "whirs_alone",
            "the starter whirs, the engine stands",
            direct=True,
            driving=_MAY_NOT_START,
        ),
        Pattern("no_command", "no start command arrives at the solenoid", driving=_MAY_NOT_START),
        Pattern(
            "feed_loses", "the feed side loses too many volts", direct=True, driving=_MAY_NOT_START
        ),
        Pattern(
            "ground_loses",
            "the ground side loses too many volts",
            direct=True,
            driving=_MAY_NOT_START,
        ),
        Pattern(
            "commanded_no_current",
            "commanded, and hardly any current flows",
            driving=_MAY_NOT_START,
        ),
        Pattern(
            "low_volts_low_current",
            "low volts and low current",
            driving=_MAY_NOT_START,
            weak_battery=True,
        ),
        Pattern(
            "high_current_slow", "high current, slow or standing still", driving=_MAY_NOT_START
        ),
        Pattern("low_volts", "volts low while cranking", driving=_MAY_NOT_START),
        Pattern("high_current", "current above what is usual", driving=_MAY_NOT_START),
        Pattern("good_volts_low_current", "good volts, low current", driving=_MAY_NOT_START),
        Pattern("turns_lightly", "turns with less current than usual"),
        Pattern("slow_as_usual", "slow although volts and current are usual"),
        Pattern("one_low", "one hump lower than the others"),
        Pattern("neighbours_low", "humps of neighbours in the block lower than the others"),
        Pattern("bank_low", "humps of a whole bank lower than the others"),
        Pattern("several_low", "several humps lower than the others"),
        Pattern("current_usual", "current as usual; humps not all compared"),
        Pattern("even", "turns as usual, humps even", sound=True),
        UNDECIDED,
    ),
    confounders=(
        Confounder("battery_low", "The battery was less than three quarters charged.", 0.5),
        Confounder(
            "ac_clamp", "The clamp sees alternating current only: the level is not known.", 0.5
        ),
        Confounder("clamp_not_zeroed", "The clamp was not zeroed beside the cable.", 0.7),
        Confounder(
            "part_of_the_current", "The clamp may not have held all cables of the post.", 0.5
        ),
        Confounder("volts_not_read", "The volts at the posts were not read.", 0.7),
        Confounder("ripple_not_steady", "The humps were read while the speed still rose.", 0.4),
        Confounder("few_turns", "The humps were read over a turn or two only.", 0.5),
        Confounder("trigger_unknown", "It is not known which hump is which cylinder.", 0.8),
        Confounder(
            "throttle_shut", "The throttle was shut: all humps are low and differ less.", 0.7
        ),
        Confounder(
            "peaks_alone",
            "Only peaks were compared: the current for friction hides part of a difference.",
            0.7,
            only_sound=True,
        ),
        Confounder(
            "level_unknown",
            "The current held is not known: all cylinders low together would not show.",
            0.5,
            only_sound=True,
        ),
    ),
    formulas=(
        Formula("held", "amperes held, without the sign, which tells how the clamp was held"),
        Formula("feed_drop", "volts at the posts − volts at the starter's stud, same meter"),
        Formula("ground_drop", "volts of the starter's case against the − post, without the sign"),
        Formula("feed_resistance", "volts lost on the feed side / amperes held", "Ohm's law"),
        Formula("ground_resistance", "volts lost on the ground side / amperes held", "Ohm's law"),
        Formula("power", "volts held at the posts × amperes held, kW"),
        Formula(
            "starter_volts",
            "volts at the starter's stud − volts of its case, both against the − post",
            "Kirchhoff's voltage law",
        ),
        Formula("starter_power", "volts left for the starter × amperes held, kW"),
        Formula(
            "lowest_share",
            "100 × lowest hump / mean of the other humps that are not low, %; a hump is peak − "
            "trough after it, or the peak where troughs were not read; same clamp, whose gain "
            "cancels",
            "common practice",
        ),
        Formula("share_c*", "the same of the hump of this cylinder", "common practice"),
        Formula("share_h*", "the same of a hump whose cylinder is not known", "common practice"),
    ),
    example={
        "ready.held": "yes",
        "ready.disabled": "yes",
        "ready.no_liquid": "yes",
        "ready.zeroed": "yes",
        "ready.whole_cable": "yes",
        "given.did": "turns",
        "given.ripple": "steady",
        "given.trigger": "own",
        "given.first": "1",
        "given.order": "1-3-4-2",
        "current.held.amps": "150 A",
        "volts.rest.volts": "12.60 V",
        "volts.posts.volts": "10.80 V",
        "humps.h1.peak": "182 A",
        "humps.h1.trough": "118 A",
        "humps.h2.peak": "180 A",
        "humps.h2.trough": "117 A",
        "humps.h3.peak": "150 A",
        "humps.h3.trough": "119 A",
        "humps.h4.peak": "181 A",
        "humps.h4.trough": "118 A",
    },
    assess=assess,
    not_for=_not_for,
    next_step=_next_step,
    sentences={
        # chart
        "chart.hump": "{label} {share}",
        "chart.humps": (
            "Humps of the starter's current, each of the mean of the others: {told}. Usual is "
            "{least} or more."
        ),
        # customer
        "customer.liquid_suspected": (
            "We suspect liquid in a cylinder, so the engine is not cranked. Trying to start it can "
            "break it."
        ),
        "customer.stops_dead": (
            "The engine turned and stopped dead. It must not be cranked again before we know why."
        ),
        "customer.whirs_alone": "The starter was heard turning, but the engine did not turn.",
        "customer.no_command": ("The starter {did}: the command to start did not arrive at it."),
        "customer.feed_loses": (
            "Between the battery and the starter {lost} are lost while it works."
        ),
        "customer.ground_loses": (
            "On the way back from the starter to the battery {lost} are lost while it works."
        ),
        "customer.commanded_no_current": (
            "The starter is told to start, but draws hardly any current ({amps})."
        ),
        "customer.low_volts_low_current": (
            "While cranking the battery held only {volts}, although little current was drawn "
            "({amps})."
        ),
        "customer.high_current_slow": (
            "The starter {did} and drew more current than usual ({amps}), at {volts}."
        ),
        "customer.high_current_slow_only": (
            "The starter {did} and drew more current than usual ({amps})."
        ),
        "customer.low_volts": "While cranking the battery held only {volts}.",
        "customer.high_current": "The starter {did}, with more current than usual ({amps}).",
        "customer.good_volts_low_current": (
            "The starter {did}. The battery held {volts}, but little current flowed ({amps})."
        ),
        "customer.turns_lightly": (
            "The engine turned with less current than usual ({amps}). What that means is not "
            "measured yet."
        ),
        "customer.slow_as_usual": (
            "The engine turned slowly, although the battery held {volts} and the current was "
            "usual ({amps})."
        ),
        "customer.one_low": (
            "While the starter turned the engine, {where} resisted it less than the others."
        ),
        "customer.one_unnamed": (
            "While the starter turned the engine, one cylinder resisted it less than the others. "
            "Which one is not known yet."
        ),
        "customer.neighbours_low": (
            "While the starter turned the engine, {where}, which stand side by side, resisted it "
            "less than the others."
        ),
        "customer.bank_low": (
            "While the starter turned the engine, {where}, one whole side of it, resisted it less "
            "than the others."
        ),
        "customer.several_low": (
            "While the starter turned the engine, {where} resisted it less than the others."
        ),
        "customer.several_unnamed": (
            "While the starter turned the engine, {count} cylinders resisted it less than the "
            "others. Which ones is not known yet."
        ),
        "customer.next_by_gauge": (
            "The pressure in the cylinders is measured next, before anything is concluded."
        ),
        "customer.current_usual": (
            "The starter turned the engine as usual, with a usual current ({amps}). The cylinders "
            "were not compared."
        ),
        "customer.even": "The starter turned the engine as usual, all cylinders alike.",
        "customer.level": (
            "That compares the cylinders with each other; how much pressure they build was not "
            "measured."
        ),
        "customer.battery_low": (
            "The battery was not charged enough to judge the rest: it is charged and the test "
            "repeated."
        ),
        "customer.undecided": "What was measured so far does not decide what the starter meets.",
        "limit.common": "By common practice {limit} is usual then.",
        "limit.maker": "The limit entered from the maker's data is {limit}.",
        # technician
        "technician.liquid_suspected": (
            "Do not crank. Plugs or injectors out, turn it by hand, see what comes out. Even humps "
            "clear nothing then."
        ),
        "technician.stops_dead": (
            "Do not crank again. Plugs out first, then turn it by hand: liquid, timing drive, or "
            "something seized. Humps clear nothing here."
        ),
        "technician.whirs_alone": "Pinion, its lever, the freewheel, or teeth of the ring gear.",
        "technician.no_command": (
            "No volts at the control terminal. Follow it back: relay, fuse, switches, immobiliser, "
            "key."
        ),
        "technician.feed_loses": (
            "Feed side loses {drop} ({ohms}). Halve it: post, cable, solenoid's contact, by the "
            "voltage-drop test."
        ),
        "technician.ground_loses": (
            "Ground side loses {drop} ({ohms}). Halve it: case, block, strap, cable, post, by the "
            "voltage-drop test."
        ),
        "technician.commanded_no_current": (
            "Command there, {amps}: solenoid's contact, its windings, brushes, or an open feed or "
            "ground. Volts at both studs while it is commanded."
        ),
        "technician.stud_live": (
            "The stud behind the contact is live: brushes, windings or the starter's ground."
        ),
        "technician.stud_dead": ("The stud behind the contact is dead: contact, solenoid or feed."),
        "technician.low_volts_low_current": (
            "{volts} at {amps}: the battery cannot give more. Charge it, rest it, load test."
        ),
        "technician.high_current_slow": (
            "{amps} at {volts}: starter drags, or the engine is stiff, or oil and gearbox drag. "
            "Turn it by hand, then the starter on the bench."
        ),
        "technician.high_current_slow_only": (
            "{amps}: starter drags, or the engine is stiff. Turn it by hand; read the volts too."
        ),
        "technician.low_volts": (
            "{volts} held. With a usual or unknown current: battery and its posts first, then the "
            "clamp again."
        ),
        "technician.high_current": (
            "{amps} at usual speed. Zero the clamp, look for other loads, compare with a note of "
            "such an engine."
        ),
        "technician.good_volts_low_current": (
            "{volts} at {amps}: resistance in feed, ground or starter. Volts at the starter's "
            "stud and case say which."
        ),
        "technician.turns_lightly": (
            "{amps} and quick: the engine gives little resistance, perhaps all cylinders alike, "
            "which the humps do not show. Timing drive and compression before more cranking."
        ),
        "technician.slow_as_usual": (
            "{volts} at {amps} and slow: count the speed, compare with a note of such an engine; "
            "gear and freewheel of the starter."
        ),
        "technician.one_low": (
            "{at_head}: {share} of the mean of the others. Compression gauge or leak-down there "
            "next; a hump is no pressure."
        ),
        "technician.neighbours_low": (
            "{at_head} stand side by side, down to {share} of the mean of the others. Leak-down on "
            "one, listening at the other's plug hole."
        ),
        "technician.bank_low": (
            "{at_head} are a whole bank, down to {share} of the mean of the others: its cam timing "
            "first, then the gauge."
        ),
        "technician.several_low": (
            "{at_head}, down to {share} of the mean of the others. Read more turns, then the "
            "compression gauge on all."
        ),
        "technician.current_usual": (
            "{amps}. Nothing is said of the cylinders: read each hump's peak and trough off the "
            "screen."
        ),
        "technician.even": (
            "Even humps say nothing of the level: where all may be low together, compression gauge."
        ),
        "technician.undecided": "Not enough was read, or too close to tell.",
        "technician.also": "Also seen: {seen}.",
        "technician.sides": (
            "Feed side loses {feed}, ground side {ground}: more on the {more} side."
        ),
        "technician.ac_clamp": (
            "This clamp sees no direct current: held amperes are not judged, peaks alone not "
            "compared."
        ),
        "technician.humps_without_turning": (
            "Humps were entered although the engine did not turn: not compared."
        ),
        "technician.lacking": "Not all humps were read: nothing is called even before all are.",
        "technician.no_height": (
            "The humps are too small to compare by this clamp: read them larger on the screen."
        ),
        "technician.one_above": (
            "One hump stands far above all others: it may be the odd one. Turn it by hand before "
            "more cranking: liquid or carbon takes up room."
        ),
        "technician.shared": (
            "A shared line fires for two cylinders, half a cycle apart: no cylinder is named."
        ),
        "technician.not_named": (
            "Cylinder of the first hump or firing order not known: humps are only counted in the "
            "order in which they come."
        ),
        "technician.peaks_alone": (
            "Peaks alone were compared, a tenth lower taken as telling: read the troughs as well."
        ),
        "technician.too_long": "Cranked for more than {most}: let the starter cool.",
        "technician.close": "Where it says too close to tell: a finer meter decides.",
        "technician.lowest_close": (
            "Lowest is {where} at {share} of the mean of the others, too close to tell: more "
            "turns, a finer cursor, the troughs; else the compression gauge there."
        ),
    },
)
