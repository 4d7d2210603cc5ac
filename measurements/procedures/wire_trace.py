"""Wire trace: which pin of one connector leads to which of another, told by ohms.

Which pair to probe next: `core.wire_probe`, with its assumptions. Expected resistance: `core.
conductor` (IEC 60028, IEC 60228, ASTM B258 as quoted elsewhere). Where a reading counts as joined
or apart, and what the ends of a wire may add, are common practice.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from itertools import combinations, pairwise
from typing import TYPE_CHECKING, Any

from measurements.core import conductor
from measurements.core.assessment import (
    Also,
    Assessment,
    Figure,
    Sentence,
    Table,
    VerdictOutcome,
)
from measurements.core.context import Context
from measurements.core.decision import verdict_words
from measurements.core.judging import conclude, figure_of, judge
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
    Pairs,
    Pattern,
    Precondition,
    Procedure,
    Quantity,
    RowOf,
    Source,
    Span,
    Text,
)
from measurements.core.readings import Readings, RowReadings
from measurements.core.uncertainty import rectangular
from measurements.core.units import show, show_value
from measurements.core.wire_probe import Pair, Picture, next_probe, picture_of

if TYPE_CHECKING:
    from uncertainties import UFloat

JOINED_MOST_OHM = 10.0
"""Up to here a reading is taken as joined (common practice): a whole wire has less than one ohm."""

APART_LEAST_OHM = 1e6
"""From here on as not joined (common practice): damp and fingers already read less than no end."""

EACH_END_OHM = 0.05
"""What the terminal and the test pin at each end may add (common practice)."""

DEAD_V = 0.1
"""More than this on a wire makes ohms worthless (common practice)."""

SAME_COLOUR_ODDS = 20.0
"""Odds of a pair of one colour against any other, where colours can be trusted (judgement)."""

DOUBTFUL_ODDS = 1e-6
"""Of a pair that gave no clear answer: read again after all others."""

AREA_TOLERANCE = 0.05
"""A conductor is up to so much off its name (judgement)."""

_FORBIDDEN = {"air_bag": "stop.air_bag", "signal": "stop.signal", "orange": "stop.orange"}

COLOUR_SETS = {
    "seen": "as seen",
    "iec": "IEC 60757",
    "maker": "the maker's own",
}
_IEC_COLOURS: Mapping[str, str] = {
    "BK": "black",
    "BN": "brown",
    "RD": "red",
    "OG": "orange",
    "YE": "yellow",
    "GN": "green",
    "BU": "blue",
    "VT": "violet",
    "GY": "grey",
    "WH": "white",
    "PK": "pink",
    "GD": "gold",
    "TQ": "turquoise",
    "SR": "silver",
}
"""IEC 60757:2021, from memory; several colours of one wire are joined without a sign."""


def colour_words(code: str, code_set: str) -> str:
    """A colour with the name of its code set, and in words where the set is public.

    >>> colour_words("RDBU", "iec"), colour_words("R/B", "maker")
    ('RDBU (red, blue; IEC 60757)', "R/B (the maker's own)")
    """
    if code_set != "iec":
        return f"{code} ({COLOUR_SETS[code_set]})"
    bare = "".join(code.upper().split())
    parts = [bare[n : n + 2] for n in range(0, len(bare), 2)]
    words = ", ".join(_IEC_COLOURS.get(part, "not in it") for part in parts)
    return f"{code} ({words}; {COLOUR_SETS[code_set]})"


def expected_ohm(area_mm2: Any, length_m: Any, temperature_c: Any) -> Any:
    """Resistance of the copper of one wire, Ω; numbers with or without uncertainty.

    >>> round(expected_ohm(1.5, 6, 60), 6)
    0.079807
    """
    return conductor.resistance_ohm(area_mm2, length_m, temperature_c)


def usual_most_ohm(
    area_mm2: float, length_m: float, temperature_c: float, leads_ohm: float
) -> float:
    """The largest usual reading across one wire: the largest that stranded copper has, two ends,
    and what the leads read when held together.

    >>> round(usual_most_ohm(0.5, 3, 20, 0.2), 3)
    0.42
    """
    copper = conductor.resistance_ohm(area_mm2, length_m, temperature_c)
    return float(copper * conductor.LARGEST_OVER_PLAIN + 2 * EACH_END_OHM + leads_ohm)


# --- what was typed, understood ---------------------------------------------------------------


@dataclass(frozen=True)
class Pin:
    """A pin that has a name. place: its address without column, "left.r2"; area in mm²."""

    place: str
    name: str
    colour: str = ""
    code_set: str = "seen"
    section: str = ""
    area: float | None = None

    @property
    def words(self) -> str:
        """With its connector: "A 3"."""
        return " ".join(("A" if self.place.startswith("left.") else "B", self.name))

    @property
    def called(self) -> str:
        """The name for comparing."""
        return " ".join(self.name.split()).casefold()

    @property
    def tint(self) -> tuple[str, str] | None:
        """The colour for comparing: only codes of one set are comparable."""
        bare = "".join(self.colour.split()).casefold()
        return (self.code_set, bare) if bare else None


@dataclass(frozen=True)
class Probe:
    """One probe. says: "joined", "apart", or why it is neither; net: ohms less the leads."""

    row: RowReadings
    ends: Pair
    says: str
    net: UFloat | None = None


@dataclass(frozen=True)
class Traced:
    """All that the readings of one run say of the pins."""

    pins: Mapping[str, Pin]
    probes: tuple[Probe, ...]
    picture: Picture
    doubtful: tuple[Probe, ...]
    changing: tuple[Pair, ...]

    @property
    def left(self) -> list[Pin]:
        """The named pins of the first connector, in order."""
        return [pin for place, pin in self.pins.items() if place.startswith("left.")]

    @property
    def right(self) -> list[Pin]:
        """The named pins of the second connector, in order."""
        return [pin for place, pin in self.pins.items() if place.startswith("right.")]

    def across(self, pair: Pair) -> list[Probe]:
        """The probes between two pins, whichever way round."""
        return [probe for probe in self.probes if set(probe.ends) == set(pair)]

    def rows_of(self, places: Sequence[str]) -> tuple[str, ...]:
        """Codes of the probes that touched one of the pins."""
        return tuple(p.row.code for p in self.probes if set(p.ends) & set(places))

    @cached_property
    def crossed(self) -> tuple[Pair, ...]:
        """Wires that lead elsewhere than to the pin of the same name, where names are shared."""
        ours = {pin.called for pin in self.left}
        theirs = {pin.called for pin in self.right}
        found = []
        for start, end in self.picture.wires.items():
            here, there = self.pins[start].called, self.pins[end].called
            if here != there and (here in theirs or there in ours):
                found.append((start, end))
        return tuple(found)

    @property
    def untried_neighbours(self) -> list[Pair]:
        """Neighbouring wires that were not probed against each other, at the first connector."""
        return [pair for pair in pairwise(self.picture.wires) if not self.across(pair)]

    @property
    def tried_each_other(self) -> bool:
        """Every two wires were probed against each other."""
        return all(self.across(pair) for pair in combinations(self.picture.wires, 2))

    def was_tried(self, place: str) -> bool:
        """An open pin was probed against every pin of the other side, none left to reasoning."""
        others = self.right if place.startswith("left.") else self.left
        return all(
            any(probe.says == "apart" for probe in self.across((place, other.place)))
            for other in others
        )


def _pins(readings: Readings) -> dict[str, Pin]:
    found = {}
    usual_set = readings.given("code_set") or "seen"
    for grid in ("left", "right"):
        for row in readings.rows(grid):
            name = row.value("name")
            if not name:
                continue
            section = str(row.value("section") or "")
            place = ".".join((grid, row.code))
            found[place] = Pin(
                place,
                str(name),
                str(row.value("colour") or ""),
                str(row.value("code_set") or usual_set),
                section,
                _area(section),
            )
    return found


def _area(section: str) -> float | None:
    try:
        return conductor.area_of(section) if section else None
    except conductor.SectionError:
        return None


def _ask_section(text: str) -> tuple[str, str] | None:
    """What to ask about a cross-section that is not understood."""
    try:
        conductor.area_of(text)
    except conductor.SectionError as fault:
        return str(fault), ""
    return None


def _ends(row: RowReadings) -> Pair | None:
    start, end = row.value("start"), row.value("end")
    return (str(start), str(end)) if start and end else None


def _net(row: RowReadings, leads: UFloat | None) -> UFloat | None:
    read = row.uncertain("ohms")
    return read if read is None or leads is None else read - leads


def _says(row: RowReadings, net: UFloat | None) -> str:
    """What a reading is evidence of: joined, apart, or a reason why of neither."""
    reading = row.get("ohms")
    if reading is None or reading.status == "not_measured":
        return "unread"
    if row.value("unsteady") is True:
        return "unsteady"
    if reading.status == "overload":
        return "apart"
    if reading.bound is not None:
        above = reading.status == "above"
        if above:
            return "apart" if reading.bound >= APART_LEAST_OHM else "between"
        return "joined" if reading.bound <= JOINED_MOST_OHM else "between"
    if net is None:
        return "unread"
    if net.nominal_value + 2 * net.std_dev < 0:
        return "negative"
    if net.nominal_value <= JOINED_MOST_OHM:
        return "joined"
    return "apart" if net.nominal_value >= APART_LEAST_OHM else "between"


def _traced(readings: Readings) -> Traced:
    """Pins, probes, and what they prove together."""
    pins, leads = _pins(readings), readings.uncertain("given.leads")
    probes = []
    for row in readings.rows("probe"):
        ends = _ends(row)
        if ends is None or not set(ends) <= set(pins):
            continue
        net = _net(row, leads)
        says = "same_pin" if ends[0] == ends[1] else _says(row, net)
        if says != "unread":
            probes.append(Probe(row, ends, says, net))
    said: dict[frozenset[str], set[str]] = {}
    for probe in probes:
        if probe.says in ("joined", "apart"):
            said.setdefault(frozenset(probe.ends), set()).add(probe.says)
    changing = {ends for ends, found in said.items() if len(found) > 1}
    picture = picture_of(
        [place for place in pins if place.startswith("left.")],
        [place for place in pins if place.startswith("right.")],
        [tuple(ends) for ends, found in said.items() if found == {"joined"}],
        [tuple(ends) for ends, found in said.items() if found == {"apart"}],
    )
    return Traced(
        pins,
        tuple(probes),
        picture,
        tuple(p for p in probes if p.says in ("between", "negative", "unsteady", "same_pin")),
        tuple(dict.fromkeys(p.ends for p in probes if frozenset(p.ends) in changing)),
    )


def _distrusted(readings: Readings) -> list[str]:
    """Reasons why none of the ohms can be trusted."""
    reasons = []
    volts = readings.uncertain("given.volts")
    if readings.given("battery_off") is False:
        reasons.append("battery_on")
    if volts is not None and abs(volts.nominal_value) > max(DEAD_V, 2 * volts.std_dev):
        reasons.append("live")
    if readings.given("module_on") is True:
        reasons.append("module_on")
    if readings.given("both_off") is False:
        reasons.append("connector_on")
    return reasons


def _stop(readings: Readings) -> str:
    """Sentence that ends the test for wires that no ohmmeter may touch, or ""."""
    return _FORBIDDEN.get(str(readings.given("serves")), "")


# --- expected resistance ----------------------------------------------------------------------


def _thinner(pins: Mapping[str, Pin], pair: Pair) -> float | None:
    """mm² of a wire by what is known of its two pins, the smaller of two that differ."""
    areas = [area for place in pair if (area := pins[place].area if place in pins else None)]
    return min(areas) if areas else None


def _temperature(readings: Readings, context: Context) -> float:
    found = readings.given("temperature")
    if found is None:
        found = context.ambient.temperature_c
    return 20.0 if found is None else float(found)


def _expected(readings: Readings, context: Context, area: float | None) -> UFloat | None:
    """Ω of the copper, with the doubt of length, section and temperature."""
    from uncertainties import ufloat

    length = readings.uncertain("given.length")
    if length is None or area is None:
        return None
    cross = ufloat(area, rectangular(AREA_TOLERANCE * area))
    warm = ufloat(_temperature(readings, context), 2.0)
    found: UFloat = expected_ohm(cross, length / 1000, warm)
    return found


def _usual(context: Context, readings: Readings, row: RowReadings | None) -> Span | None:
    """Most that a joined wire should read, where length, section and the leads are known."""
    length, leads = readings.given("length"), readings.given("leads")
    if row is None or length is None or leads is None or _distrusted(readings) or _stop(readings):
        return None
    ends = _ends(row)
    if ends is None or len({place.split(".")[0] for place in ends}) < 2:
        return None
    if _says(row, _net(row, readings.uncertain("given.leads"))) != "joined":
        return None
    area = _thinner(_pins(readings), ends)
    if area is None:
        return None
    most = usual_most_ohm(area, length / 1000, _temperature(readings, context), leads)
    return Span(None, most, _COPPER)


_COPPER = Source(
    "C", "common practice: largest resistance of stranded copper, and 0.05 Ω for each end"
)


# --- assessment -------------------------------------------------------------------------------


@dataclass
class _Found:
    """What is said of one run, gathered step by step."""

    readings: Readings
    context: Context
    traced: Traced
    verdicts: tuple[VerdictOutcome, ...]
    distrusted: list[str]
    stop: str
    seen: dict[str, tuple[str, ...]] = field(default_factory=dict)

    @property
    def high(self) -> list[Pair]:
        """Proven wires with a reading outside what copper of this size has."""
        return [
            pair
            for pair in self.traced.picture.wires.items()
            if any(self._outcome(p) == "outside" for p in self.traced.across(pair))
        ]

    @property
    def unjudged(self) -> bool:
        """Of some proven wire the resistance was not judged, or could not be."""
        return any(
            not any(self._outcome(p) in ("within", "outside") for p in self.traced.across(pair))
            for pair in self.traced.picture.wires.items()
        )

    def _outcome(self, probe: Probe) -> str:
        address = probe.row.address("ohms")
        return next((v.outcome for v in self.verdicts if v.address == address), "no_limit")


def assess(readings: Readings, context: Context) -> Assessment:
    """Which pins belong together, which to none, which to several; and with how many ohms."""
    traced = _traced(readings)
    found = _Found(
        readings,
        context,
        traced,
        judge(PROCEDURE, readings, context),
        _distrusted(readings),
        _stop(readings),
    )
    found.seen = _seen(found)
    lead = next(iter(found.seen), "undecided")
    return conclude(
        PROCEDURE,
        readings,
        context,
        pattern=lead,
        where=found.seen.get(lead, ()),
        also=tuple(Also(code, where) for code, where in found.seen.items() if code != lead),
        figures=() if found.stop or found.distrusted else _figures(found),
        verdicts=found.verdicts,
        confounders=_confounders(found, lead),
        tables=_tables(found),
        customer=_customer(found, lead),
        technician=_technician(found, lead),
        chart=_chart(found),
    )


def _seen(found: _Found) -> dict[str, tuple[str, ...]]:
    """Patterns with the probes that show them, what matters most first."""
    traced, picture = found.traced, found.traced.picture
    if found.stop or not traced.probes:
        return {}
    if found.distrusted:
        return {"not_trustworthy": tuple(probe.row.code for probe in traced.probes)}
    seen: dict[str, tuple[str, ...]] = {}
    joined = [pin for group in picture.groups for pin in group]
    if joined:
        seen["short_between_wires"] = tuple(
            p.row.code for p in traced.probes if set(p.ends) <= set(joined) and p.says == "joined"
        )
    if picture.open_left:
        seen["open_wire"] = traced.rows_of(picture.open_left)
    if traced.crossed:
        seen["crossed"] = tuple(p.row.code for pair in traced.crossed for p in traced.across(pair))
    if found.high:
        seen["resistance_high"] = tuple(p.row.code for e in found.high for p in traced.across(e))
    doubtful = [*traced.doubtful, *(p for ends in traced.changing for p in traced.across(ends))]
    if doubtful:
        seen["not_trustworthy"] = tuple(dict.fromkeys(probe.row.code for probe in doubtful))
    if not seen and picture.is_settled and len(picture.wires) == len(traced.left):
        seen["all_paired"] = ()
    return seen


def _confounders(found: _Found, lead: str) -> list[str]:
    readings, traced = found.readings, found.traced
    weak = list(found.distrusted)
    if found.stop:
        weak.append("forbidden_line")
    if any(readings.given(key) is None for key in ("both_off", "battery_off", "module_on")):
        weak.append("ends_unknown")
    judging = not (found.stop or found.distrusted)
    if judging and traced.picture.wires and found.unjudged:
        weak.append("resistance_unjudged")
    if len(traced.picture.wires) > 1 and not traced.tried_each_other:
        weak.append("shorts_not_tried")
    if lead == "all_paired":
        weak.append("no_load")
    return weak


def _figures(found: _Found) -> list[Figure]:
    """For each proven wire: what was found less the leads, and what its copper should have."""
    figures = []
    for pair in found.traced.picture.wires.items():
        key = pair[0].split(".")[1]
        words = " to ".join(found.traced.pins[place].words for place in pair)
        read = [
            p.net for p in found.traced.across(pair) if p.says == "joined" and p.net is not None
        ]
        if read and found.readings.given("leads") is not None:
            label = PROCEDURE.say("figure.found", wire=words).text
            figures.append(figure_of("found_" + key, label, "resistance", read[-1]))
        expected = _expected(found.readings, found.context, _thinner(found.traced.pins, pair))
        if expected is not None:
            label = PROCEDURE.say("figure.expected", wire=words).text
            figures.append(figure_of("expected_" + key, label, "resistance", expected, unit="mΩ"))
    return figures


# --- table and drawing ------------------------------------------------------------------------


def _states(found: _Found) -> dict[str, str]:
    """Of every pin: what is known of it."""
    traced, picture = found.traced, found.traced.picture
    states = dict.fromkeys(traced.pins, "not proven")
    for start, end in picture.wires.items():
        states[start] = states[end] = "proven"
    for start, end in traced.crossed:
        states[start] = states[end] = "proven, to another name"
    for start, end in found.high:
        states[start] = states[end] = "proven, resists too much"
    for place in picture.open_left:
        states[place] = (
            "open: tried against all others"
            if traced.was_tried(place)
            else "open: all others have their partner"
        )
    for place in picture.open_right:
        states[place] = "no partner among these"
    for place in (place for group in picture.groups for place in group):
        states[place] = "joined with more than one"
    if found.distrusted:
        states = dict.fromkeys(states, "not to be trusted")
    return states


def _tables(found: _Found) -> tuple[Table, ...]:
    """The pins of the first connector, then those of the second that are no wire's end."""
    traced, picture = found.traced, found.traced.picture
    if not traced.pins or found.stop:
        return ()
    states, ends = _states(found), set(picture.wires.values())
    cells = []
    for pin in (*traced.left, *(pin for pin in traced.right if pin.place not in ends)):
        partner = picture.wires.get(pin.place)
        leads_to = traced.pins[partner].words if partner else _joined_words(traced, pin.place)
        pair = (pin.place, partner) if partner else None
        cells.append(
            (
                pin.words,
                colour_words(pin.colour, pin.code_set) if pin.colour else "–",
                _section_words(pin),
                leads_to,
                _read_words(found, pair),
                _expected_words(found, pair),
                states[pin.place],
            )
        )
    head = ("pin", "colour", "cross-section", "leads to", "read", "expected", "what is known")
    return (Table("Pins", head, tuple(cells)),)


