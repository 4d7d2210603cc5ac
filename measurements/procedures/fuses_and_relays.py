"""Relays and fuses by volt drop: what flows through a fuse that stays in, and how a relay works.

Method: millivolts across the two test points of a fuse, over its resistance; volts at a relay's
coil and across its contacts while current flows. Fuses' resistances: `core.blade_fuse`. What is
usual of relays is common practice; pick-up and release volts stand in relay makers' data sheets.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

from measurements.core import units
from measurements.core.assessment import Also, Assessment, Figure, Sentence, VerdictOutcome
from measurements.core.blade_fuse import (
    BOX_AT_C,
    HEATING,
    HEATING_SPREAD,
    NOTABLE_HEATING_FROM,
    RISE_PER_K,
    U_BOX_K,
    cold_mohm,
    through_fuse_a,
)
from measurements.core.context import Context
from measurements.core.judging import conclude, figure_of, judge, judge_figure
from measurements.core.procedure import (
    MAKER_FIRST,
    UNDECIDED,
    Caution,
    Choice,
    Confounder,
    Effort,
    Flag,
    Formula,
    Free,
    Grid,
    Limit,
    Pattern,
    Precondition,
    Procedure,
    Quantity,
    Row,
    Source,
    Span,
    Text,
)
from measurements.core.readings import Reading, Readings, RowReadings
from measurements.core.uncertainty import decimal_places, rectangular
from measurements.core.wording import at_head, places
from measurements.procedures.parasitic_draw import DRAW_MOST_A

if TYPE_CHECKING:
    from uncertainties import UFloat

_PRACTICE = Source("C", "common practice")
_WHOLE_CAR = Source("C", "common practice for a whole car asleep")
_AT_RATING = Source("C", "common practice: what such a fuse loses at its rating")
_ENTERED = Source("maker", "entered for this circuit")

# --- fuses ------------------------------------------------------------------------------------

OPEN_FROM_V = 1.0
"""No whole fuse loses a volt: it would have melted long before (judgement)."""

EXPECTED_WITHIN = 0.25
"""A load's current differs by a quarter with volts and warmth (judgement)."""

MOST_OF_TOTAL = 0.5
"""Fuses that carry less than this share of the whole draw leave most of it unfound (judgement)."""

# --- relays, all on a 12 volt car -------------------------------------------------------------

COIL_LEAST_V = 9.0
"""Pick-up is 6.9 to 7.2 V at 20 °C (relay makers' data sheets), a quarter more with a hot coil."""

COIL_OFF_MOST_V = 1.2
"""Release volts, a tenth of the rated (relay makers' data sheets): below, it has let go."""

GROUND_SIDE_MOST_V = 1.0
"""A control unit that switches the coil to ground leaves no more (common practice)."""

COIL_OHM = (40.0, 400.0)
"""Coils of plug-in and board relays, 0.4 to 3.6 W (common practice)."""

CONTACT_MOST_V = 0.20
"""Most that contacts lose from terminal 30 to 87; new ones 0.02 to 0.05 V at 10 A (common
practice)."""

CONTACTS_OPEN_V = 6.0
"""So much across contacts means that they have not closed, current or not."""

ENOUGH_OF_RATED = 0.5
"""Below this share of the usual current a good contact drop decides nothing (common practice)."""

DIODE_RATIO = 1.2
"""Ohms that differ more than this with the leads changed over show a diode (judgement)."""


def coil_current_a(volts: Any, ohm: Any) -> Any:
    """Current of a coil, A.

    >>> round(coil_current_a(12.0, 90.0), 4)
    0.1333
    """
    return volts / ohm


def coil_power_w(volts: Any, ohm: Any) -> Any:
    """Power of a coil, W.

    >>> coil_power_w(12.0, 90.0)
    1.6
    """
    return volts**2 / ohm


# --- limits -----------------------------------------------------------------------------------


def _supply_range(context: Context) -> tuple[float, float]:
    most = 40.0 if context.car.volts >= 24 else 20.0
    return (-most, most)


def _twelfths(context: Context) -> float:
    """What 12 volt figures grow by on this car."""
    return context.car.volts / 12


def _without_sign(value: Any) -> Any:
    """The number without its sign, which only tells how the leads were held."""
    return value if value.nominal_value >= 0 else -value


def _size_of(readings: Readings, row: RowReadings) -> str:
    return str(row.value("size") or readings.given("size") or "")


def _rated_a(row: RowReadings) -> float | None:
    rating = row.value("rating")
    return float(rating) if rating and rating != "other" else None


def _drop_limit(context: Context, readings: Readings, row: RowReadings | None) -> Span | None:
    """What a fuse of this kind loses at its rating, at most: more current, or more resistance."""
    if row is None or (rated := _rated_a(row)) is None:
        return None
    known = cold_mohm(_size_of(readings, row), str(row.value("rating")))
    if known is None:
        return None
    mohm, spread = known
    most = rated * mohm / 1000 * (1 + spread) * (1 + HEATING + HEATING_SPREAD)
    return Span(None, float(f"{most:.2g}"), _AT_RATING)


def _total_limit(context: Context, readings: Readings, row: RowReadings | None) -> Span | None:
    asleep = readings.given("state") == "asleep" and context.car.volts == 12
    return Span(None, DRAW_MOST_A, _WHOLE_CAR) if asleep else None


def _coil_limit(context: Context, readings: Readings, row: RowReadings | None) -> Span:
    return Span(COIL_LEAST_V * _twelfths(context), None, _PRACTICE)


def _coil_off_limit(context: Context, readings: Readings, row: RowReadings | None) -> Span:
    return Span(None, COIL_OFF_MOST_V * _twelfths(context), _PRACTICE)


def _through_span(readings: Readings, context: Context, row: RowReadings) -> Span | None:
    """What a fuse may carry in the state that the car was in."""
    state, expected = readings.given("state"), row.value("expected")
    if state == "asleep":
        if expected is not None:
            return Span(None, expected, _ENTERED)
        return Span(None, DRAW_MOST_A, _WHOLE_CAR) if context.car.volts == 12 else None
    if state in ("key_on", "load_on") and expected:
        return Span(expected * (1 - EXPECTED_WITHIN), expected * (1 + EXPECTED_WITHIN), _PRACTICE)
    return None


# --- reasoning --------------------------------------------------------------------------------


