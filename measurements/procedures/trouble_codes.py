"""Trouble codes: what the control units stored, read before anything disturbs it.

Codes are taken apart by their structure alone (`core.trouble_code`, after SAE J2012 / ISO 15031-6);
none is given a meaning. That codes of several control units point first at what they share, and
what "lately" means, are common practice.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from measurements.core import trouble_code
from measurements.core.assessment import Also, Assessment, Sentence, Table
from measurements.core.context import Context
from measurements.core.judging import conclude, judge
from measurements.core.procedure import (
    MAKER_FIRST,
    UNDECIDED,
    Caution,
    Choice,
    Confounder,
    Date,
    Effort,
    Fixed,
    Flag,
    Free,
    Grid,
    Pattern,
    Precondition,
    Procedure,
    Quantity,
    Row,
    Text,
)
from measurements.core.readings import Readings, RowReadings
from measurements.core.trouble_code import NotACodeError, TroubleCode
from measurements.core.units import show_value

LATELY_KM = 100.0
"""Codes erased less than this ago had little time to come back (common practice)."""

MOST_NAMED = 6
"""So many codes are named in a sentence; the table has all."""

STATUS = {
    "stored": "stored",
    "pending": "pending, seen but not yet confirmed",
    "permanent": "permanent",
    "unknown": "not told by the tool",
}


@dataclass(frozen=True)
class Entry:
    """A row of the list. module: its control unit, folded for comparing; code: None if what was
    typed has not the form of a code."""

    row: str
    module: str
    named: str
    typed: str
    code: TroubleCode | None
    status: str


def _entries(readings: Readings) -> list[Entry]:
    """All rows with a code, but those that only say that nothing is stored."""
    found = []
    for row in readings.rows("codes"):
        typed = row.value("code")
        if not typed:
            continue
        try:
            code = trouble_code.read(str(typed))
        except NotACodeError:
            code = None
        if code is not None and code.means_nothing_stored:
            continue
        named = " ".join(str(row.value("module") or "").split())
        status = str(row.value("status") or "unknown")
        found.append(Entry(row.code, named.casefold(), named, str(typed), code, status))
    return found


def structure(entries: Sequence[Entry]) -> str:
    """The pattern of a list of codes, by which control units hold codes of which family.

    A family is a letter, and for P codes a group where the standard has one. Rows without a
    control unit never count as one more.
    """
    modules = {entry.module for entry in entries if entry.module}
    missing_others = {
        entry.module
        for entry in entries
        if entry.module and entry.code and entry.code.letter == "U"
    }
    if len(missing_others) >= 2:
        return "several_communication"
    distinct = {entry.code.number if entry.code else entry.typed for entry in entries}
    families = {entry.code.family if entry.code else "" for entry in entries}
    one_readable = len(distinct) == 1 and all(entry.code for entry in entries)
    if one_readable or (len(families) == 1 and "" not in families):
        return "one_system"
    if len(modules) >= 2:
        return "several_modules"
    if len(modules) == 1 and all(entry.module for entry in entries):
        return "one_module"
    return "undecided"


def assess(readings: Readings, context: Context) -> Assessment:
    """What was read, by structure; an empty list counts only when it had time to fill."""
    entries = _entries(readings)
    found = readings.given("found")
    unproved = _erased_lately(readings) or readings.given("readiness") == "not_complete"
    also: tuple[Also, ...] = ()
    where: tuple[str, ...] = ()
    if entries:
        pattern = structure(entries)
        where = tuple(
            entry.row
            for entry in entries
            if pattern != "several_communication" or (entry.code and entry.code.letter == "U")
        )
        also = (Also("just_cleared"),) if unproved and pattern != "undecided" else ()
    elif found == "no_answer":
        pattern = "no_answer"
    elif found == "none" and unproved:
        pattern = "just_cleared"
    elif found == "none" and readings.given("readiness") == "complete":
        pattern = "none"
    else:
        pattern = "undecided"
    return conclude(
        PROCEDURE,
        readings,
        context,
        pattern=pattern,
        where=where,
        also=also,
        verdicts=judge(PROCEDURE, readings, context),
        confounders=_confounders(readings, entries),
        tables=_tables(readings, entries),
        customer=_customer(pattern, readings, entries, unproved),
        technician=_technician(pattern, readings, entries, unproved, context),
        chart=_chart(entries),
    )


def _was_erased(readings: Readings) -> bool:
    return readings.given("erased_before") in ("shop", "others")


def _erased_lately(readings: Readings) -> bool:
    """Erased, and neither readiness nor the distance shows that there was time to come back."""
    km = readings.given("erased_km")
    driven = km is not None and km >= LATELY_KM
    return _was_erased(readings) and readings.given("readiness") != "complete" and not driven


def _confounders(readings: Readings, entries: Sequence[Entry]) -> list[str]:
    weak = []
    km = readings.given("erased_km")
    if _was_erased(readings) and (km is None or km < LATELY_KM):
        weak.append("erased_lately")
    if readings.given("readiness") in (None, "not_read"):
        weak.append("readiness_unknown")
    if readings.given("all_modules") is not True:
        weak.append("not_all_modules")
    if readings.given("silent"):
        weak.append("modules_silent")
    if entries and all(entry.status == "pending" for entry in entries):
        weak.append("only_pending")
    if any(entry.code is None for entry in entries):
        weak.append("not_understood")
    if any(entry.code and entry.code.is_system_voltage for entry in entries):
        weak.append("system_voltage")
    if entries and readings.given("found") in ("none", "no_answer"):
        weak.append("contradicts")
    return weak


# --- tables and chart -------------------------------------------------------------------------

_YES_NO = {True: "yes", False: "no", None: "not noted"}


def _decoded(entry: Entry, row: RowReadings) -> tuple[str, ...]:
    """A code taken apart; what structure doesn't tell stays a dash."""
    code = entry.code
    if code is None:
        parts = ("not in the standard's form", "–", "–", "–", "–")
    else:
        failure = "–" if code.failure_type is None else f"{code.failure_type:02X}"
        parts = (
            code.system,
            trouble_code.OWNERS[code.owner],
            code.group or "–",
            failure,
            code.raw.hex(" ").upper(),
        )
    erased = _YES_NO[row.value("erased")]
    if row.value("returned") is True:
        erased += ", came back"
    status = STATUS.get(entry.status, entry.status).split(",", 1)[0]
    return (entry.named or "not named", entry.typed, status, *parts, erased)