def _joined_words(traced: Traced, place: str) -> str:
    for group in traced.picture.groups:
        if place in group:
            return ", ".join(traced.pins[other].words for other in group if other != place)
    return "–"


def _section_words(pin: Pin) -> str:
    """In mm²; what was typed stands behind it where that was a gauge number."""
    if pin.area is None:
        return pin.section or "–"
    words = show_value(pin.area, "cross_section", places=2)
    typed_mm2 = "mm" in pin.section.casefold() or pin.section.strip(" .,0123456789") == ""
    return words if typed_mm2 else " ".join((words, f"({pin.section})"))


def _read_words(found: _Found, pair: Pair | None) -> str:
    read = [p for p in found.traced.across(pair) if p.says == "joined"] if pair else []
    reading = read[-1].row.get("ohms") if read else None
    return reading.understood if reading else "–"


def _expected_words(found: _Found, pair: Pair | None) -> str:
    area = _thinner(found.traced.pins, pair) if pair else None
    expected = _expected(found.readings, found.context, area)
    if expected is None:
        return "–"
    return show(expected.nominal_value, expected.std_dev, "resistance", unit="mΩ")


def _chart(found: _Found) -> dict[str, Any]:
    """Both connectors with the proven wires; nothing that is not to be trusted."""
    traced, picture = found.traced, found.traced.picture
    if found.stop or found.distrusted or not traced.probes:
        return {}
    left, right = traced.left, traced.right
    place_of = {pin.place: n for side in (left, right) for n, pin in enumerate(side)}
    high = set(found.high)
    told = [
        " to ".join(traced.pins[place].words for place in pair) for pair in picture.wires.items()
    ]
    told += [
        PROCEDURE.say("chart.joined", pins=_names(traced, group)).text for group in picture.groups
    ]
    told += [
        PROCEDURE.say("chart.open", pin=traced.pins[place].words).text
        for place in picture.open_left
    ]
    return {
        "kind": "pins",
        "title": PROCEDURE.say(
            "chart", wires="; ".join(told) or PROCEDURE.say("chart.nothing").text
        ).text,
        "left": {
            "label": "Connector A",
            "pins": [{"name": pin.name, "open": pin.place in picture.open_left} for pin in left],
        },
        "right": {"label": "Connector B", "pins": [{"name": pin.name} for pin in right]},
        "wires": [
            {"from": place_of[start], "to": place_of[end], "high": (start, end) in high}
            for start, end in picture.wires.items()
        ],
        "groups": [
            {
                "left": [place_of[p] for p in group if p.startswith("left.")],
                "right": [place_of[p] for p in group if p.startswith("right.")],
            }
            for group in picture.groups
        ],
    }