@dataclass(frozen=True)
class Fuse:
    """A fuse that was read. amps: current through it, None where its resistance is not known."""

    row: RowReadings
    amps: UFloat | None

    @property
    def code(self) -> str:
        return self.row.code

    @property
    def label(self) -> str:
        return self.row.label

    @property
    def most(self) -> float:
        """Current for sorting; fuses without one come last."""
        return -1.0 if self.amps is None else float(self.amps.nominal_value)

    @property
    def flows(self) -> bool:
        """The current is clear of nought."""
        return self.amps is not None and bool(self.amps.nominal_value > 2 * self.amps.std_dev)

    @property
    def is_open(self) -> bool:
        """Volts across it that no whole fuse has."""
        reading = self.row.get("drop")
        size = abs(reading.number or reading.bound or 0.0) if reading else 0.0
        return bool(reading and reading.status != "below" and size - 2 * reading.u > OPEN_FROM_V)


def _drop(row: RowReadings) -> UFloat | None:
    """Volts across a fuse; "less than" is taken as anywhere from nought to there."""
    reading = row.get("drop")
    if reading is not None and reading.status == "below" and reading.bound is not None:
        from uncertainties import ufloat

        half = abs(reading.bound) / 2
        found: UFloat = ufloat(half, rectangular(half))
        return found
    return row.uncertain("drop")


def _fuses(readings: Readings, context: Context) -> list[Fuse]:
    """Fuses that were read, the most current first."""
    from uncertainties import ufloat

    air, u_air = context.ambient.temperature_c, U_BOX_K
    warm: Any = ufloat(BOX_AT_C if air is None else air, u_air) - 20.0
    heating: Any = ufloat(HEATING, rectangular(HEATING_SPREAD))
    found = []
    for row in readings.rows("fuses"):
        if row.get("drop") is None:
            continue
        drop, own = _drop(row), row.uncertain("resistance")
        known = cold_mohm(_size_of(readings, row), str(row.value("rating")))
        mohm: Any = None
        if own is not None and own.nominal_value > 0:
            mohm = own * 1000
        elif known is not None:
            mohm = ufloat(known[0], rectangular(known[0] * known[1]))
        fuse = Fuse(row, None)
        if drop is not None and mohm is not None and not fuse.is_open:
            cold = mohm * (1 + RISE_PER_K * warm)
            fuse = Fuse(row, through_fuse_a(_without_sign(drop), cold, _rated_a(row), heating))
        found.append(fuse)
    return sorted(found, key=lambda fuse: -fuse.most)


def _relay(readings: Readings) -> RowReadings | None:
    """The relay, if anything of it was noted."""
    for row in readings.rows("relays"):
        prefix = f"{row.grid}.{row.code}."
        if any(address.startswith(prefix) for address in readings.by_address):
            return row
    return None


def _carries(relay: RowReadings) -> bool:
    """Whether a current through the contacts was shown: measured clear of nought, or seen."""
    current = relay.get("current")
    if current is not None and current.status == "above":
        return True
    if current is not None and current.number is not None:
        return abs(current.number) > 2 * current.u
    return relay.value("load") == "works"


def _gap_v(relay: RowReadings) -> float:
    """Volts across the contacts, without sign."""
    return abs(relay.value("contact") or 0.0)


def _contacts_open(relay: RowReadings, context: Context) -> bool:
    return _gap_v(relay) >= CONTACTS_OPEN_V * _twelfths(context)


def _weakly_loaded(relay: RowReadings) -> bool:
    """Less current flowed than tells anything of the contacts."""
    current, rated = relay.value("current"), relay.value("rated")
    return bool(rated and current is not None and abs(current) < ENOUGH_OF_RATED * rated)


def _coil_ohm(relay: RowReadings) -> UFloat | None:
    """The larger of the two readings: with a diode across it, one way reads too low."""
    read = [relay.uncertain(key) for key in ("coil_ohm", "coil_ohm_reversed")]
    known = [one for one in read if one is not None and one.nominal_value > 0]
    return max(known, key=lambda one: one.nominal_value) if known else None


def _no_path(relay: RowReadings) -> bool:
    """The ohmmeter found no way through the coil in either direction that was read."""
    read = [relay.get(key) for key in ("coil_ohm", "coil_ohm_reversed")]
    noted = [one for one in read if one is not None and one.status != "not_measured"]
    return bool(noted) and all(one.status in ("overload", "above") for one in noted)


def _has_diode(relay: RowReadings) -> bool:
    one, other = (relay.get(key) for key in ("coil_ohm", "coil_ohm_reversed"))
    if one is None or other is None:
        return False
    if {one.status, other.status} == {"overload", "measured"}:
        return True
    small, large = sorted((one.number or 0.0, other.number or 0.0))
    return small > 0 and large > DIODE_RATIO * small


def _without_limit(verdict: VerdictOutcome) -> VerdictOutcome:
    return replace(
        verdict, outcome="no_limit", p=None, low=None, high=None, source=None, too_narrow=False
    )


class _Seen:
    """All that was read and computed in one run, for reasoning and words."""

    def __init__(self, readings: Readings, context: Context) -> None:
        self.readings, self.context = readings, context
        self.state = str(readings.given("state") or "")
        self.fuses = _fuses(readings, context)
        self.known = [fuse for fuse in self.fuses if fuse.amps is not None]
        self.relay = _relay(readings)
        self.figures = [*_fuse_figures(self.known, readings), *_relay_figures(self.relay)]
        self.verdicts = self._verdicts()
        self.outcomes = {verdict.address: verdict.outcome for verdict in self.verdicts}

    def figure(self, key: str) -> Figure | None:
        return next((figure for figure in self.figures if figure.key == key), None)

    def _verdicts(self) -> tuple[VerdictOutcome, ...]:
        found = list(judge(PROCEDURE, self.readings, self.context))
        relay = self.relay
        if relay is not None and not _carries(relay):
            # Nought volt without current looks like perfect contacts.
            address = relay.address("contact")
            found = [_without_limit(v) if v.address == address else v for v in found]
        for fuse in self.known:
            figure = self.figure(f"current_{fuse.code}")
            span = _through_span(self.readings, self.context, fuse.row)
            if figure is not None:
                found.append(judge_figure(PROCEDURE, figure, self.context, span))
        total = self.figure("sum")
        if total is not None:
            span = _total_limit(self.context, self.readings, None)
            found.append(judge_figure(PROCEDURE, total, self.context, span))
        ohm = self.figure("coil_resistance")
        if ohm is not None:
            low, high = (bound * _twelfths(self.context) ** 2 for bound in COIL_OHM)
            found.append(judge_figure(PROCEDURE, ohm, self.context, Span(low, high, _PRACTICE)))
        return tuple(found)

    def outcome(self, address: str) -> str:
        return self.outcomes.get(address, "no_limit")

    def of_relay(self, column: str) -> str:
        return self.outcome(self.relay.address(column)) if self.relay else "no_limit"

    def verdict(self, address: str) -> VerdictOutcome | None:
        return next((verdict for verdict in self.verdicts if verdict.address == address), None)