def _tables(readings: Readings, entries: Sequence[Entry]) -> tuple[Table, ...]:
    tables = []
    if entries:
        rows = {row.code: row for row in readings.rows("codes")}
        tables.append(
            Table(
                "Codes by their structure",
                (
                    "control unit",
                    "code",
                    "status",
                    "system",
                    "meaning set by",
                    "group",
                    "failure type",
                    "bytes",
                    "erased afterwards",
                ),
                tuple(_decoded(entry, rows[entry.row]) for entry in entries),
            )
        )
    frame = tuple(
        (row.label, str(row.value("value")), str(row.value("unit") or "not noted"))
        for row in _frame_rows(readings)
    )
    if frame:
        tables.append(Table("Freeze frame as read", ("item", "value", "unit"), frame))
    return tuple(tables)


def _frame_rows(readings: Readings) -> list[RowReadings]:
    rows = (*readings.rows("frame"), *readings.rows("more"))
    return [row for row in rows if row.value("value")]


def _chart(entries: Sequence[Entry]) -> dict[str, Any]:
    """Codes by control unit; stored and permanent ones solid."""
    if not entries:
        return {}
    names: dict[str, str] = {}
    marks: dict[str, list[dict[str, Any]]] = {}
    for entry in entries:
        names.setdefault(entry.module, entry.named or "not named")
        marks.setdefault(entry.module, []).append(
            {
                "label": entry.code.text if entry.code else entry.typed,
                "firm": entry.status in ("stored", "permanent"),
            }
        )
    said = "; ".join(
        f"{names[module]}: {', '.join(mark['label'] for mark in found)}"
        for module, found in marks.items()
    )
    return {
        "kind": "tally",
        "title": PROCEDURE.say("chart", codes=said).text,
        "firm": "stored",
        "loose": "pending, or not told",
        "rows": [{"label": names[module], "marks": found} for module, found in marks.items()],
    }