# --- words ------------------------------------------------------------------------------------


def _names(traced: Traced, places: Sequence[str]) -> str:
    return ", ".join(traced.pins[place].words for place in places)


def _wires_named(traced: Traced, pairs: Sequence[Pair]) -> str:
    return "; ".join(" to ".join(traced.pins[place].words for place in pair) for pair in pairs)


def _parts(found: _Found) -> list[tuple[str, dict[str, str]]]:
    """What was seen, code and parameters, for both readers."""
    traced, picture = found.traced, found.traced.picture
    parts: list[tuple[str, dict[str, str]]] = []
    if found.distrusted:
        return []
    if picture.groups:
        groups = "; ".join(_names(traced, group) for group in picture.groups)
        parts.append(("short_between_wires", {"pins": groups}))
    if picture.open_left:
        parts.append(("open_wire", {"pins": _names(traced, picture.open_left)}))
    if traced.crossed:
        parts.append(("crossed", {"wires": _wires_named(traced, traced.crossed)}))
    if found.high:
        parts.append(("resistance_high", {"wires": _wires_named(traced, found.high)}))
    return parts


def _customer(found: _Found, lead: str) -> list[Sentence]:
    say = PROCEDURE.say
    if found.stop:
        return [say("customer.stop")]
    said = [say(f"customer.{code}", **params) for code, params in _parts(found)]
    if lead == "not_trustworthy":
        said.append(say("customer.not_trustworthy"))
    elif lead == "undecided":
        said.append(say("customer.undecided"))
    elif lead == "all_paired":
        said.append(say("customer.all_paired", count=str(len(found.traced.picture.wires))))
        said.append(say("customer.no_load"))
    return said