def _fuse_figures(known: Sequence[Fuse], readings: Readings) -> list[Figure]:
    """Current through each fuse, their sum, and what flows beside them."""
    figures = [
        figure_of(
            f"current_{fuse.code}",
            f"through {fuse.label}",
            "current",
            fuse.amps,
            unit="mA" if fuse.most < 1 else "A",
        )
        for fuse in known
        if fuse.amps is not None
    ]
    if len(known) > 1:
        together = _sum(known)
        unit = "mA" if together.nominal_value < 1 else "A"
        figures.append(figure_of("sum", "through these fuses together", "current", together, unit))
    total = readings.uncertain("given.total")
    if total is not None and known:
        rest = _without_sign(total) - _sum(known)
        figures.append(figure_of("rest", "not through these fuses", "current", rest, unit="mA"))
    return figures


def _sum(known: Sequence[Fuse]) -> Any:
    amps = [fuse.amps for fuse in known]
    return sum(amps[1:], amps[0])  # type: ignore[arg-type]


def _relay_figures(relay: RowReadings | None) -> list[Figure]:
    """Resistance, current and power of the coil; resistance of the contacts."""
    if relay is None:
        return []
    figures = []
    ohm, volts = _coil_ohm(relay), relay.uncertain("coil")
    if ohm is not None:
        figures.append(figure_of("coil_resistance", "resistance of the coil", "resistance", ohm))
        if volts is not None:
            amps, watts = coil_current_a(_without_sign(volts), ohm), coil_power_w(volts, ohm)
            figures += [
                figure_of("coil_current", "current of the coil", "current", amps, unit="mA"),
                figure_of("coil_power", "power of the coil", "power", watts / 1000, unit="W"),
            ]
    drop, current = relay.uncertain("contact"), relay.uncertain("current")
    if drop is not None and current is not None and _carries(relay):
        figures.append(
            figure_of(
                "contact_resistance",
                "resistance of the contacts",
                "resistance",
                _without_sign(drop) / _without_sign(current),
                unit="mΩ",
            )
        )
    return figures


def _at_fuses(seen: _Seen) -> list[Also]:
    """Patterns of the fuses with the rows that show them, the most telling first."""
    found = []
    opened = tuple(fuse.code for fuse in seen.fuses if fuse.is_open)
    if opened:
        found.append(Also("fuse_open", opened))
    high = sorted(
        (
            fuse
            for fuse in seen.fuses
            if not fuse.is_open and seen.outcome(fuse.row.address("drop")) == "outside"
        ),
        key=lambda fuse: -abs(fuse.row.value("drop") or 0.0),
    )
    if high:
        found.append(Also("fuse_high_drop", tuple(fuse.code for fuse in high)))
    more: list[str] = []
    less: list[str] = []
    for fuse in seen.known:
        verdict = seen.verdict(f"figure.current_{fuse.code}")
        if verdict is None or verdict.outcome != "outside":
            continue
        above = verdict.high is not None and fuse.most > verdict.high
        (more if above else less).append(fuse.code)
    if more:
        asleep = seen.state == "asleep"
        found.append(Also("flows_asleep" if asleep else "more_than_expected", tuple(more)))
    if less:
        found.append(Also("less_than_expected", tuple(less)))
    if seen.state == "asleep" and not more and seen.outcome("figure.sum") == "outside":
        found.append(Also("spread_asleep", tuple(f.code for f in seen.known if f.flows)))
    if _beside_the_fuses(seen):
        found.append(Also("not_on_fuses"))
    dead = seen.known and not any(fuse.flows for fuse in seen.known)
    if seen.state == "load_on" and dead and not opened and len(seen.known) == len(seen.fuses):
        found.append(Also("no_flow_with_load", tuple(fuse.code for fuse in seen.known)))
    return found


def _beside_the_fuses(seen: _Seen) -> bool:
    """All fuses were read, the car draws more than usual, and little of it goes through them."""
    total = seen.readings.uncertain("given.total")
    if total is None or not seen.known or not seen.readings.given("all_fuses"):
        return False
    together = _sum(seen.known)
    at_most = together.nominal_value + 2 * together.std_dev
    high = seen.outcome("given.total") == "outside"
    return high and at_most < MOST_OF_TOTAL * abs(total.nominal_value)


def _at_relay(seen: _Seen) -> list[Also]:
    """Patterns of the relay, the most telling first."""
    relay = seen.relay
    if relay is None:
        return []
    codes = []
    coil, off = seen.of_relay("coil"), seen.of_relay("coil_off")
    open_contacts = _contacts_open(relay, seen.context)
    if _no_path(relay) or seen.outcome("figure.coil_resistance") == "outside":
        codes.append("coil_ohms")
    if coil == "within" and relay.value("clicks") == "no":
        codes.append("coil_no_pull")
    if coil == "outside":
        codes.append("coil_not_fed")
    if off == "outside":
        codes.append("coil_stays_fed")
    elif off == "within" and relay.value("load") == "stays_on":
        codes.append("contacts_stuck")
    if open_contacts and coil == "within" and relay.value("clicks") != "no":
        codes.append("contacts_open")
    if not open_contacts and seen.of_relay("contact") == "outside":
        codes.append("contact_loss")
    read = relay.uncertain("contact") is not None and not open_contacts
    weak = _weakly_loaded(relay) and "contact_loss" not in codes
    if read and (not _carries(relay) or weak):
        codes.append("contact_not_loaded")
    return [Also(code, (relay.code,)) for code in codes]


_RANK = (
    "fuse_open",
    "fuse_high_drop",
    "flows_asleep",
    "coil_ohms",
    "coil_no_pull",
    "coil_not_fed",
    "contacts_stuck",
    "coil_stays_fed",
    "contacts_open",
    "contact_loss",
    "more_than_expected",
    "less_than_expected",
    "no_flow_with_load",
    "spread_asleep",
    "not_on_fuses",
    "contact_not_loaded",
)
"""Which pattern leads where several are seen: what was seen at the part itself goes first."""