# --- words ------------------------------------------------------------------------------------

_FOR_CUSTOMERS: Mapping[str, str] = {
    "P": "the engine and gearbox",
    "C": "the chassis: brakes, steering, suspension",
    "B": "the body and its equipment",
    "U": "how the control units talk to each other",
}


def _listed(items: Sequence[str]) -> str:
    """Some items in words, and how many more there are."""
    distinct = list(dict.fromkeys(items))
    named, more = distinct[:MOST_NAMED], len(distinct) - MOST_NAMED
    return ", ".join(named) + (f" and {more} more" if more > 0 else "")


def _codes(entries: Sequence[Entry]) -> str:
    return _listed([entry.code.text if entry.code else entry.typed for entry in entries])


def _modules(entries: Sequence[Entry]) -> str:
    """The control units by their names, each as it was first written."""
    names: dict[str, str] = {}
    for entry in entries:
        names.setdefault(entry.module, entry.named)
    return _listed([name for name in names.values() if name]) or "control unit not named"


def _customer(
    pattern: str, readings: Readings, entries: Sequence[Entry], unproved: bool
) -> list[Sentence]:
    say = PROCEDURE.say
    if not entries:
        empty = pattern == "undecided" and readings.given("found") == "none"
        said = [say("customer.empty" if empty else f"customer.{pattern}")]
        if pattern in ("none", "just_cleared") and readings.given("all_modules") is not True:
            said.append(say("customer.not_all"))
    else:
        letters = [entry.code.letter for entry in entries if entry.code]
        said = [say("customer.codes", codes=_codes(entries), modules=_modules(entries))]
        if letters:
            areas = [_FOR_CUSTOMERS[letter] for letter in dict.fromkeys(letters)]
            said.append(say("customer.areas", areas="; ".join(areas)))
        if pattern == "several_communication":
            said.append(say("customer.communication"))
        said.append(say("customer.no_part"))
        if unproved:
            said.append(say("customer.list_short"))
        if any(row.value("returned") is True for row in readings.rows("codes")):
            said.append(say("customer.returned"))
    if readings.given("lamp") is True:
        said.append(say("customer.lamp"))
    if any(row.value("erased") is True for row in readings.rows("codes")):
        said.append(say("customer.erased"))
    return said


def _technician(
    pattern: str,
    readings: Readings,
    entries: Sequence[Entry],
    unproved: bool,
    context: Context,
) -> list[Sentence]:
    say = PROCEDURE.say
    if entries:
        family = next((entry.code.family for entry in entries if entry.code), "")
        told = [
            say(f"seen.{pattern}", modules=_modules(entries), family=family or "one code alone")
        ]
        told += _about_codes(entries)
    else:
        empty = "empty" if readings.given("found") == "none" else "nothing"
        told = [say(f"seen.{empty if pattern == 'undecided' else pattern}")]
    if unproved and entries:
        told.append(say("list_short"))
    told += _about_reading(readings, entries, context)
    told += _about_erasing(readings)
    bare = [row.label for row in _frame_rows(readings) if not row.value("unit")]
    if bare:
        told.append(say("frame_units", items=_listed(bare)))
    return told