def _technician(found: _Found, lead: str) -> list[Sentence]:
    say, traced, picture = PROCEDURE.say, found.traced, found.traced.picture
    if found.stop:
        return [say(found.stop)]
    said = [say(f"distrust.{reason}") for reason in found.distrusted]
    said += [say(f"seen.{code}", **params) for code, params in _parts(found)]
    for place in picture.open_left if not found.distrusted else ():
        how = "open.tried" if traced.was_tried(place) else "open.reasoned"
        said.append(say(how, pin=traced.pins[place].words))
    said += _resistances(found)
    for probe in traced.doubtful:
        ends = _wires_named(traced, [probe.ends])
        reading = probe.row.get("ohms")
        said.append(
            say(f"doubt.{probe.says}", ends=ends, read=reading.understood if reading else "")
        )
    if traced.changing:
        said.append(say("doubt.changing", wires=_wires_named(traced, traced.changing)))
    if picture.open_right and picture.is_settled and not found.distrusted:
        said.append(say("right_alone", pins=_names(traced, picture.open_right)))
    if _twice_named(traced):
        said.append(say("twice_named", pins=_names(traced, _twice_named(traced))))
    if lead == "all_paired":
        load = found.readings.given("serves") == "load"
        said += [
            say("seen.all_paired", count=str(len(picture.wires))),
            say("lamp" if load else "lamp_only_loads"),
            say("unplugged"),
        ]
    elif lead == "resistance_high" and found.readings.given("serves") == "load":
        said.append(say("lamp"))
    elif lead == "undecided":
        said.append(
            say("undecided", proven=str(len(picture.wires)), pairs=str(len(picture.possible)))
        )
    return said


