"""The look round a car before anything is measured or touched: what a minute's eye finds.

What is worth looking at, and which sight goes first, is common practice: what is a danger, then
what changes the search whatever the complaint is, then the rest.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from measurements.core.assessment import Also, Assessment, Sentence, Table
from measurements.core.context import Context
from measurements.core.judging import conclude
from measurements.core.procedure import (
    MAKER_FIRST,
    UNDECIDED,
    Caution,
    Choice,
    Confounder,
    Driving,
    Effort,
    Fixed,
    Grid,
    Pattern,
    Precondition,
    Procedure,
    Row,
    Text,
)
from measurements.core.readings import Readings, RowReadings
from measurements.core.wording import at_head

NOTHING, ABSENT = "nothing", "absent"

PARTS: Mapping[str, str] = {
    NOTHING: "nothing unusual",
    "loose": "loose or off",
    "corroded": "corroded, burnt",
    "worn": "worn, cracked, chafed",
    ABSENT: "not fitted",
}
FLUIDS: Mapping[str, str] = {
    NOTHING: "nothing unusual",
    "leak": "leaks, drips",
    "low": "low",
    "high": "high",
    "odd": "looks unusual",
    ABSENT: "not fitted",
}
TRACES: Mapping[str, str] = {
    NOTHING: "none seen",
    "bonnet": "under the bonnet",
    "inside": "inside",
    "boot": "in the boot",
    "outside": "outside, beneath",
}
STATES: Mapping[str, Mapping[str, str]] = {"parts": PARTS, "fluids": FLUIDS, "traces": TRACES}

EXTENT: Mapping[str, str] = {"all": "all looked at", "part": "in part"}
"""One tap for each list of places: where all were looked at, what is not marked is not unusual."""

SHORT: Mapping[str, str] = {
    "posts": "battery",
    "grounds": "ground strap",
    "belt": "belt",
    "hoses": "hose",
    "wiring": "wiring",
    "underneath": "underneath",
    "fuel": "fuel",
    "brake": "brake fluid",
    "coolant": "coolant",
    "oil": "engine oil",
    "other": "other fluid",
    "water": "water or damp",
    "chewed": "chew marks or nest",
    "work": "recent work",
    "accessories": "added wires, devices",
    "wrong_part": "part unlike its place",
}
"""What the drawing and the sentences call a row."""

HIDDEN: Mapping[str, str] = {
    "nothing": "nothing",
    "dirt": "dirt",
    "wet": "rain or snow",
    "dark": "darkness",
    "covers": "covers or load",
}

_OF_PARTS = {
    "posts": "posts",
    "grounds": "poor_ground",
    "belt": "belt",
    "hoses": "hose",
    "wiring": "wiring",
    "underneath": "underneath",
}
_OF_LEAKS = {
    "fuel": "fuel_leak",
    "brake": "brake_fluid_leak",
    "coolant": "coolant_leak",
}
_OF_TRACES = {
    "water": "water_inside",
    "chewed": "chewed",
    "work": "recent_work",
    "accessories": "accessories",
    "wrong_part": "wrong_part",
}


def pattern_of(row: str, state: str) -> str:
    """The pattern that a state of a row belongs to, "" where nothing unusual was seen."""
    if state in (NOTHING, ABSENT):
        return ""
    if row in _OF_PARTS:
        return _OF_PARTS[row]
    if row in _OF_TRACES:
        return _OF_TRACES[row]
    if state == "leak":
        return _OF_LEAKS.get(row, "leak")
    if row == "brake":
        return "brake_fluid_off"
    if row == "oil" and state == "high":
        return "oil_high"
    return "level_low" if state == "low" else "fluid_unusual"


@dataclass(frozen=True)
class Sight:
    """One unusual thing: its row, what was seen there, and the pattern it belongs to."""

    grid: str
    row: str
    state: str
    pattern: str

    @property
    def words(self) -> str:
        """ "battery: loose or off", "recent work under the bonnet"."""
        said = STATES[self.grid][self.state]
        return (
            f"{SHORT[self.row]} {said}" if self.grid == "traces" else f"{SHORT[self.row]}: {said}"
        )


def assess(readings: Readings, context: Context) -> Assessment:
    """Everything that was seen, what is a danger first."""
    rows = [row for key in STATES for row in readings.rows(key)]
    sights = [sight for row in rows for sight in _sights(row)]
    lacking = [row for row in rows if not _looked(row)]
    found = {
        pattern.code: tuple(dict.fromkeys(s.row for s in sights if s.pattern == pattern.code))
        for pattern in PROCEDURE.patterns
        if any(sight.pattern == pattern.code for sight in sights)
    }
    codes = list(found)
    lead = codes[0] if codes else "undecided" if lacking else "nothing_seen"
    looked = [row for row in rows if _looked(row) and not _absent(row)]
    return conclude(
        PROCEDURE,
        readings,
        context,
        pattern=lead,
        where=found.get(lead, ()),
        also=tuple(Also(code, found[code]) for code in codes[1:]),
        confounders=("hidden",) if _is_hidden(readings) else (),
        tables=(_table(looked),) if looked else (),
        customer=_customer(found, lead, looked, lacking, sights, readings),
        technician=_technician(found, lead, lacking, sights, readings),
        chart=_chart(rows, sights) if looked else {},
    )


def _looked(row: RowReadings) -> bool:
    """It is marked, or all places of its list were looked at."""
    whole = row.readings.given(f"{row.grid}_looked") == "all"
    return whole or bool(row.value("seen") or row.value("second"))


def _absent(row: RowReadings) -> bool:
    return bool(row.value("seen") == ABSENT and not row.value("second"))


def _sights(row: RowReadings) -> list[Sight]:
    """What was seen at a row, each thing once."""
    states = dict.fromkeys(str(row.value(key)) for key in ("seen", "second") if row.value(key))
    return [
        Sight(row.grid, row.code, state, pattern)
        for state in states
        if (pattern := pattern_of(row.code, state))
    ]


def _is_hidden(readings: Readings) -> bool:
    return readings.given("hidden") not in (None, "nothing")


# --- words, table, drawing --------------------------------------------------------------------


def _seen_as(pattern: str, sights: Sequence[Sight]) -> str:
    """ "battery: loose or off; battery: corroded, burnt"."""
    return "; ".join(sight.words for sight in sights if sight.pattern == pattern)


def _places_of(pattern: str, sights: Sequence[Sight]) -> str:
    """ "under the bonnet and inside"."""
    return " and ".join(TRACES[sight.state] for sight in sights if sight.pattern == pattern)


def _told(id: str, pattern: str, sights: Sequence[Sight]) -> Sentence:
    what = _seen_as(pattern, sights)
    traces = pattern in _OF_TRACES.values()
    return PROCEDURE.say(
        f"{id}.{pattern}",
        what=what,
        head=at_head(what),
        place=_places_of(pattern, sights) if traces else "",
    )


def _listed(rows: Sequence[RowReadings]) -> str:
    return "; ".join(row.label for row in rows)


def _customer(
    found: Mapping[str, tuple[str, ...]],
    lead: str,
    looked: Sequence[RowReadings],
    lacking: Sequence[RowReadings],
    sights: Sequence[Sight],
    readings: Readings,
) -> list[Sentence]:
    said = [_told("customer", code, sights) for code in found] or [_told("customer", lead, sights)]
    if looked:
        said.append(PROCEDURE.say("customer.scope", rows=_listed(looked)))
    if looked and lacking:
        said.append(PROCEDURE.say("customer.lacking", rows=_listed(lacking)))
    if looked and _is_hidden(readings):
        said.append(PROCEDURE.say("customer.hidden", what=HIDDEN[str(readings.given("hidden"))]))
    return said


def _technician(
    found: Mapping[str, tuple[str, ...]],
    lead: str,
    lacking: Sequence[RowReadings],
    sights: Sequence[Sight],
    readings: Readings,
) -> list[Sentence]:
    told = [_told("next", code, sights) for code in found] or [_told("next", lead, sights)]
    if lacking:
        told.append(PROCEDURE.say("lacking", rows=_listed(lacking)))
    if _is_hidden(readings):
        told.append(PROCEDURE.say("hidden", what=HIDDEN[str(readings.given("hidden"))]))
    if found:
        told.append(PROCEDURE.say("photo"))
    return told


def _table(looked: Sequence[RowReadings]) -> Table:
    cells = []
    for row in looked:
        states = STATES[row.grid]
        seen = [states[str(row.value(key))] for key in ("seen", "second") if row.value(key)]
        said = "; ".join(dict.fromkeys(seen)) or states[NOTHING]
        cells.append((row.label, said, str(row.value("note") or "")))
    return Table("What was seen, place by place", ("place", "seen", "note"), tuple(cells))


_BONNET = ("bonnet", "under the bonnet, fluids", False)
_ZONES = (
    _BONNET,
    ("inside", "inside", False),
    ("boot", "in the boot", False),
    ("outside", "outside, beneath", True),
)


def _zone_of(sight: Sight) -> str:
    return sight.state if sight.grid == "traces" else _zone_of_row(sight.row)


def _zone_of_row(code: str) -> str:
    return "outside" if code == "underneath" else "bonnet"


def _chart(rows: Sequence[RowReadings], sights: Sequence[Sight]) -> dict[str, Any]:
    """The car from above with what was seen at each part of it."""
    zones: list[dict[str, Any]] = []
    for code, label, beneath in _ZONES:
        belongs = [row for row in rows if row.grid == "traces" or _zone_of_row(row.code) == code]
        whole = all(_looked(row) for row in belongs)
        marks = [
            SHORT[sight.row] if sight.grid == "traces" else sight.words
            for sight in sights
            if _zone_of(sight) == code
        ]
        note = "nothing unusual" if whole else "not all looked at"
        zones.append({"label": label, "marks": marks, "note": note, "beneath": beneath})
    said = "; ".join(
        f"{zone['label']}: {', '.join(zone['marks']) or zone['note']}" for zone in zones
    )
    return {"kind": "plan", "title": PROCEDURE.say("chart", zones=said).text, "zones": zones}


# --- the declaration --------------------------------------------------------------------------

_FUEL = Driving(
    "do_not_drive",
    "Fuel leaks or is smelt: it can catch fire. The car is not to be started or moved by its own "
    "power before the place is found and closed.",
)
_BRAKE_LEAK = Driving(
    "do_not_drive",
    "Brake fluid leaks: the brakes can go without warning. The car is not to be driven before they "
    "are whole again.",
)
_BRAKE_OFF = Driving(
    "only_as_stated",
    "Not before the brakes have been looked at for wear and leaks; not at all with a soft or low "
    "pedal or a brake lamp.",
)
_OIL_HIGH = Driving(
    "do_not_drive",
    "The oil stands above its mark. The engine is not to be started before it is known what raised "
    "it.",
)
_COOLANT = Driving(
    "only_as_stated",
    "Short distances, watching the temperature. Stop the engine at once if it rises, and never "
    "open the cooling system hot.",
)
_LEAK = Driving(
    "only_as_stated",
    "Only with the level between its marks, and not far. Stop the engine at once if the oil lamp "
    "lights, or for smoke or a smell of burning.",
)
_LEVEL = Driving(
    "only_as_stated",
    "Not before the level is made up with what the maker names, the cooling system only cold. "
    "Then watch lamps and temperature.",
)
_FLUID = Driving(
    "only_as_stated",
    "Short distances only; not at all with oil that looks milky or smells of fuel.",
)
_WIRES = Driving(
    "only_as_stated",
    "Stop, switch off and get out at a smell of burning. Until the wiring is whole, do not leave "
    "it parked in a building.",
)
_CHEWED = Driving(
    "only_as_stated",
    "Not before brake lines, fuel lines and cables within reach of the animal have been looked at.",
)
_POSTS = Driving(
    "only_as_stated",
    "Not at night or in dense traffic before posts, clamps and case are in order: the supply can "
    "drop out on the way.",
)
_BELT = Driving(
    "only_as_stated",
    "Short distances. Stop at once if the charging lamp lights, the temperature rises or the "
    "steering grows heavy.",
)
_BENEATH = Driving(
    "only_as_stated",
    "Not before what hangs is tied up or taken off; then slowly, and stop for any new noise.",
)


def _extent(grid: str, label: str, help: str) -> Choice:
    return Choice(
        key=f"{grid}_looked", label=label, needed=True, chips=True, choices=EXTENT, help=help
    )


def _seen(choices: Mapping[str, str], help: str) -> tuple[Choice, Choice, Text]:
    return (
        Choice(key="seen", label="seen", chips=True, choices=choices, help=help),
        Choice(key="second", label="a second thing", finer=True, choices=choices),
        Text(key="note", label="note", longest=120, finer=True),
    )


PROCEDURE = Procedure(
    name="look_over",
    title="Look round the car",
    version=1,
    group="Whole car",
    purpose="Shows what the eye finds before anything is measured, moved or washed: leaks, loose "
    "or corroded contacts, water, chew marks, recent work, added wires.",
    proves_nothing_when="It was dark, dirty or wet, covers hid the places, or something was "
    "washed, topped up or moved before.",
    cautions=(
        Caution(
            "Fuel seen or smelt: no spark.",
            "No ignition, switch, charger or corded lamp. Push it into the open, keep people away, "
            "extinguisher at hand, catch what drips.",
            "OSHA 29 CFR 1910.106; common practice",
            from_memory=True,
        ),
        Caution(
            "Engine off, key out of reach; keep clear of belts and fans.",
            "Electric fans start by themselves, with the engine off too.",
            "OSHA 29 CFR 1910.212, 1910.219",
            from_memory=True,
        ),
        Caution(
            "Hot engine.",
            "Look, do not lean: manifold and hoses burn. Never open the cooling system hot.",
            "HSE HSG261; common practice",
            from_memory=True,
        ),
        Caution(
            "Nothing is touched before its photo.",
            "A connector that is moved may be the repair, and a trace that is wiped is gone.",
            "common practice",
        ),
        Caution(
            "Air bags and belt tensioners.",
            "Their plugs and cables, mostly yellow, are looked at only; no meter, no pulling.",
            "maker's instructions; common practice",
        ),
        Caution(
            "Orange cables: stop there.",
            "High voltage. Wet, chewed or chafed: nobody touches the car, who is trained for it "
            "takes over.",
            "UN R100; maker's instructions",
            when=lambda context: context.car.high_voltage,
            from_memory=True,
        ),
        Caution(
            "A hybrid may start its engine by itself.",
            "Switch it off and keep the key out of range before a hand or face goes near.",
            "maker's instructions",
            when=lambda context: context.car.high_voltage,
        ),
        Caution(
            "Swollen, cracked, leaking or frozen battery.",
            "Acid and explosive gas: eyes covered, no spark, no charging, no jump start.",
            "OSHA 29 CFR 1910.178(g), 1910.151(c); common practice",
            from_memory=True,
        ),
        Caution(
            "Nobody under a car on a jack alone.",
            "Look beneath from the side with a lamp; further in only on a lift or rated stands.",
            "OSHA 29 CFR 1910.244(a); common practice",
            from_memory=True,
        ),
        Caution(
            "Coolant and other fluids: no tasting, no nose to it.",
            "Coolant is poisonous to people and animals, and sweet. Gloves, white paper, catch it.",
            "NIOSH, ATSDR",
            from_memory=True,
        ),
        Caution(
            "Nests and droppings carry disease.",
            "Gloves and mask, dampen, do not brush or blow.",
            "common practice",
        ),
        Caution(
            "A smell of fuel, a fresh puddle or a soft brake pedal.",
            "Do not start the car and do not bring it in by its own power: call us, it can be "
            "fetched.",
            "common practice",
            "customer",
        ),
        MAKER_FIRST,
    ),
    preconditions=(
        Precondition(
            "before_washing",
            "Before washing, wiping and topping up.",
            "washed",
        ),
        Precondition(
            "untouched",
            "Nothing was unplugged or moved before.",
            "moved",
        ),
    ),
    effort=Effort(
        minutes=2,
        tools=("lamp", "phone camera", "white paper"),
        state="any",
    ),
    given=(
        _extent(
            "parts",
            "Under the bonnet and underneath",
            "Battery, grounds, belt, hoses, connectors, wiring, what hangs. Mark below only what "
            "is unusual, with its photo.",
        ),
        _extent(
            "fluids",
            "Fluids",
            "Oil, coolant, brake fluid, fuel, others: level, look, drips, and the floor.",
        ),
        _extent(
            "traces",
            "Traces, inside too",
            "Water, chew marks, recent work, added wires, a part unlike its place.",
        ),
        Choice(
            key="hidden",
            label="Hidden in part by",
            choices=HIDDEN,
            chips=True,
        ),
    ),
    grids=(
        Grid(
            "parts",
            "Under the bonnet and underneath",
            Fixed(
                (
                    Row("posts", "battery and its clamps"),
                    Row("grounds", "grounds and straps"),
                    Row("belt", "belt"),
                    Row("hoses", "hoses and clamps"),
                    Row("wiring", "connectors and wiring"),
                    Row("underneath", "underneath"),
                )
            ),
            _seen(PARTS, "One tap, and a photo of what is unusual before a hand goes near."),
            photos=True,
        ),
        Grid(
            "fluids",
            "Fluids: level, look, drips",
            Fixed(
                (
                    Row("oil", "engine oil"),
                    Row("coolant", "coolant"),
                    Row("brake", "brake fluid"),
                    Row("fuel", "fuel or its smell"),
                    Row("other", "other fluid"),
                )
            ),
            _seen(FLUIDS, "What shows from outside, nothing opened hot. Look on the floor too."),
            photos=True,
        ),
        Grid(
            "traces",
            "Traces, and where",
            Fixed(
                (
                    Row("water", "water or damp"),
                    Row("chewed", "chew marks or nest"),
                    Row("work", "recent work"),
                    Row("accessories", "added wires or devices"),
                    Row("wrong_part", "part unlike its place"),
                )
            ),
            _seen(
                TRACES,
                "Recent work: tool marks, new parts, sealant, screws or clips missing. Added: "
                "wires at the battery, tow bar, tracker, alarm, camera.",
            ),
            photos=True,
        ),
    ),
    patterns=(
        Pattern("fuel_leak", "fuel leaks or is smelt", direct=True, driving=_FUEL),
        Pattern("brake_fluid_leak", "brake fluid leaks", direct=True, driving=_BRAKE_LEAK),
        Pattern(
            "brake_fluid_off",
            "brake fluid not at its marks, or looks unusual",
            direct=True,
            driving=_BRAKE_OFF,
        ),
        Pattern("oil_high", "engine oil above its mark", direct=True, driving=_OIL_HIGH),
        Pattern("coolant_leak", "coolant leaks", direct=True, driving=_COOLANT),
        Pattern("water_inside", "water or damp where it does not belong", direct=True),
        Pattern("chewed", "chew marks, a nest or droppings", direct=True, driving=_CHEWED),
        Pattern("recent_work", "traces of recent work", direct=True),
        Pattern("wrong_part", "a part unlike what belongs there", direct=True),
        Pattern("poor_ground", "a ground or strap loose, corroded or worn", direct=True),
        Pattern(
            "posts",
            "battery posts, clamps or case loose, corroded or damaged",
            direct=True,
            driving=_POSTS,
        ),
        Pattern(
            "wiring",
            "a connector or wires loose, corroded or chafed",
            direct=True,
            driving=_WIRES,
        ),
        Pattern("belt", "belt loose, off or worn", direct=True, driving=_BELT),
        Pattern("hose", "a hose or its clamp loose or worn", direct=True, driving=_COOLANT),
        Pattern("leak", "oil or another fluid leaks", direct=True, driving=_LEAK),
        Pattern("level_low", "a fluid is low", direct=True, driving=_LEVEL),
        Pattern(
            "fluid_unusual",
            "a fluid looks unusual or stands too high",
            direct=True,
            driving=_FLUID,
        ),
        Pattern(
            "underneath",
            "something underneath hangs, was struck or is worn",
            direct=True,
            driving=_BENEATH,
        ),
        Pattern("accessories", "added wires or devices", direct=True),
        Pattern("nothing_seen", "nothing unusual was seen", sound=True),
        UNDECIDED,
    ),
    confounders=(
        Confounder(
            "washed",
            "It may have been washed, wiped or topped up before the look: leaks and traces then "
            "do not show.",
            0.4,
            only_sound=True,
        ),
        Confounder(
            "moved",
            "Something may have been unplugged or moved before the look.",
            0.7,
        ),
        Confounder(
            "hidden",
            "Dirt, wet, darkness or covers hid part of it.",
            0.5,
            only_sound=True,
        ),
    ),
    comparable={"hidden": (0.0, 0.0)},
    example={
        "ready.before_washing": "yes",
        "ready.untouched": "yes",
        "given.parts_looked": "all",
        "given.fluids_looked": "all",
        "given.traces_looked": "all",
        "given.hidden": "nothing",
        "parts.posts.seen": "corroded",
        "traces.work.seen": "bonnet",
        "traces.work.note": "two clips missing at the intake",
    },
    assess=assess,
    sentences={
        # customer
        "customer.fuel_leak": "Fuel leaks or is smelt. It can catch fire, so the car is not to be "
        "started.",
        "customer.brake_fluid_leak": "Brake fluid leaks. The brakes can go without warning, so the "
        "car is not to be driven.",
        "customer.brake_fluid_off": "The brake fluid is not as it should be ({what}). The brakes "
        "have to be looked at for wear and leaks.",
        "customer.oil_high": "The engine oil stands above its mark. The engine should not be "
        "started until it is known why.",
        "customer.coolant_leak": "Coolant leaks.",
        "customer.water_inside": "There is water or damp, or the trace of it: {place}. It can "
        "reach plugs and control units, so it bears on the search.",
        "customer.chewed": "There are chew marks, a nest or droppings: {place}. Cables and lines "
        "there have to be looked at.",
        "customer.recent_work": "There are traces of recent work: {place}. So the search looks at "
        "those parts too.",
        "customer.wrong_part": "A part looks unlike what belongs there: {place}. Its number has to "
        "tell.",
        "customer.poor_ground": "A ground cable of the body or engine is not in order ({what}).",
        "customer.posts": "The battery's connections or its case are not in order ({what}).",
        "customer.wiring": "A plug or wires are not in order ({what}).",
        "customer.belt": "A drive belt is not in order ({what}).",
        "customer.hose": "A hose or its clamp is not in order ({what}).",
        "customer.leak": "A fluid leaks: {what}.",
        "customer.level_low": "A fluid is low: {what}.",
        "customer.fluid_unusual": "A fluid looks unusual or stands too high: {what}.",
        "customer.underneath": "Something beneath the car is not in order ({what}).",
        "customer.accessories": "Wires or devices have been added: {place}. They are looked at "
        "with the rest.",
        "customer.nothing_seen": "We looked the car over before any measurement and saw nothing "
        "unusual. Brakes, tyres and steering were not part of this.",
        "customer.undecided": "The look round the car is not far enough on record to say anything.",
        "customer.scope": "Looked at with the eye only, nothing taken apart: {rows}.",
        "customer.lacking": "Not looked at: {rows}.",
        "customer.hidden": "Part of it could not be seen for {what}.",
        # technician: what it means for what comes next
        "next.fuel_leak": "{head}. Nothing is switched on, no test before it is closed; then find "
        "the place, photo, tow rather than drive.",
        "next.brake_fluid_leak": "{head}. The car is not moved by its own power; wheels, hoses, "
        "pipes, cylinders, pedal. Fluid on linings: these too.",
        "next.brake_fluid_off": "{head}. Pads and shoes first, since wear lowers it; then "
        "leaks; then its boiling point. Topping up hides both.",
        "next.oil_high": "{head}. Do not start: fuel, coolant or too much poured in; a diesel can "
        "run away on it. Oil level and condition next.",
        "next.coolant_leak": "{head}. Before washing: photo, follow it up to its highest wet "
        "place; then pressure hold.",
        "next.water_inside": "Water {place}: find the highest wet place; control units, plugs and "
        "grounds there before any swap. Faults that come and go, and draw at rest, fit it.",
        "next.chewed": "Chew marks or nest {place}: follow each cable and hose there by hand after "
        "the photo, brake and fuel lines first. Rarity is no reason to rank it low.",
        "next.recent_work": "Recent work {place}: ask what was done and when, and whether the "
        "complaint is older. Whatever was touched goes up the list. Note the state of the parts, "
        "not who did it.",
        "next.wrong_part": "Part unlike its place {place}: read its number against the maker's "
        "data before judging by readings taken with it.",
        "next.poor_ground": "{head}. Voltage drop on that ground under load before anything it "
        "feeds is judged; readings taken over it mislead. Photo, then clean and test again.",
        "next.posts": "{head}. Battery readings at the post itself, not at the clamp. Codes read "
        "before the clamp is taken off. Cracked or swollen: no charging.",
        "next.wiring": "{head}. Photo first, then try the complaint before anything is pushed "
        "home or moved: a connector that was moved may be the repair.",
        "next.belt": "{head}. Look at tensioner, pulleys and what wetted it; charging and cooling "
        "readings wait for a belt that pulls.",
        "next.hose": "{head}. Pressure hold for coolant, vacuum or charge pressure for air. Not "
        "squeezed hot.",
        "next.leak": "{head}. Follow it up to its highest wet place before washing; note how "
        "much falls in how long.",
        "next.level_low": "{head}. Note the level before topping up, then look where it goes.",
        "next.fluid_unusual": "{head}. A sample in a clear jar, photo; oil level and condition, "
        "combustion gas or the fluid's own test next. Wrong fluid: not run.",
        "next.underneath": "{head}. On lift or stands: exhaust, shields, lines, supports.",
        "next.accessories": "Added wires or devices {place}: where they take supply, fuse and "
        "ground. For draw at rest and for warning lamps they come first; unplug only with the "
        "customer's yes.",
        "next.nothing_seen": "Nothing unusual to the eye. It says little of what is inside, and "
        "nothing of what comes only hot, wet or moving.",
        "next.undecided": "One tap for each list that was looked at; below it what is unusual.",
        "lacking": "Not looked at yet: {rows}.",
        "hidden": "Hidden in part by {what}: say so on the ticket, look again when it is away.",
        "photo": "A photo of each thing before it is touched, washed or topped up.",
        # drawing
        "chart": "The car from above. {zones}.",
    },
)