def _about_codes(entries: Sequence[Entry]) -> list[Sentence]:
    """What status, range and spelling say."""
    say = PROCEDURE.say
    told = []
    for entry in entries:
        if entry.code is not None:
            continue
        meant = trouble_code.suggestion(entry.typed)
        key = "not_standard_meant" if meant else "not_standard"
        told.append(say(key, typed=entry.typed, **({"meant": meant} if meant else {})))
    by_owner: dict[str, list[Entry]] = {}
    for entry in entries:
        if entry.code is not None:
            by_owner.setdefault(entry.code.owner, []).append(entry)
    for owner in ("maker", "shared", "reserved"):
        if owner in by_owner:
            told.append(say(f"owner.{owner}", codes=_codes(by_owner[owner])))
    for status in ("pending", "permanent"):
        some = [entry for entry in entries if entry.status == status]
        if some:
            told.append(say(f"status.{status}", codes=_codes(some)))
    voltage = [entry for entry in entries if entry.code and entry.code.is_system_voltage]
    if voltage:
        told.append(say("system_voltage", codes=_codes(voltage)))
    told.append(say("no_part"))
    return told


def _about_reading(
    readings: Readings, entries: Sequence[Entry], context: Context
) -> list[Sentence]:
    say = PROCEDURE.say
    told = []
    if readings.given("all_modules") is not True:
        told.append(say("not_all"))
    if readings.given("silent"):
        told.append(say("silent", modules=" ".join(str(readings.given("silent")).split())))
    if readings.given("readiness") in (None, "not_read"):
        told.append(say("readiness_not_read"))
    km = readings.given("erased_km")
    if _was_erased(readings) and km is not None:
        told.append(say("driven_since", km=show_value(km, "distance", context.units)))
    if entries and readings.given("found") in ("none", "no_answer"):
        told.append(say("contradicts"))
    return told


def _about_erasing(readings: Readings) -> list[Sentence]:
    say = PROCEDURE.say
    rows = readings.rows("codes")
    told = []
    if any(row.value("erased") is True for row in rows):
        if readings.given("consent") is not True:
            told.append(say("erased_without_consent"))
        if readings.given("frames_saved") is not True:
            told.append(say("erased_without_frames"))
        told.append(say("erased_readiness"))
    back = [str(row.value("code")) for row in rows if row.value("returned") is True]
    if back:
        told.append(say("returned", codes=_listed(back)))
    return told


# --- the declaration --------------------------------------------------------------------------

_FRAME = (
    Row("engine_speed", "engine speed", optional=True),
    Row("coolant", "coolant temperature", optional=True),
    Row("load", "load", optional=True),
    Row("speed", "vehicle speed", optional=True),
    Row("voltage", "voltage", optional=True),
)

_VALUE = (
    Text(key="value", label="value", longest=40, origin="photo", help="As the tool shows it."),
    Text(key="unit", label="unit", longest=12, origin="photo"),
)