def _resistances(found: _Found) -> list[Sentence]:
    """Each wire that was held against its copper and is not plainly inside."""
    said = []
    for pair in found.traced.picture.wires.items():
        for probe in found.traced.across(pair):
            address = probe.row.address("ohms")
            verdict = next((v for v in found.verdicts if v.address == address), None)
            reading = probe.row.get("ohms")
            if verdict is None or reading is None:
                continue
            if verdict.outcome in ("outside", "cannot_tell"):
                said.append(
                    PROCEDURE.say(
                        f"ohms.{verdict.outcome}",
                        wire=_wires_named(found.traced, [pair]),
                        read=reading.understood,
                        words=verdict_words(verdict, found.context.units),
                    )
                )
    return said


def _twice_named(traced: Traced) -> list[str]:
    """Pins that share their name with another one of the same connector."""
    found = []
    for side in (traced.left, traced.right):
        names = [pin.called for pin in side]
        found += [pin.place for pin in side if names.count(pin.called) > 1]
    return found


# --- what to probe next -----------------------------------------------------------------------


def next_pair(traced: Traced, colours_trusted: bool) -> tuple[Pair | None, str]:
    """The pair to probe next and why: "settles", "colour", "again", "neighbours", or "" for none.

    Same names go first among equals; equal colours have better odds only where they can be trusted.
    """
    odds: dict[Pair, float] = {}
    same_name, same_colour = set(), set()
    doubtful = {frozenset(probe.ends) for probe in traced.doubtful}
    doubtful |= {frozenset(ends) for ends in traced.changing}
    for pair in traced.picture.possible:
        start, end = (traced.pins[place] for place in pair)
        if start.tint and start.tint == end.tint:
            same_colour.add(pair)
            odds[pair] = SAME_COLOUR_ODDS if colours_trusted else 1.0
        if start.called == end.called:
            same_name.add(pair)
        if frozenset(pair) in doubtful:
            odds[pair] = DOUBTFUL_ODDS
    chosen = next_probe(traced.picture, odds, same_name or same_colour)
    if chosen is not None:
        if frozenset(chosen) in doubtful:
            return chosen, "again"
        return chosen, "colour" if colours_trusted and chosen in same_colour else "settles"
    neighbours = traced.untried_neighbours
    return (neighbours[0], "neighbours") if neighbours else (None, "")