def _is_sound(seen: _Seen) -> bool:
    """Everything that was read was judged, and nothing is unusual or in doubt."""
    judged = [outcome for outcome in seen.outcomes.values() if outcome != "no_limit"]
    if not judged or any(outcome != "within" for outcome in judged):
        return False
    if seen.fuses and not seen.state:
        return False
    if any(fuse.amps is None or not _is_judged(seen, fuse) for fuse in seen.fuses):
        return False
    relay = seen.relay
    return relay is None or (
        relay.value("clicks") != "no" and relay.value("load") not in ("dead", "stays_on")
    )


def _is_judged(seen: _Seen, fuse: Fuse) -> bool:
    addresses = (fuse.row.address("drop"), f"figure.current_{fuse.code}")
    wanted = addresses[1:] if seen.state == "asleep" else addresses
    return any(seen.outcome(address) != "no_limit" for address in wanted)


def assess(readings: Readings, context: Context) -> Assessment:
    """What was seen at the fuses and at the relay; the most telling leads."""
    seen = _Seen(readings, context)
    found = sorted((*_at_fuses(seen), *_at_relay(seen)), key=lambda item: _RANK.index(item.pattern))
    leading = found[0] if found else Also("sound" if _is_sound(seen) else "undecided")
    return conclude(
        PROCEDURE,
        readings,
        context,
        pattern=leading.pattern,
        where=leading.where,
        also=found[1:],
        figures=seen.figures,
        verdicts=seen.verdicts,
        confounders=_confounders(seen),
        customer=_customer(leading, seen),
        technician=_technician(leading, found[1:], seen),
        chart=_chart(seen),
    )


def _confounders(seen: _Seen) -> list[str]:
    weak = []
    if seen.fuses and seen.state == "asleep" and not seen.readings.given("all_fuses"):
        weak.append("few_fuses")
    relay = seen.relay
    if relay is not None and relay.uncertain("contact") is not None:
        if _weakly_loaded(relay):
            weak.append("weak_current")
        elif relay.get("current") is None and _carries(relay):
            weak.append("current_not_measured")
    if seen.context.car.high_voltage:
        weak.append("high_voltage")
    return weak


# --- words and chart --------------------------------------------------------------------------


def _about(amps: UFloat | None) -> str:
    """Two figures, no more: the fuse's resistance is known to a fifth."""
    value = 0.0 if amps is None else float(amps.nominal_value)
    if value >= 1:
        return units.show_value(float(f"{value:.2g}"), "current", unit="A")
    return units.show_value(float(f"{value:.2g}"), "current", places=0, unit="mA")


def _with_doubt(amps: UFloat | None) -> str:
    if amps is None:
        return ""
    unit, digit = ("A", 0.1) if amps.nominal_value >= 1 else ("mA", 0.001)
    return units.show(amps.nominal_value, amps.std_dev, "current", unit=unit, digit=digit)


def _volts(value: float | None) -> str:
    return units.show_value(abs(value or 0.0), "voltage", places=2, unit="V")


def _as_read(reading: Reading | None) -> str:
    """Volts with no more decimals than were read, and two at most; in words without a number."""
    if reading is None or (reading.number is None and reading.bound is None):
        return PROCEDURE.sentences["words.overload"]
    number = reading.bound if reading.number is None else reading.number
    places = min(2, decimal_places(0.0, reading.digit)) if reading.digit else 2
    return units.show_value(abs(number or 0.0), "voltage", places=places, unit="V")


def _ohm_said(relay: RowReadings) -> str:
    """The coil's ohms as they were read, the larger of two."""
    read = [relay.get(key) for key in ("coil_ohm", "coil_ohm_reversed")]
    known = [one for one in read if one is not None and one.number is not None]
    if not known:
        return PROCEDURE.sentences["words.no_path"]
    return max(known, key=lambda one: one.number or 0.0).understood


def _params(item: Also, seen: _Seen) -> dict[str, str]:
    """What the sentences of a pattern may name."""
    meant = [fuse for fuse in seen.fuses if fuse.code in item.where]
    params = {
        "seen": at_head(PROCEDURE.pattern(item.pattern).label),
        "fuses": ", ".join(fuse.label for fuse in meant),
        "head": places(item.where, meant),
        "about": ", ".join(_about(fuse.amps) for fuse in meant if fuse.amps is not None),
        "through": ", ".join(_with_doubt(fuse.amps) for fuse in meant if fuse.amps is not None),
        "drop": ", ".join(_as_read(fuse.row.get("drop")) for fuse in meant),
    }
    if seen.known:
        params["together"] = _about(_sum(seen.known))
    total = seen.readings.uncertain("given.total")
    if total is not None:
        params["total"] = _about(_without_sign(total))
    relay = seen.relay
    if relay is not None:
        params["relay"] = at_head(relay.label)
        params["coil"] = _as_read(relay.get("coil"))
        params["off"] = _as_read(relay.get("coil_off"))
        params["contact"] = _as_read(relay.get("contact"))
        params["ohm"] = _ohm_said(relay)
    return params


_LIMIT_SENTENCE = {"C": "limit.common", "S": "limit.common", "maker": "limit.maker"}


def _limit_said(seen: _Seen) -> list[Sentence]:
    verdict = seen.verdict(seen.relay.address("contact")) if seen.relay else None
    if verdict is None or verdict.source is None or verdict.high is None:
        return []
    limit = _volts(verdict.high)
    return [PROCEDURE.say(_LIMIT_SENTENCE[verdict.source.tag], limit=limit)]


def _customer(leading: Also, seen: _Seen) -> list[Sentence]:
    say = PROCEDURE.say
    said = [say("customer." + leading.pattern, **_params(leading, seen))]
    if leading.pattern == "contact_loss":
        said += _limit_said(seen)
    if leading.pattern == "sound":
        said.append(say("customer.only_these"))
    return said


def _side(seen: _Seen) -> str:
    """On which side of the coil the volts are missing, as far as both sides were read."""
    if seen.of_relay("coil_feed") == "outside":
        return "technician.side_feed"
    if seen.of_relay("coil_ground") == "outside":
        return "technician.side_ground"
    return "technician.side_unknown"