PROCEDURE = Procedure(
    name="trouble_codes",
    title="Trouble codes",
    version=1,
    group="Control units",
    purpose="Keeps what the control units stored, before it is lost, and shows by the structure of "
    "the codes whether one system, one control unit or several are concerned.",
    proves_nothing_when="The codes were erased or the battery was off a short while ago, the car's "
    "own checks have not all run, or not every control unit was asked.",
    cautions=(
        Caution(
            "Read all control units first, before the battery comes off, a jump, a charge or "
            "erasing.",
            "Codes and freeze frames are lost for good, or false ones are added. Photograph the "
            "screen with the plate or the ticket tag.",
            "common practice",
        ),
        Caution(
            "Erase only with the customer's yes, and after the freeze frames are saved.",
            "Erasing also resets readiness and what some control units have learned: shifting, "
            "idling, emission tests. It mends nothing.",
            "common practice",
        ),
        Caution(
            "Never put out a lamp for an inspection.",
            "A lamp that is erased instead of mended hides a fault from the driver and the "
            "inspector.",
            "common practice; local rules",
        ),
        Caution(
            "Reading while driving needs a second person.",
            "The driver's eyes and hands stay on the road; the tool lies where it blocks neither "
            "pedals nor air bag.",
            "common practice; local rules",
        ),
        Caution(
            "Only read here: no actuator test, no coding.",
            "Actuators move flaps, pumps, brakes and windows with hands in the way. A coding that "
            "stops half way leaves the car standing.",
            "maker's instructions",
        ),
        Caution(
            "Ignition on drains the battery.",
            "Low voltage stores codes by itself. Hold it up with a supply made for that; never "
            "charge a frozen battery, and mind the hydrogen.",
            "OSHA 29 CFR 1910.178(g)",
            from_memory=True,
        ),
        Caution(
            "Engine running: lead the exhaust outdoors, keep clear of belts and fans.",
            "Carbon monoxide has no smell; electric fans start by themselves.",
            "occupational limits for carbon monoxide; OSHA 29 CFR 1910.212, 1910.219",
            from_memory=True,
        ),
        Caution(
            "Air-bag or belt codes: no meter, no test lamp on those lines.",
            "A tensioner or bag can fire. Only the maker's way, power off, waiting time kept.",
            "maker's instructions",
        ),
        Caution(
            "A hybrid may start its engine by itself.",
            "Ready lamp off while hands are under the bonnet; orange cables are not touched.",
            "maker's instructions",
            when=lambda context: context.car.high_voltage,
        ),
        Caution(
            "Codes are read only; they are erased only if you agree.",
            "Erasing also resets what the car has learned and its own checks, which an emission "
            "test asks for.",
            "common practice",
            "customer",
        ),
        MAKER_FIRST,
    ),
    preconditions=(
        Precondition(
            "first",
            "Nothing was disconnected, jumped, charged or erased here before this reading.",
            "read_late",
        ),
        Precondition(
            "supply",
            "Voltage held up: engine running, or a supply on the battery.",
            "weak_supply",
        ),
        Precondition("lamps", "Lamps photographed with the key on, before the tool went in.", ""),
        Precondition("second_person", "Standing still, or a second person reads.", ""),
    ),
    effort=Effort(
        minutes=8,
        tools=("code reader for all control units", "battery supply", "camera"),
        state="any",
        risk="Erasing cannot be undone.",
    ),
    given=(
        Text(
            key="read_with",
            label="Read with",
            needed=True,
            longest=80,
            help="The kind of tool in your own words.",
        ),
        Choice(
            key="found",
            label="The control units said",
            needed=True,
            choices={
                "codes": "codes, listed below",
                "none": "no codes in those that answered",
                "no_answer": "nothing: none answered",
            },
        ),
        Flag(key="all_modules", label="All control units of the car were asked", needed=True),
        Text(key="silent", label="Control units that did not answer", longest=120),
        Choice(
            key="readiness",
            label="Readiness, the car's own checks",
            needed=True,
            choices={
                "complete": "complete",
                "not_complete": "not complete",
                "not_read": "not read",
            },
        ),
        Flag(key="lamp", label="Fault lamp on with the engine running"),
        Choice(
            key="erased_before",
            label="Erased before this reading",
            origin="told",
            choices={
                "not_known_of": "not that anybody knows",
                "shop": "yes, by this shop",
                "others": "yes, by others, or the battery was off",
            },
        ),
        Date(key="erased_on", label="Erased on", origin="told", finer=True),
        Quantity(
            key="erased_km",
            label="Driven since",
            quantity="distance",
            possible=(0.0, 1_000_000.0),
            likely=(0.0, 20_000.0),
            origin="told",
        ),
        Flag(key="frames_saved", label="Freeze frames photographed or saved"),
        Text(
            key="frame_code",
            label="Freeze frame belongs to code",
            longest=20,
            question=trouble_code.question,
        ),
        Flag(key="consent", label="The customer agreed to erasing", origin="told", finer=True),
    ),
    grids=(
        Grid(
            "codes",
            "Codes",
            Free(named="code", own=("code",), called="code", opens=3, most=60),
            (
                Text(
                    key="code",
                    label="code",
                    needed=True,
                    longest=20,
                    question=trouble_code.question,
                    help="As the tool shows it: P0562, U0100-00. A maker's own number may stand.",
                ),
                Text(
                    key="module",
                    label="control unit",
                    needed=True,
                    longest=60,
                    help="As you call it; the same name for the same one.",
                ),
                Choice(key="status", label="status", needed=True, choices=STATUS),
                Flag(key="erased", label="erased afterwards", finer=True),
                Flag(key="returned", label="came back after erasing", finer=True),
            ),
            help="One line for each code and control unit.",
        ),
        Grid(
            "frame",
            "Freeze frame",
            Fixed(_FRAME),
            _VALUE,
            help="What the car was doing when the code was stored.",
        ),
        Grid(
            "more",
            "Freeze frame, further items",
            Free(called="item", opens=1, most=40),
            (Text(key="name", label="item", longest=60, needed=True), *_VALUE),
        ),
    ),
    patterns=(
        Pattern("several_communication", "several control units hold communication codes"),
        Pattern("several_modules", "several control units, not of one system as far as known"),
        Pattern("one_module", "one control unit, not of one system as far as known"),
        Pattern("one_system", "all codes belong to one system"),
        Pattern("no_answer", "no control unit answered"),
        Pattern("just_cleared", "erased lately, or the car's own checks not complete"),
        Pattern("none", "no codes, the car's own checks complete", sound=True),
        UNDECIDED,
    ),
    confounders=(
        Confounder(
            "read_late",
            "The battery was off, jumped or charged, or codes were erased, before they were read: "
            "some are lost, some may be new.",
            0.5,
        ),
        Confounder(
            "weak_supply",
            "The voltage was not held up while reading: a weak battery stores codes by itself.",
            0.7,
        ),
        Confounder(
            "erased_lately",
            "Codes were erased a short distance ago, or nobody knows how far.",
            0.3,
            only_sound=True,
        ),
        Confounder(
            "readiness_unknown",
            "It was not read whether the car's own checks have run.",
            0.3,
            only_sound=True,
        ),
        Confounder("not_all_modules", "Not all control units were asked.", 0.4, only_sound=True),
        Confounder("modules_silent", "Some control units did not answer.", 0.5, only_sound=True),
        Confounder("only_pending", "All codes are pending: seen, not yet confirmed.", 0.6),
        Confounder(
            "not_understood", "A code is not in the standard's form, so its system is unknown.", 0.8
        ),
        Confounder(
            "system_voltage",
            "A code of the system voltage stands among them: other codes may only follow from it.",
            0.6,
        ),
        Confounder(
            "contradicts", "Codes are listed although none is said to have been found.", 0.3
        ),
    ),
    spoils=("battery_at_rest", "parasitic_draw"),
    leaves_apart=("tool plugged into the data connector",),
    example={
        "ready.first": "yes",
        "ready.supply": "yes",
        "ready.lamps": "yes",
        "ready.second_person": "yes",
        "given.read_with": "laptop with the maker's protocol",
        "given.all_modules": "yes",
        "given.found": "codes",
        "given.readiness": "complete",
        "given.lamp": "yes",
        "given.frames_saved": "yes",
        "codes.r1.code": "P0303",
        "codes.r1.module": "engine",
        "codes.r1.status": "stored",
    },
    evidence_group="stored_codes",
    battery_matters=True,
    assess=assess,
    sentences={
        # customer
        "customer.none": "No fault codes were stored in the control units that were asked, and the "
        "car's own checks had all run.",
        "customer.just_cleared": "No fault codes were stored. But they were erased a short while "
        "ago, or the car's own checks have not all run since. So this shows nothing yet; it has to "
        "be read again after some driving.",
        "customer.no_answer": "No control unit answered the reading tool. Why is not shown by this "
        "alone.",
        "customer.empty": "No fault codes were stored. Whether the car's own checks had all run "
        "was not read, so this says little.",
        "customer.undecided": "What the control units stored is not known yet.",
        "customer.codes": "The car stored these fault codes: {codes} (in: {modules}).",
        "customer.areas": "They concern {areas}.",
        "customer.communication": "Several control units report that they missed messages from "
        "others.",
        "customer.no_part": "A code names a circuit or a condition that a control unit noticed. It "
        "does not name a part: that takes a test.",
        "customer.list_short": "Codes were erased a short while ago, or the car's own checks have "
        "not all run, so the list may not be whole.",
        "customer.returned": "Some codes came back after they had been erased.",
        "customer.not_all": "Not every control unit of the car was asked.",
        "customer.lamp": "The fault lamp was on with the engine running.",
        "customer.erased": "Codes were erased after they had been noted. That does not mend "
        "anything; the car has to run its own checks anew.",
        # technician: what the structure shows, and where to start
        "seen.several_communication": "Communication codes in several control units ({modules}). "
        "Look for the one that the others miss: its supply and ground, then the bus lines; before "
        "that battery, charging and shared grounds.",
        "seen.several_modules": "Not one system, several control units ({modules}). Start at "
        "what they share: battery, charging, grounds, supply after the ignition switch.",
        "seen.one_module": "Not one system, but one control unit ({modules}). Look at its supply, "
        "ground and connectors before any single sensor.",
        "seen.one_system": "All in one system: {family} ({modules}). Start with the circuit or "
        "condition that the codes have in common.",
        "seen.undecided": "Name the control unit of each code, then it can be told whether one or "
        "several are concerned.",
        "seen.no_answer": "No answer at all. Supply and ground of the data connector, ignition "
        "really on, the tool on another car; then the bus lines.",
        "seen.just_cleared": "An empty list so soon after erasing, or with readiness not complete, "
        "proves nothing. Drive until readiness is complete and read again.",
        "seen.none": "No codes with readiness complete. Readiness covers the emission checks only, "
        "and a fault that no control unit watches leaves no code.",
        "seen.empty": "An empty list is worth something only with readiness complete: read that "
        "too.",
        "seen.nothing": "Nothing to judge: list the codes, or note that there were none and "
        "whether readiness was complete.",
        "list_short": "Erased lately or readiness not complete: read again later, the list may "
        "grow. What came back at once counts all the more.",
        "not_standard_meant": "“{typed}” is not in the standard's form; {meant}? It stands as "
        "typed until you correct it.",
        "not_standard": "“{typed}” is not in the standard's form: a maker's own number, kept as "
        "it is.",
        "owner.maker": "{codes}: set by the car maker, so they mean something only with make, "
        "model and year.",
        "owner.shared": "{codes}: a range that the standard and the makers share; look up whose "
        "it is.",
        "owner.reserved": "{codes}: a range that is reserved. Read once more, or take it as the "
        "maker's.",
        "status.pending": "{codes}: pending. Seen in one drive and not confirmed; it may turn into "
        "a stored one or go away.",
        "status.permanent": "{codes}: permanent. No tool erases it; it goes when the car's own "
        "check has run without the fault (from memory).",
        "system_voltage": "{codes}: system voltage. Battery at rest, cranking and charging come "
        "first; other codes may only follow from it.",
        "no_part": "A code names a circuit or condition, not a part.",
        "not_all": "Not all control units were asked: do that before anything is disconnected.",
        "silent": "Did not answer: {modules}. Fitted in this car at all? Then supply, ground, bus.",
        "readiness_not_read": "Readiness was not read: without it an empty list says little.",
        "driven_since": "Driven since erasing: {km}.",
        "contradicts": "Codes are listed, yet noted is that there were none. The codes were taken.",
        "erased_without_consent": "Erased, but the customer's yes is not noted.",
        "erased_without_frames": "Erased, but no freeze frame is noted as saved.",
        "erased_readiness": "Erasing reset readiness: tell the customer, and read again after the "
        "car's own checks have run.",
        "returned": "Came back after erasing: {codes}. Note when and under which conditions.",
        "frame_units": "No unit noted in the freeze frame for: {items}.",
        # chart
        "chart": "Codes by control unit. {codes}.",
    },
)