def _next_step(readings: Readings, context: Context) -> tuple[tuple[str, str], ...]:
    """Name the pins, put right what spoils the ohms, then the probe that settles most."""
    del context
    say = PROCEDURE.say
    if _stop(readings):
        return ()
    for reason, key in (
        ("battery_on", "battery_off"),
        ("live", "volts"),
        ("module_on", "module_on"),
        ("connector_on", "both_off"),
    ):
        if reason in _distrusted(readings):
            return ((".".join(("given", key)), say("next.put_right").text),)
    traced = _traced(readings)
    for grid, side in (("left", traced.left), ("right", traced.right)):
        if not side:
            return ((".".join((grid, "r1", "name")), say("next.name").text),)
    empty = next(
        (
            row
            for row in readings.rows("probe")
            if not any(row.get(key) for key in ("start", "end", "ohms"))
        ),
        None,
    )
    pair, why = next_pair(traced, readings.given("colours_trusted") is True)
    if pair is None or empty is None:
        return ()
    start, end = (traced.pins[place].words for place in pair)
    pairs = str(len(traced.picture.possible))
    reason = say(f"next.{why}", start=start, end=end, pairs=pairs).text
    return ((empty.address("start"), reason),)


# --- the declaration --------------------------------------------------------------------------


def _pin_columns() -> tuple[Text | Choice, ...]:
    return (
        Text(key="name", label="name", longest=40, needed=True, help="As on the housing."),
        Text(key="colour", label="colour", longest=24, help="Base colour first, then the tracer."),
        Choice(
            key="code_set",
            label="code set of the colour",
            choices=COLOUR_SETS,
            finer=True,
            help="Empty: as said above for all.",
        ),
        Text(
            key="section",
            label="cross-section",
            longest=20,
            question=_ask_section,
            help="0.75 (square millimetres) or AWG 18.",
        ),
    )