def _technician(leading: Also, also: Sequence[Also], seen: _Seen) -> list[Sentence]:
    say = PROCEDURE.say
    said = [say("technician." + leading.pattern, **_params(leading, seen))]
    for item in also:
        params = _params(item, seen)
        key = "technician.also_at" if params["fuses"] else "technician.also"
        said.append(say(key, **params))
    patterns = {leading.pattern, *(item.pattern for item in also)}
    if "coil_not_fed" in patterns:
        said.append(say(_side(seen)))
    if "contact_loss" in patterns:
        said += _limit_said(seen)
    nought = [fuse for fuse in seen.known if not fuse.flows]
    if nought and "no_flow_with_load" not in patterns:
        said.append(say("technician.nought", fuses=", ".join(fuse.label for fuse in nought)))
    shut = [fuse for fuse in seen.fuses if fuse.amps is None and not fuse.is_open]
    if shut:
        said.append(say("technician.fuse_unknown", fuses=", ".join(fuse.label for fuse in shut)))
    if seen.known:
        said.append(say("technician.fuse_resistance"))
    if any(_runs_hot(fuse) for fuse in seen.known):
        said.append(say("technician.warms_itself"))
    if seen.fuses and not seen.state:
        said.append(say("technician.state_unknown"))
    if seen.state == "asleep" and seen.fuses and not seen.readings.given("all_fuses"):
        said.append(say("technician.not_all"))
    relay = seen.relay
    if relay is not None and _has_diode(relay):
        said.append(say("technician.diode"))
    elif relay is not None and all(
        relay.value(key) is not None for key in ("coil_ohm", "coil_ohm_reversed")
    ):
        said.append(say("technician.no_diode"))
    if seen.context.car.volts != 12 and seen.state == "asleep":
        said.append(say("technician.no_general_limit", volts=str(seen.context.car.volts)))
    if "cannot_tell" in seen.outcomes.values():
        said.append(say("technician.close"))
    return said


def _runs_hot(fuse: Fuse) -> bool:
    rated = _rated_a(fuse.row)
    return rated is not None and fuse.most > NOTABLE_HEATING_FROM * rated


def _chart(seen: _Seen) -> dict[str, Any]:
    """Current through each fuse with ±; asleep, with what a whole car may take."""
    shown = sorted(
        seen.known, key=lambda fuse: [r.code for r in seen.readings.rows("fuses")].index(fuse.code)
    )
    if not shown:
        return {}
    unit = "mA" if max(fuse.most for fuse in shown) < 1 else "A"
    factor = 1000 if unit == "mA" else 1
    span = _total_limit(seen.context, seen.readings, None)
    told = "; ".join(f"{fuse.label} {_with_doubt(fuse.amps)}" for fuse in shown)
    title = PROCEDURE.say("chart.through", told=told).text
    wanted = [
        f"{fuse.label} {units.show_value(fuse.row.value('expected'), 'current', unit=unit)}"
        for fuse in shown
        if fuse.row.value("expected") is not None
    ]
    if wanted:
        title += " " + PROCEDURE.say("chart.expected", told="; ".join(wanted)).text
    if span is not None and span.high is not None:
        most = units.show_value(span.high, "current", unit="mA")
        title += " " + PROCEDURE.say("chart.limit", limit=most).text
    return {
        "kind": "scale",
        "title": title,
        "unit": unit,
        "axis": "through the fuse",
        "rows": [
            {
                "label": fuse.label,
                "value": fuse.amps.nominal_value * factor,
                "u": fuse.amps.std_dev * factor,
            }
            for fuse in shown
            if fuse.amps is not None
        ],
        "marks": _marks(shown, factor),
        "low": None,
        "high": span.high * factor if span is not None and span.high is not None else None,
    }


def _marks(shown: Sequence[Fuse], factor: int) -> list[dict[str, Any]]:
    """Nought; and what the circuit should carry, where there is but one."""
    marks: list[dict[str, Any]] = [{"value": 0.0, "label": "0"}]
    expected = shown[0].row.value("expected")
    if len(shown) == 1 and expected:
        label = PROCEDURE.sentences["chart.mark"]
        marks.append({"value": expected * factor, "label": label})
    return marks


def _moved(readings: Readings) -> tuple[str, ...]:
    """A relay that was taken out, and latches that were closed by hand for a sleeping car."""
    apart = []
    relay = _relay(readings)
    taken_out = relay is not None and (
        relay.value("out") is True or relay.get("coil_ohm") or relay.get("coil_ohm_reversed")
    )
    if relay is not None and taken_out:
        apart.append(PROCEDURE.say("apart.relay", relay=at_head(relay.label)).text)
    if readings.given("state") == "asleep" and any(
        row.get("drop") for row in readings.rows("fuses")
    ):
        apart.append(PROCEDURE.say("apart.latches").text)
    return tuple(apart)


def _next_step(readings: Readings, context: Context) -> tuple[tuple[str, str], ...]:
    """The reading that would tell most now, with the reason."""
    seen = _Seen(readings, context)
    relay = seen.relay
    if relay is not None:
        if seen.of_relay("coil") == "outside":
            for column, why in (
                ("coil_feed", "It tells which side of the coil lacks its volts."),
                ("coil_ground", "The feed is there: then the ground side."),
            ):
                if relay.get(column) is None:
                    return ((relay.address(column), why),)
        if relay.value("load") == "stays_on" and relay.get("coil_off") is None:
            why = "It tells contacts that stick from a coil that stays fed."
            return ((relay.address("coil_off"), why),)
        if relay.value("clicks") == "no" and relay.get("coil") is None:
            return ((relay.address("coil"), "No click: are its volts there?"),)
        gap = relay.get("contact") is not None and not _contacts_open(relay, context)
        if gap and not _carries(relay):
            why = "Without a current shown the drop of the contacts proves nothing."
            return ((relay.address("current"), why),)
    if seen.fuses and not seen.state:
        return (("given.state", "What may flow depends on it."),)
    unknown = next((f for f in seen.fuses if f.amps is None and not f.is_open), None)
    if unknown is not None and unknown.row.get("rating") is None:
        return ((unknown.row.address("rating"), "Without it the drop gives no current."),)
    if unknown is not None and not _size_of(readings, unknown.row):
        return (("given.size", "Without it the drop gives no current."),)
    if not seen.fuses and relay is None and readings.rows("fuses"):
        return ((readings.rows("fuses")[0].address("drop"), "The fuse stays in."),)
    return ()


# --- declaration ------------------------------------------------------------------------------