PROCEDURE = Procedure(
    name="wire_trace",
    title="Wire trace",
    version=1,
    group="Electrical",
    purpose="Shows which pin of one connector leads to which pin of another, which leads to none, "
    "which hang together, and whether a wire resists more than its copper explains. It proposes "
    "the next pair to probe.",
    proves_nothing_when="A module, lamp or battery was still on the wires, so that the meter "
    "reads through it; or the wire breaks only when it is bent, hot, or carries its load.",
    evidence_group="wiring",
    needs_before=("trouble_codes",),
    spoils=("trouble_codes", "battery_at_rest", "parasitic_draw"),
    leaves_apart=("connector A off", "connector B off", "battery's minus lead off"),
    effort=Effort(
        15,
        ("ohmmeter", "test pins that fit the terminals", "long lead with clips", "lamp of 21 W"),
        risk="moving a connector may hide the fault; terminals spread by thick probes",
    ),
    cautions=(
        Caution(
            "No ohmmeter and no lamp on air-bag, sensor or bus lines.",
            "Its current can fire an air bag or destroy a module. Only what the maker allows, by "
            "people trained for it. Near an air bag wait the maker's power-down time before "
            "anything is unplugged.",
            "the maker's instructions",
        ),
        Caution(
            "Orange cable: stop.",
            "High voltage. It is neither unplugged nor probed here; only people trained for it, "
            "shut down and proved dead.",
            "workplace guidance on electric vehicles",
        ),
        Caution(
            "Ohms only on dead wires, free at both ends.",
            "Codes read first; key out, battery's minus lead off, both connectors off. Volts "
            "against ground before ohms: they must be nought. Voltage spoils the reading and the "
            "meter.",
            "common practice",
        ),
        Caution(
            "Do not pierce the insulation; probe from the back.",
            "A pierced wire rots from there. Where it was pierced, seal it and record it.",
            "common practice",
        ),
        Caution(
            "A probe that is too thick spreads the terminal.",
            "Test pins of the terminal's size; else the next fault is made here.",
            "common practice",
        ),
        Caution(
            "Battery gas explodes.",
            "Minus lead off first, on last; no spark at the posts, goggles.",
            "OSHA 1910.178(g), 1910.151(c)",
            from_memory=True,
        ),
        MAKER_FIRST,
    ),
    preconditions=(
        Precondition(
            "faces", "Pin numbers read on the housing; seen from behind they are mirrored", "faces"
        ),
        Precondition("fits", "Test pins fit the terminals and touch the metal", "poor_contact"),
        Precondition("photo", "Connectors photographed before they were touched"),
    ),
    given=(
        Choice(
            key="serves",
            label="what the wires serve",
            needed=True,
            origin="told",
            choices={
                "load": "feeds, grounds, lamps, motors",
                "other": "other lines, not among the next three",
                "signal": "sensor or bus line",
                "air_bag": "air bag or belt tensioner",
                "orange": "orange, high voltage",
            },
        ),
        Flag(key="both_off", label="both connectors are off", needed=True),
        Flag(key="battery_off", label="battery is disconnected", needed=True),
        Flag(
            key="module_on",
            label="a module, lamp or motor is still on these wires",
            needed=True,
            help="Through it the meter reads a path that is no wire.",
        ),
        Quantity(
            key="leads",
            label="leads held together",
            quantity="resistance",
            possible=(0.0, 20.0),
            likely=(0.0, 2.0),
            instrument="ohmmeter",
            help="0 where the meter was set to nought with them.",
        ),
        Quantity(
            key="length",
            label="cable between the connectors",
            quantity="length",
            unit="m",
            possible=(10.0, 50_000.0),
            likely=(100.0, 15_000.0),
            instrument="tape",
            help="Along the cable. With the cross-section it gives the ohms to expect.",
        ),
        Quantity(
            key="volts",
            label="volts on the wires before",
            quantity="voltage",
            possible=(-60.0, 60.0),
            likely=(-30.0, 30.0),
            instrument="multimeter",
            help="Against ground, the largest found. It must be nought.",
        ),
        Quantity(
            key="temperature",
            label="temperature of the cable",
            quantity="temperature",
            possible=(-60.0, 200.0),
            likely=(-30.0, 120.0),
            instrument="thermometer",
            finer=True,
            help="Empty: as the air, else 20 °C.",
        ),
        Choice(
            key="code_set",
            label="code set of the colours",
            choices=COLOUR_SETS,
            default="seen",
            finer=True,
        ),
        Flag(
            key="colours_trusted",
            label="colours can be trusted",
            finer=True,
            help="Same colour at both ends, never repaired with another. Then equal colours are "
            "tried first.",
        ),
    ),
    grids=(
        Grid(
            "left",
            "Connector A",
            Free(called="pin", opens=3, most=24),
            _pin_columns(),
        ),
        Grid(
            "right",
            "Connector B",
            Free(called="pin", opens=3, most=24),
            _pin_columns(),
        ),
        Grid(
            "probe",
            "Probes",
            Pairs(
                left=RowOf(key="start", label="from", grids=("left", "right"), needed=True),
                right=RowOf(key="end", label="to", grids=("left", "right"), needed=True),
                opens=3,
                most=90,
            ),
            (
                Quantity(
                    key="ohms",
                    label="ohms",
                    quantity="resistance",
                    needed=True,
                    possible=(-100.0, 1e10),
                    likely=(0.0, None),
                    instrument="ohmmeter",
                    help="OL for no connection at all. Any pin against any pin.",
                ),
                Flag(key="unsteady", label="does not stand still", finer=True),
            ),
            help="The page proposes the next pair: the one that settles most.",
        ),
    ),
    limits=(Limit("probe.*.ohms", bounds=_usual),),
    handling_u={"length": 50.0},
    patterns=(
        Pattern("short_between_wires", "a pin joined with more than one"),
        Pattern("open_wire", "a pin that leads to none of the others"),
        Pattern("crossed", "paired, but not with the pin of the same name"),
        Pattern("resistance_high", "connected, but with too much resistance"),
        Pattern("not_trustworthy", "readings that can't be trusted"),
        Pattern("all_paired", "each pin has its partner", sound=True),
        UNDECIDED,
    ),
    confounders=(
        Confounder("battery_on", "The battery was connected.", 0.0),
        Confounder("live", "There was voltage on the wires.", 0.0),
        Confounder("module_on", "The meter may have read through a module or lamp.", 0.1),
        Confounder("connector_on", "A connector was still on.", 0.1),
        Confounder("forbidden_line", "Not for an ohmmeter: nothing was judged.", 0.0),
        Confounder(
            "ends_unknown", "Not noted whether both ends were free and the battery off.", 0.4
        ),
        Confounder("faces", "Pins may have been counted from the wrong side.", 0.5),
        Confounder("poor_contact", "The probes may not have touched the terminal.", 0.5),
        Confounder(
            "resistance_unjudged",
            "The resistance of a wire was not judged, or this meter is too coarse for it.",
            0.8,
            only_sound=True,
        ),
        Confounder(
            "shorts_not_tried",
            "Not every two wires were tried against each other: two that touch may be missed.",
            0.8,
            only_sound=True,
        ),
        Confounder(
            "no_load",
            "An ohmmeter loads a wire with next to nothing: one strand left reads like a whole "
            "wire.",
            0.7,
            only_sound=True,
        ),
    ),
    formulas=(
        Formula("found_*", "reading − reading of the leads held together, same meter"),
        Formula(
            "expected_*",
            "length in m / (58 x cross-section in mm²) x (1 + 0.00393 x (temperature in °C − 20)); "
            "AWG n has a diameter of 0.127 mm x 92^((36 − n) / 39)",
            "IEC 60028 and ASTM B258, from memory",
        ),
    ),
    example={
        "ready.faces": "yes",
        "ready.fits": "yes",
        "given.serves": "load",
        "given.both_off": "yes",
        "given.battery_off": "yes",
        "given.module_on": "no",
        "given.leads": "0.2 Ω",
        "given.length": "3.00 m",
        "left.r1.name": "1",
        "left.r1.section": "0.75",
        "left.r2.name": "2",
        "left.r2.section": "AWG 18",
        "right.r1.name": "1",
        "right.r2.name": "2",
        "probe.p1.start": "left.r1",
        "probe.p1.end": "right.r1",
        "probe.p1.ohms": "0.3 Ω",
        "probe.p2.start": "left.r2",
        "probe.p2.end": "right.r2",
        "probe.p2.ohms": "OL",
    },
    next_step=_next_step,
    assess=assess,
    sentences={
        # customer
        "customer.all_paired": "All wires that were traced connect their two ends; wires traced: "
        "{count}.",
        "customer.no_load": "That they connect does not show that they carry their full current.",
        "customer.open_wire": "There is no connection from here to the other connector: {pins}.",
        "customer.short_between_wires": "These points are connected with each other: {pins}. "
        "Wires may touch there, or be joined on purpose.",
        "customer.crossed": "Wires lead to other places than their names say: {wires}.",
        "customer.resistance_high": "A wire connects its two ends, but resists more than it "
        "should: {wires}.",
        "customer.not_trustworthy": "Readings were taken that can't be relied on; they have to be "
        "taken again.",
        "customer.undecided": "The wires are not traced to the end yet.",
        "customer.stop": "These wires must not be measured in this way; nothing was judged.",
        # technician
        "stop.air_bag": "Air bag or belt tensioner: stop. No meter, no lamp; the maker's own "
        "procedure, after the power-down time, by people trained for it.",
        "stop.signal": "Sensor or bus line: no ohmmeter and no lamp into it. The maker's own way, "
        "or volts and signal with everything connected.",
        "stop.orange": "Orange: stop. High voltage is no work for this test.",
        "distrust.battery_on": "The battery is connected: ohms mean nothing on a live wire. Minus "
        "lead off, then probe again.",
        "distrust.live": "There is voltage on the wires: find where it comes from before any ohms.",
        "distrust.module_on": "Something is still connected: a cold lamp or a module reads like a "
        "wire. Unplug it and probe again.",
        "distrust.connector_on": "A connector is still on: the meter reads round through what "
        "hangs on it. Take it off and probe again.",
        "seen.all_paired": "Every pin has its partner, and only one; wires proven: {count}.",
        "seen.open_wire": "Leads to none of the pins listed: {pins}. Are all pins listed? Then "
        "halve the wire at the next connector.",
        "seen.short_between_wires": "Hang together: {pins}. A splice or common ground does the "
        "same: the wiring diagram tells. Else look where they run side by side.",
        "seen.crossed": "Not to the same name: {wires}. Seen from the same side? Then the diagram, "
        "and traces of earlier work on the connector.",
        "seen.resistance_high": "Continuity, but too much resistance: {wires}. Contact of the "
        "probe first, then terminal and crimp, then green or thin copper.",
        "open.tried": "{pin}: open, tried against every other pin.",
        "open.reasoned": "{pin}: open, since all others have their partner, each only one.",
        "ohms.outside": "{wire}: {read}, {words}.",
        "ohms.cannot_tell": "{wire}: {read}, {words}. A drop in volts under load tells it better.",
        "doubt.between": "{ends}: {read} is neither a wire nor an open end. A path through "
        "something else, damp, or a wire nearly gone: free both ends and read again.",
        "doubt.negative": "{ends}: {read} is less than nothing: voltage on the wire, or the leads "
        "read wrong. Hold them together, note it, read again.",
        "doubt.unsteady": "{ends}: does not stand still. Contact of the probe, then bend the cable "
        "piece by piece while watching.",
        "doubt.same_pin": "{ends}: both ends are one pin; this probe says nothing.",
        "doubt.changing": "Joined in one probe and apart in another: {wires}. A break that opens "
        "and closes, or poor contact: bend the cable while watching.",
        "right_alone": "No partner among these for: {pins}. An empty place, or a wire from "
        "elsewhere.",
        "twice_named": "Two pins of one connector have the same name: {pins}. Tell them apart.",
        "lamp": "Now load it: continuity lets a cable through that has one strand left. Lamp of "
        "21 W or the wire's own load over it, and the volts lost on the way.",
        "lamp_only_loads": "Continuity is not soundness: load the wire as the maker says. A lamp "
        "only on feeds, grounds, lamps and motors, never on air-bag, sensor or bus lines.",
        "unplugged": "The connectors were off: if the fault is gone now, that decides nothing.",
        "undecided": "Wires proven: {proven}. Pairs not settled yet: {pairs}.",
        # next
        "next.name": "Name the pins of both connectors, then probe.",
        "next.put_right": "Put this right first, and say so here: no ohms are worth anything "
        "before.",
        "next.settles": "{start} against {end}: of {pairs} pairs still open it settles most.",
        "next.colour": "{start} against {end}: same colour, and of {pairs} pairs still open it "
        "settles most.",
        "next.again": "{start} against {end} once more: it gave no clear answer.",
        "next.neighbours": "{start} against {end}: two wires that touch show only between pins of "
        "one side.",
        # figures and drawing
        "figure.found": "resistance of {wire}",
        "figure.expected": "copper of {wire}",
        "chart": "Proven so far: {wires}.",
        "chart.nothing": "nothing",
        "chart.joined": "together {pins}",
        "chart.open": "{pin} open",
    },
)