_RATINGS = (
    *("1", "2", "3", "4", "5", "7.5", "10", "15", "20", "25"),
    *("30", "35", "40", "50", "60", "70", "80", "100"),
)
_SIZES = {
    "standard": "standard blade",
    "mini": "mini blade",
    "low_profile": "low-profile mini",
    "maxi": "maxi blade",
    "other": "other",
}


def _volts_at(key: str, label: str, *, finer: bool = True, usual: float = 16.0) -> Quantity:
    """A voltage at the relay, usual in size up to the one given."""
    return Quantity(
        key=key,
        label=label,
        finer=finer,
        quantity="voltage",
        possible=_supply_range,
        likely=lambda context: (-usual * _twelfths(context), usual * _twelfths(context)),
        instrument="multimeter",
    )


PROCEDURE = Procedure(
    name="fuses_and_relays",
    title="Relays and fuses by volt drop",
    version=1,
    group="Electrical",
    purpose=(
        "Shows through which fuses current flows without pulling one, and whether a relay pulls, "
        "lets go, and carries its load without loss."
    ),
    proves_nothing_when=(
        "Nothing is switched on: then a blown fuse and burnt contacts read nought volt like sound "
        "ones. And a car that was woken draws what it does not draw asleep."
    ),
    evidence_group="electrical_supply",
    needs_before=("trouble_codes",),
    moved=_moved,
    comparable={"state": (0.0, 0.0)},
    effort=Effort(
        8,
        ("millivoltmeter with fine fused leads", "clamp meter"),
        risk="a slipping probe shorts the battery; a relay taken out sets trouble codes",
    ),
    cautions=(
        Caution(
            "A probe that slips shorts the battery.",
            "Fused leads, tips covered but for the last millimetres, rings off.",
            "common practice",
        ),
        Caution(
            "A larger fuse, wire or foil sets the car on fire.",
            "Same size and rating only, and only once it is known why it blew; nothing across it.",
            "common practice",
            reader="customer",
        ),
        Caution(
            "Air-bag fuses and modules: leave them alone.",
            "No probe, no ohmmeter, no pulling, unless the maker's instructions say how.",
            "the maker's instructions",
        ),
        Caution(
            "A pulled fuse or an opened door wakes modules and hides the fault.",
            "Fuses stay in; latches made closed, keys far away. Relays only afterwards. Latches "
            "catch fingers and may lock the car: a key outside.",
            "common practice",
        ),
        Caution(
            "What the relay switches starts moving.",
            "Fan, pump, starter: keep clear; brake on, not in gear, nobody in front.",
            "common practice",
        ),
        Caution(
            "A hot fuse, holder or relay burns.",
            "Brown or smelling: load off, let it cool, look before touching.",
            "common practice",
        ),
        Caution(
            "Ohms only without voltage.",
            "Relay out of its socket. Never an ohmmeter on a live socket, a sensor or bus line.",
            "common practice",
        ),
        Caution(
            "A probe pushed into a socket from the front widens it.",
            "From the back, or on a bared blade: else a lasting bad contact is made.",
            "common practice",
        ),
        Caution(
            "High-voltage system.",
            "Its relays and fuses are not for this test. Only the 12 volt side, by people trained "
            "for it. Orange cable: stop.",
            "workplace guidance on electric vehicles",
            when=lambda context: context.car.high_voltage,
        ),
        MAKER_FIRST,
    ),
    preconditions=(
        Precondition(
            "quiet", "Nothing opened, touched or pulled meanwhile; latches closed", "disturbed"
        ),
        Precondition("leads", "Leads held together read 0.00 mV", "leads_not_checked"),
        Precondition("held", "Car cannot move; nobody near what may start"),
    ),
    given=(
        Choice(
            key="tested",
            label="tested",
            choices={"fuses": "fuses", "relay": "a relay"},
            chips=True,
        ),
        Choice(
            key="state",
            label="the car was",
            choices={"asleep": "asleep", "key_on": "key on", "load_on": "load switched on"},
            chips=True,
        ),
        Choice(
            key="size",
            label="size of the fuses",
            choices=_SIZES,
            chips=True,
            help="A fuse of another size says so in its row.",
        ),
        Quantity(
            key="total",
            label="whole draw at the battery meanwhile",
            finer=True,
            quantity="current",
            unit="mA",
            possible=(-300.0, 300.0),
            likely=(-15.0, 15.0),
            instrument="fine_ammeter",
            help="The sign only tells how the leads were held.",
        ),
        Flag(key="all_fuses", label="all fuses were read, in every box", finer=True),
    ),
    grids=(
        Grid(
            "fuses",
            "Volts across fuses, which stay in",
            Free(opens=3, most=40, called="fuse"),
            (
                Text(key="name", label="as on the lid", longest=40, needed=True),
                Choice(
                    key="rating",
                    label="rating",
                    choices={**{code: f"{code} A" for code in _RATINGS}, "other": "other"},
                    needed=True,
                ),
                Quantity(
                    key="drop",
                    label="across it",
                    quantity="voltage",
                    unit="mV",
                    possible=_supply_range,
                    likely=(-0.3, 0.3),
                    instrument="multimeter_mv",
                    help="Between its two test points. A minus sign is as good.",
                ),
                Choice(key="size", label="its size", choices=_SIZES, finer=True),
                Quantity(
                    key="expected",
                    label="should carry",
                    finer=True,
                    quantity="current",
                    origin="told",
                    possible=(0.0, 300.0),
                    likely=(0.0, 100.0),
                    help="From the maker's data or the load's label; asleep: at most.",
                ),
                Quantity(
                    key="resistance",
                    label="its own resistance",
                    finer=True,
                    quantity="resistance",
                    unit="mΩ",
                    origin="told",
                    possible=(0.00001, 10.0),
                    likely=(0.0003, 0.3),
                    help="From the fuse maker's data, where it is known.",
                ),
            ),
        ),
        Grid(
            "relays",
            "Relay, in its socket unless it says otherwise",
            Free(
                own=(),
                by="tested",
                presets={"relay": (Row("relay", "the relay", optional=True),)},
                opens=0,
                most=0,
                called="relay",
            ),
            (
                Choice(
                    key="clicks",
                    label="when commanded it",
                    choices={"yes": "clicks", "no": "does not click"},
                    chips=True,
                ),
                Choice(
                    key="load",
                    label="its load",
                    choices={
                        "works": "works when commanded",
                        "dead": "does not work",
                        "stays_on": "stays on",
                    },
                    chips=True,
                ),
                _volts_at("coil", "coil 85 to 86, commanded", finer=False),
                _volts_at("contact", "contacts 30 to 87, load on", finer=False, usual=1.0),
                Quantity(
                    key="current",
                    label="current through the contacts",
                    finer=True,
                    quantity="current",
                    possible=(-500.0, 500.0),
                    likely=(-100.0, 100.0),
                    instrument="clamp_ammeter",
                    help="By clamp; or say that the load works.",
                ),
                Text(key="name", label="as on the lid", longest=40, finer=True),
                Quantity(
                    key="rated",
                    label="usual current of the load",
                    finer=True,
                    quantity="current",
                    origin="told",
                    possible=(0.0, 500.0),
                    likely=(0.0, 100.0),
                ),
                _volts_at("coil_feed", "plus side of the coil to ground, commanded"),
                _volts_at("coil_ground", "other side of the coil to ground, commanded"),
                _volts_at("coil_off", "coil 85 to 86, not commanded"),
                Quantity(
                    key="coil_ohm",
                    label="coil's ohms, relay out",
                    finer=True,
                    quantity="resistance",
                    possible=(0.0, 10_000_000.0),
                    likely=(20.0, 2000.0),
                    instrument="ohmmeter",
                ),
                Quantity(
                    key="coil_ohm_reversed",
                    label="the same, leads changed over",
                    finer=True,
                    quantity="resistance",
                    possible=(0.0, 10_000_000.0),
                    likely=(1.0, 2000.0),
                    instrument="ohmmeter",
                ),
                Flag(key="out", label="relay was taken out", finer=True),
            ),
            help="Its boxes open once “a relay” is chosen above.",
        ),
    ),
    limits=(
        Limit("fuses.*.drop", bounds=_drop_limit, magnitude=True),
        Limit("given.total", bounds=_total_limit, magnitude=True),
        Limit("relays.*.coil", bounds=_coil_limit, magnitude=True),
        Limit("relays.*.coil_feed", bounds=_coil_limit, magnitude=True),
        Limit("relays.*.coil_ground", high=GROUND_SIDE_MOST_V, source=_PRACTICE, magnitude=True),
        Limit("relays.*.coil_off", bounds=_coil_off_limit, magnitude=True),
        Limit("relays.*.contact", high=CONTACT_MOST_V, source=_PRACTICE, magnitude=True),
    ),
    maker_figures={"coil_resistance": ("resistance of the relay's coil", "resistance")},
    patterns=(
        Pattern("fuse_open", "a fuse that is in has the battery's volts across it", direct=True),
        Pattern("fuse_high_drop", "more volts across a fuse than it loses at its full rating"),
        Pattern("flows_asleep", "more current through a fuse asleep than is usual", direct=True),
        Pattern("coil_ohms", "ohms of the relay's coil beyond what is usual", direct=True),
        Pattern("coil_no_pull", "the coil has its volts and the relay does not pull", direct=True),
        Pattern("coil_not_fed", "commanded, and the coil lacks volts"),
        Pattern("contacts_stuck", "the load stays on with no volts at the coil", direct=True),
        Pattern("coil_stays_fed", "not commanded, and the coil keeps its volts"),
        Pattern("contacts_open", "the relay pulls and its contacts do not close", direct=True),
        Pattern("contact_loss", "the contacts lose more volts under load than usual", direct=True),
        Pattern("more_than_expected", "more current through a fuse than its circuit should take"),
        Pattern("less_than_expected", "less current through a fuse than its circuit should take"),
        Pattern("no_flow_with_load", "load switched on, and no current in the fuses read"),
        Pattern("spread_asleep", "more than usual asleep, through several fuses together"),
        Pattern("not_on_fuses", "a high draw asleep, little of it through the fuses"),
        Pattern("contact_not_loaded", "too little current shown through the contacts to tell"),
        Pattern("sound", "nothing unusual at what was read", sound=True),
        UNDECIDED,
    ),
    confounders=(
        Confounder("disturbed", "It may have been disturbed or woken meanwhile.", 0.5),
        Confounder("leads_not_checked", "The meter's nought was not checked.", 0.8),
        Confounder("few_fuses", "Not all fuses were read.", 0.5, True),
        Confounder("weak_current", "Less than half of the usual current was flowing.", 0.3, True),
        Confounder(
            "current_not_measured", "The current was not measured, only seen to work.", 0.7, True
        ),
        Confounder("high_voltage", "The car may wake and feed its 12 volt battery by itself.", 0.6),
    ),
    sentences={
        "apart.relay": "{relay}: taken out of its socket",
        "apart.latches": "Door and bonnet latches made closed by hand",
        "chart.through": "Current through the fuses: {told}.",
        "chart.mark": "should carry",
        "chart.expected": "Should carry: {told}.",
        "chart.limit": "Asleep a whole car usually takes at most {limit}.",
        "words.no_path": "no way through",
        "words.overload": "more than the meter shows",
        "limit.common": "By common practice at most {limit} is usual there.",
        "limit.maker": "The limit entered from the maker's data is {limit}.",
        "customer.fuse_open": "This fuse lets no current through: {fuses}.",
        "customer.fuse_high_drop": (
            "More voltage is lost across this fuse than such a fuse loses at its full rating: "
            "{fuses} ({drop})."
        ),
        "customer.flows_asleep": (
            "With the car at rest more current flows through this fuse than is usual: {fuses} "
            "(about {about})."
        ),
        "customer.spread_asleep": (
            "With the car at rest about {together} flow through the fuses that were measured, "
            "more than is usual, shared among several."
        ),
        "customer.not_on_fuses": (
            "With the car at rest it draws about {total}, more than is usual, and little of it "
            "goes through the fuses."
        ),
        "customer.more_than_expected": (
            "More current flows through this fuse than its circuit should take: {fuses} (about "
            "{about})."
        ),
        "customer.less_than_expected": (
            "Less current flows through this fuse than its circuit should take: {fuses} (about "
            "{about})."
        ),
        "customer.no_flow_with_load": (
            "With the load switched on, no current flows through: {fuses}."
        ),
        "customer.coil_ohms": "{relay}: its coil measures differently from what is usual.",
        "customer.coil_no_pull": "{relay}: it gets its voltage and does not switch.",
        "customer.coil_not_fed": (
            "{relay}: it is told to switch, and too little voltage reaches it ({coil})."
        ),
        "customer.contacts_stuck": (
            "{relay}: its load stays switched on although nothing tells it to."
        ),
        "customer.coil_stays_fed": (
            "{relay}: it keeps getting voltage although it should be switched off ({off})."
        ),
        "customer.contacts_open": (
            "{relay}: it can be heard to switch, but lets no current through."
        ),
        "customer.contact_loss": "{relay}: while current flowed, {contact} was lost inside it.",
        "customer.contact_not_loaded": (
            "Too little current was shown to flow through the relay to judge it."
        ),
        "customer.sound": "Nothing unusual was found at the fuses or the relay that were measured.",
        "customer.only_these": "Others were not judged by it.",
        "customer.undecided": (
            "The measurements made so far do not decide anything about these fuses or this relay."
        ),
        "technician.fuse_open": (
            "{head}: {drop} across it, still in its holder. Why did it blow? Look for the short "
            "before a new one of the same rating goes in."
        ),
        "technician.fuse_high_drop": (
            "{head}: {drop}. More current than its rating, or a hot fuse: clamp on the wire, "
            "then look at blades and holder, load off."
        ),
        "technician.flows_asleep": (
            "{head}: {through}. Diagram: what hangs on it; unplug one at a time, and wait for "
            "sleep each time."
        ),
        "technician.spread_asleep": (
            "{together} together, no fuse alone above the usual: is the car asleep? A bus kept "
            "awake shows so."
        ),
        "technician.not_on_fuses": (
            "{total} in all, {together} through the fuses: alternator (clamp on its cable), "
            "starter, links, what sits at the battery."
        ),
        "technician.more_than_expected": (
            "{head}: {through}. A stiff motor, a short in part of a winding, or more on the "
            "circuit than the diagram shows."
        ),
        "technician.less_than_expected": (
            "{head}: {through}. Resistance in the circuit, or part of the load off: volt drop "
            "along the path."
        ),
        "technician.no_flow_with_load": (
            "{head}: nought, with the load switched on. Volts to ground on both sides of the "
            "fuse: both there, then the circuit is open beyond it; one, the fuse."
        ),
        "technician.coil_ohms": (
            "{relay}: ohms of the coil: {ohm}. Compare with a like relay; turn the leads first, "
            "there may be a diode."
        ),
        "technician.coil_no_pull": (
            "{relay}: {coil} at the coil, no click. Out with it: coil's ohms, then a like one for "
            "a moment."
        ),
        "technician.coil_not_fed": "{relay}: {coil} at the coil while commanded.",
        "technician.side_feed": "The plus side lacks its volts: fuse and feed of the coil.",
        "technician.side_ground": (
            "The plus side has its volts, the other is not pulled down: driver of the control "
            "unit, its ground, the wire between."
        ),
        "technician.side_unknown": (
            "Each side of the coil to ground tells whether feed or ground is missing; is it "
            "commanded at all?"
        ),
        "technician.contacts_stuck": (
            "{relay}: {off} at the coil, load still on. Out with it: if the load stops, its "
            "contacts hold; if not, it is fed from elsewhere."
        ),
        "technician.coil_stays_fed": (
            "{relay}: {off} at the coil though not commanded: switch, driver, or a wire that "
            "touches another."
        ),
        "technician.contacts_open": (
            "{relay}: {coil} at the coil, {contact} across the contacts: burnt contacts, or the "
            "wrong terminals."
        ),
        "technician.contact_loss": (
            "{relay}: {contact} from 30 to 87 with current flowing. Socket's terminals as well "
            "as contacts: probe on the relay's own blades tells which."
        ),
        "technician.contact_not_loaded": (
            "Drop of the contacts read without enough current shown: clamp it, or see the load "
            "work, and repeat."
        ),
        "technician.sound": "All that was read lies inside what is usual.",
        "technician.undecided": "Not enough was read, too close to tell, or no limit is known.",
        "technician.also": "Also seen: {seen}.",
        "technician.also_at": "Also seen: {seen}: {fuses}.",
        "technician.nought": (
            "Not clear of nought: {fuses}. A blown fuse in a circuit that draws nothing reads so "
            "too."
        ),
        "technician.fuse_unknown": (
            "No current without size and rating, its own resistance, or a number: {fuses}."
        ),
        "technician.fuse_resistance": (
            "Currents by typical cold resistance, a fifth to a third either way; cheap fuses "
            "differ more."
        ),
        "technician.warms_itself": (
            "Above half its rating a fuse warms itself: that is allowed for, roughly. A clamp "
            "tells better."
        ),
        "technician.state_unknown": "Say whether the car was asleep: what may flow depends on it.",
        "technician.not_all": (
            "Not all fuses read: the others, in every box. The alternator's cable is on none."
        ),
        "technician.diode": (
            "Ohms differ with the leads changed over: a diode at the coil. It goes in one way "
            "round only, and so does its spare."
        ),
        "technician.no_diode": (
            "The same ohms both ways: no diode at the coil; a resistor may stand across it."
        ),
        "technician.no_general_limit": (
            "The usual limit asleep is for 12 volt cars; enter what {volts} volt may take."
        ),
        "technician.close": "Where it says too close to tell: a finer range, or a clamp, decides.",
    },
    formulas=(
        Formula(
            "current_*",
            "volts across the fuse / its resistance; resistance = typical cold resistance x "
            "(1 + 0.0038 per K x (t − 20 °C)) x (1 + 0.5 x (current / rating)²)",
            "Ohm's law; a fuse maker's data sheets of 2024 and 2025",
        ),
        Formula("sum", "sum of the currents through all fuses read", "Kirchhoff's law of currents"),
        Formula("rest", "whole draw less the currents through all fuses read"),
        Formula("coil_resistance", "the larger of the two readings, leads changed over"),
        Formula("coil_current", "volts at the coil / its resistance", "Ohm's law"),
        Formula("coil_power", "volts at the coil² / its resistance", "Joule's law"),
        Formula("contact_resistance", "volts across the contacts / amperes", "Ohm's law"),
    ),
    example={
        "ready.quiet": "yes",
        "ready.leads": "yes",
        "ready.held": "yes",
        "given.tested": "fuses",
        "given.state": "asleep",
        "given.size": "mini",
        "fuses.r1.name": "rear lamps",
        "fuses.r1.rating": "10",
        "fuses.r1.drop": "2.30 mV",
        "fuses.r2.name": "radio",
        "fuses.r2.rating": "15",
        "fuses.r2.drop": "-0.06 mV",
    },
    assess=assess,
    next_step=_next_step,
)
