"""Spark plugs by cylinder: what each one looks like, its gap, and which one is unlike the rest."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from measurements.core.assessment import Also, Assessment, Sentence, Table, VerdictOutcome
from measurements.core.cautions import PLUG_WELLS, SWITCHED_OFF
from measurements.core.context import Context
from measurements.core.decision import verdict_words
from measurements.core.engine_layout import are_neighbours, blocks, numbers_of
from measurements.core.judging import conclude, judge
from measurements.core.procedure import (
    MAKER_FIRST,
    UNDECIDED,
    Caution,
    Choice,
    Confounder,
    Driving,
    Effort,
    Grid,
    Limit,
    OfCar,
    Pattern,
    Precondition,
    Procedure,
    Quantity,
    Source,
    Span,
    Text,
)
from measurements.core.readings import Readings, RowReadings
from measurements.core.units import show, show_value


@dataclass(frozen=True)
class Look:
    """How a plug may look: words for the form, the chart, the customer, and what to look at next.

    Common practice: several published charts agree on these; none is an authority.
    """

    label: str
    short: str
    customer: str
    next: str
    damage: bool = False


LOOKS: Mapping[str, Look] = {
    "normal": Look("light tan, grey or nearly white, dry, edges sharp", "normal", "normal", ""),
    "worn": Look(
        "clean, electrode rounded, gap wide",
        "worn",
        "worn round",
        "distance since they were fitted, growth of the gap",
    ),
    "dry_soot": Look(
        "dry black soot",
        "sooty",
        "sooty",
        "short trips first, then air filter, fuel trim, injector, spark, heat range",
    ),
    "wet_fuel": Look(
        "wet with fuel",
        "fuel-wet",
        "wet with fuel",
        "spark at this cylinder, then its injector; dry it and try again",
    ),
    "wet_oil": Look(
        "wet black oil on the tip",
        "oily",
        "oily",
        "crankcase breather, then leak-down or compression, guides, rings",
    ),
    "ash": Look(
        "crusty light ash", "ash", "covered with ash", "oil use, oil grade, additives in the fuel"
    ),
    "blistered": Look(
        "glazed or blistered white",
        "blistered",
        "overheated",
        "mixture, timing, cooling, tightening torque, heat range",
    ),
    "melted": Look(
        "electrode or insulator melted",
        "melted",
        "melted",
        "piston crown with a borescope, then mixture, timing, knock sensor, heat range",
        damage=True,
    ),
    "cracked": Look(
        "insulator tip cracked or chipped, peppered",
        "cracked",
        "cracked at the tip",
        "piece missing in the cylinder? Then fuel grade, timing, exhaust gas recirculation, knock "
        "sensor",
        damage=True,
    ),
    "washed": Look(
        "washed clean, wet without oil or fuel, rusty, or white-green crust",
        "washed",
        "washed clean or rusty",
        "coolant level, pressure hold with the plugs out, borescope. Liquid may be in the "
        "cylinder: do not crank, plugs out, turn by hand",
    ),
    "bent": Look(
        "electrode bent or struck",
        "bent",
        "struck by something",
        "plug's reach, then borescope for a foreign body or a valve mark",
        damage=True,
    ),
    "flash_over": Look(
        "black track down the outside of the insulator",
        "tracked",
        "marked by sparks on the outside",
        "coil boot or lead, moisture or oil in the well",
    ),
    "cracked_body": Look(
        "insulator cracked above the hexagon",
        "cracked",
        "cracked outside",
        "how it was fitted, a socket held askew, coil boot",
        damage=True,
    ),
}

NOT_LOOKED = "not_looked"

MAKERS_GAP = Source("maker", "gap entered for this car")


def _gap(context: Context, readings: Readings, row: RowReadings | None) -> Span | None:
    """The maker's gap, where it was entered."""
    low, high = readings.given("gap_low"), readings.given("gap_high")
    if (low is None and high is None) or (low is not None and high is not None and low > high):
        return None
    return Span(low, high, MAKERS_GAP)


@dataclass(frozen=True)
class Seen:
    """What the plugs show together: pattern, the plugs it points at, and what else."""

    pattern: str
    where: tuple[str, ...] = ()
    also: tuple[Also, ...] = ()


def compare(looks: Mapping[str, str], standing: Sequence[Sequence[int]], lacking: int) -> Seen:
    """The pattern of a set of plugs.

    looks: row code -> look, in order of number, only those that were looked at; standing: cylinders
    in block order; lacking: plugs that were not looked at.
    """
    damaged = tuple(code for code, look in looks.items() if LOOKS[look].damage)
    rest = _compare_sound_bodies(
        {code: look for code, look in looks.items() if code not in damaged},
        standing,
        lacking,
        alone=len(looks) < 2,
    )
    if not damaged:
        return rest
    others = (
        () if rest.pattern in ("all_normal", "undecided") else (Also(rest.pattern, rest.where),)
    )
    return Seen("damage", damaged, (*others, *rest.also))


def _compare_sound_bodies(
    looks: Mapping[str, str], standing: Sequence[Sequence[int]], lacking: int, *, alone: bool
) -> Seen:
    if not looks or alone:
        return Seen("undecided")
    odd = tuple(code for code, look in looks.items() if look != "normal")
    if not odd:
        return Seen("undecided" if lacking else "all_normal")
    if len(set(looks.values())) == 1:
        return Seen("undecided" if lacking else "all_alike", odd)
    usual, most = Counter(looks.values()).most_common(1)[0]
    if len(odd) < len(looks):
        return Seen(_spread(odd, standing), odd)
    if 2 * most <= len(looks):
        return Seen("several_unlike", odd)  # each like few others: there is no rest to compare with
    # The rest are alike but not normal either: both are worth a line.
    unlike = tuple(code for code, look in looks.items() if look != usual)
    alike = tuple(code for code in odd if code not in unlike)
    return Seen(_spread(unlike, standing), unlike, (Also("all_alike", alike),))


def _spread(codes: Sequence[str], standing: Sequence[Sequence[int]]) -> str:
    if len(codes) == 1:
        return "one_unlike"
    numbers = [int(code[1:]) for code in codes]
    return "neighbours_unlike" if are_neighbours(numbers, standing) else "several_unlike"


def assess(readings: Readings, context: Context) -> Assessment:
    """Compare the plugs with each other; gaps against the maker's."""
    rows = readings.rows("plugs")
    looks = {
        row.code: row.value("look") for row in rows if row.value("look") not in (None, NOT_LOOKED)
    }
    seen = compare(looks, blocks(context.car.engine), len(rows) - len(looks))
    verdicts = judge(PROCEDURE, readings, context)
    odd_gaps = tuple(v.address.split(".")[1] for v in verdicts if v.outcome == "outside")
    if odd_gaps:
        if seen.pattern in ("all_normal", "undecided"):
            seen = Seen("gap_outside", odd_gaps, seen.also)
        else:
            seen = Seen(seen.pattern, seen.where, (*seen.also, Also("gap_outside", odd_gaps)))
    return conclude(
        PROCEDURE,
        readings,
        context,
        pattern=seen.pattern,
        where=seen.where,
        also=seen.also,
        verdicts=verdicts,
        confounders=_confounders(readings, context),
        tables=(_table(rows, context),) if looks else (),
        customer=_customer(seen, looks),
        technician=_technician(seen, looks, readings, verdicts, context),
        chart=_chart(rows, seen, readings, context) if looks else {},
    )


def _confounders(readings: Readings, context: Context) -> list[str]:
    code = {"idling": "after_idling", "cranked": "only_cranked", "load": ""}.get(
        readings.given("taken_after") or "unknown", "running_unknown"
    )
    weak = [code] if code else []
    if readings.given("fitted_km") is not None and readings.given("fitted_km") < 500:
        weak.append("newly_fitted")
    if not blocks(context.car.engine):
        weak.append("order_unknown")
    return weak


# --- words, table, chart ----------------------------------------------------------------------


def _looks_said(codes: Sequence[str], looks: Mapping[str, str]) -> str:
    """ "2 oily, 3 sooty" in the customer's words."""
    return ", ".join(f"{code[1:]} {LOOKS[looks[code]].customer}" for code in codes if code in looks)


def _customer(seen: Seen, looks: Mapping[str, str]) -> list[Sentence]:
    said = []
    for pattern, where in ((seen.pattern, seen.where), *((a.pattern, a.where) for a in seen.also)):
        said.append(
            PROCEDURE.say(
                f"customer.{pattern}",
                where=numbers_of(where),
                seen=_looks_said(where, looks),
                look=LOOKS[looks[where[0]]].customer if where and where[0] in looks else "",
            )
        )
    burnt = [code for code in looks if looks[code] in ("melted", "cracked", "bent")]
    if burnt:
        said.append(PROCEDURE.say("customer.damage_advice", where=numbers_of(burnt)))
    washed = [code for code in looks if looks[code] == "washed"]
    if washed:
        said.append(PROCEDURE.say("customer.washed_advice", where=numbers_of(washed)))
    if seen.pattern not in ("undecided", "damage", "gap_outside"):
        said.append(PROCEDURE.say("customer.look_only"))
    return said


def _technician(
    seen: Seen,
    looks: Mapping[str, str],
    readings: Readings,
    verdicts: Sequence[VerdictOutcome],
    context: Context,
) -> list[Sentence]:
    told = []
    if seen.pattern == "undecided":
        told.append(PROCEDURE.say("too_few"))
    elif seen.pattern == "all_normal":
        told.append(PROCEDURE.say("all_normal"))
    for look in dict.fromkeys(looks.values()):
        if LOOKS[look].next:
            told.append(
                PROCEDURE.say(
                    "next",
                    where=numbers_of([c for c in looks if looks[c] == look]),
                    look=LOOKS[look].label,
                    next=LOOKS[look].next,
                )
            )
    if seen.pattern == "neighbours_unlike":
        told.append(PROCEDURE.say("neighbours", where=numbers_of(seen.where)))
    if seen.pattern == "several_unlike" and not blocks(context.car.engine):
        told.append(PROCEDURE.say("order_unknown"))
    for verdict in verdicts:
        if verdict.outcome in ("outside", "cannot_tell"):
            told.append(
                PROCEDURE.say(
                    "gap",
                    where=verdict.address.split(".")[1][1:],
                    gap=show(verdict.value or 0.0, verdict.u, "length", context.units, digit=0.01),
                    words=verdict_words(verdict, context.units),
                )
            )
    loose = [row.code for row in readings.rows("plugs") if row.value("found") == "loose"]
    if loose:
        told.append(PROCEDURE.say("loose", where=numbers_of(loose)))
    low, high = readings.given("gap_low"), readings.given("gap_high")
    if low is not None and high is not None and low > high:
        told.append(PROCEDURE.say("gap_limits_swapped"))
    torque = readings.given("torque")
    if torque is not None:
        told.append(PROCEDURE.say("torque", torque=show_value(torque, "torque", context.units)))
    told.append(PROCEDURE.say("colour"))
    return told


def _table(rows: Sequence[RowReadings], context: Context) -> Table:
    cells = []
    for row in rows:
        look, gap, found = row.value("look"), row.get("gap"), row.value("found")
        cells.append(
            (
                row.code[1:],
                LOOKS[look].label if look in LOOKS else "not looked at",
                gap.understood if gap else "not measured",
                _FOUND[found] if found else "not noted",
                str(row.value("note") or ""),
            )
        )
    return Table("Plugs by cylinder", ("cylinder", "look", "gap", "as found", "note"), tuple(cells))


def _chart(
    rows: Sequence[RowReadings], seen: Seen, readings: Readings, context: Context
) -> dict[str, Any]:
    """Cylinders as they stand in the block, with a word for each and its gap."""
    standing = blocks(context.car.engine) or (tuple(int(row.code[1:]) for row in rows),)
    marked = set(seen.where) | {code for item in seen.also for code in item.where}
    by_number = {int(row.code[1:]): row for row in rows}
    drawn = []
    for bank, numbers in enumerate(standing):
        for number in numbers:
            row = by_number.get(number)
            if row is None:
                continue
            look, gap = row.value("look"), row.get("gap")
            drawn.append(
                {
                    "label": str(number),
                    "bank": bank,
                    "word": LOOKS[look].short if look in LOOKS else "not looked at",
                    "value": gap.number if gap else None,
                    "marked": row.code in marked,
                }
            )
    span = _gap(context, readings, None)
    said = ", ".join(f"{plug['label']} {plug['word']}" for plug in drawn)
    return {
        "kind": "cylinders",
        "title": PROCEDURE.say("chart", plugs=said).text,
        "layout": context.car.engine.layout or "inline",
        "rows": drawn,
        "unit": "mm",
        "low": span.low if span else None,
        "high": span.high if span else None,
    }


# --- the declaration --------------------------------------------------------------------------


def _not_for(context: Context) -> str:
    if context.car.fuel == "diesel":
        return "a diesel has no spark plugs."
    if context.car.fuel == "electric":
        return "an electric car has no spark plugs."
    return ""


_FOUND = {"snug": "snug", "loose": "loose", "tight": "very tight", "damaged": "thread damaged"}

_NOT_WITH_DAMAGE = Driving(
    "do_not_drive",
    "A damaged plug can drop pieces into the engine. Do not run it before the plug is renewed and "
    "it is known what damaged it.",
)

PROCEDURE = Procedure(
    name="spark_plugs",
    title="Spark plugs by cylinder",
    version=1,
    group="Engine",
    purpose="Shows which cylinder burns unlike the others, and whether a plug is damaged.",
    proves_nothing_when="The engine only idled or was only cranked before the plugs came out, or "
    "the plugs are new.",
    cautions=(
        Caution(
            "Take plugs out of a cold or lukewarm engine.",
            "Hot plugs and manifold burn, and a thread in a hot aluminium head tears out with the "
            "plug.",
            "common practice",
        ),
        Caution(
            "Ignition off, key away.",
            "Coils give tens of kilovolts. Nobody with a pacemaker near an open ignition system.",
            "common practice",
        ),
        Caution(
            "Fuel may stand in the cylinder and spray out.",
            "No sparks or flames; never crank with the plugs out and the coils able to fire into "
            "the open: disable ignition and injection.",
            "OSHA 29 CFR 1910.106; common practice",
            from_memory=True,
        ),
        PLUG_WELLS,
        Caution(
            "Liquid in a cylinder bends rods.",
            "If coolant or much fuel may be in it: do not crank, turn by hand with the plugs out.",
            "common practice",
        ),
        Caution(
            "Belts and fans: the engine can turn.",
            "Hands, hair, sleeves and leads clear; electric fans start by themselves.",
            "OSHA 29 CFR 1910.212, 1910.219",
            from_memory=True,
        ),
        SWITCHED_OFF,
        MAKER_FIRST,
    ),
    preconditions=(
        Precondition("wells", "Wells blown out before the plugs were loosened.", ""),
        Precondition(
            "order", "Plugs kept in cylinder order; a photo of each with its number.", "order_lost"
        ),
        Precondition("ignition_off", "Ignition off, key away, engine no more than lukewarm.", ""),
    ),
    effort=Effort(
        minutes=30,
        tools=("plug socket", "torque wrench", "feeler gauge", "compressed air", "lamp"),
        state="cold",
        risk="A seized thread may tear; tell the customer first where plugs are old.",
    ),
    given=(
        Choice(
            key="taken_after",
            label="Running before they came out",
            needed=True,
            origin="told",
            choices={
                "load": "a drive under load, stopped without long idling",
                "idling": "idling or a move within the yard",
                "cranked": "cranked, did not start",
                "unknown": "not known",
            },
        ),
        Quantity(
            key="gap_low",
            label="Smallest gap, maker's",
            quantity="length",
            possible=(0.1, 3.0),
            likely=(0.4, 1.6),
            origin="told",
        ),
        Quantity(
            key="gap_high",
            label="Largest gap, maker's",
            quantity="length",
            possible=(0.1, 3.0),
            likely=(0.4, 1.6),
            origin="told",
        ),
        Quantity(
            key="torque",
            label="Tightening torque, maker's",
            quantity="torque",
            possible=(5.0, 60.0),
            likely=(8.0, 40.0),
            origin="told",
            help="For dry threads unless the maker says otherwise.",
        ),
        Quantity(
            key="fitted_km",
            label="Distance since they were fitted",
            quantity="distance",
            possible=(0.0, 500_000.0),
            likely=(0.0, 150_000.0),
            origin="told",
        ),
    ),
    grids=(
        Grid(
            "plugs",
            "Plugs",
            OfCar("cylinders"),
            (
                Choice(
                    key="look",
                    label="look",
                    needed=True,
                    choices={
                        **{code: look.label for code, look in LOOKS.items()},
                        NOT_LOOKED: "not looked at",
                    },
                    help="The tip, the shell and the outside of the insulator. Nearly white is "
                    "normal on today's fuel, reddish comes from additives.",
                ),
                Quantity(
                    key="gap",
                    label="gap",
                    quantity="length",
                    possible=(0.1, 4.0),
                    likely=(0.4, 1.6),
                    instrument="feeler_gauge",
                    help="Round wire gauge on fine electrodes; do not lever on the centre.",
                ),
                Choice(
                    key="found", label="as found", choices=_FOUND, help="How it sat in its thread."
                ),
                Text(
                    key="note",
                    label="note",
                    longest=120,
                    help="Engines with two plugs a cylinder: the worse one, and say so here.",
                ),
            ),
            help="Cylinder 1 is where the maker counts from.",
        ),
    ),
    limits=(Limit("plugs.*.gap", bounds=_gap),),
    handling_u={"gap": 0.02},
    patterns=(
        Pattern("all_normal", "all alike and normal", sound=True),
        Pattern("damage", "damage to a plug", direct=True, driving=_NOT_WITH_DAMAGE),
        Pattern("one_unlike", "one unlike the rest"),
        Pattern("neighbours_unlike", "neighbours unlike the rest"),
        Pattern("several_unlike", "several unlike the rest or each other"),
        Pattern("all_alike", "alike but not normal"),
        Pattern("gap_outside", "gap outside its limit", direct=True),
        UNDECIDED,
    ),
    confounders=(
        Confounder(
            "after_idling",
            "The engine only idled before the plugs came out: idling colours any plug, and says "
            "nothing of load.",
            0.2,
        ),
        Confounder(
            "only_cranked",
            "The engine was cranked and did not start: fuel on a plug then says nothing of that "
            "cylinder alone.",
            0.3,
        ),
        Confounder(
            "running_unknown", "It is not known how the engine ran before the plugs came out.", 0.6
        ),
        Confounder(
            "newly_fitted",
            "The plugs are nearly new and have had no time to show anything.",
            0.4,
            only_sound=True,
        ),
        Confounder(
            "order_lost", "The plugs were not kept in order, so a cylinder cannot be named.", 0.4
        ),
        Confounder(
            "order_unknown", "The engine's layout is not known, so neighbours cannot be told.", 0.9
        ),
    ),
    needs_before=(),
    leaves_apart=("spark plugs out", "coils or leads unplugged"),
    example={
        "ready.wells": "yes",
        "ready.order": "yes",
        "ready.ignition_off": "yes",
        "given.taken_after": "load",
        "plugs.c1.look": "normal",
        "plugs.c2.look": "normal",
        "plugs.c3.look": "wet_oil",
        "plugs.c4.look": "normal",
    },
    evidence_group="combustion_by_cylinder",
    not_for=_not_for,
    assess=assess,
    sentences={
        # customer
        "customer.all_normal": "All spark plugs look alike and normal.",
        "customer.one_unlike": "The spark plug of cylinder {where} looks unlike the others: "
        "{look}. So the search starts at that cylinder.",
        "customer.neighbours_unlike": "The spark plugs of cylinders {where}, which stand side by "
        "side, look unlike the others: {seen}.",
        "customer.several_unlike": "The spark plugs of cylinders {where} look unlike the others: "
        "{seen}.",
        "customer.all_alike": "The spark plugs of cylinders {where} all look alike and not normal: "
        "{look}.",
        "customer.damage": "Damaged spark plugs, by cylinder: {seen}.",
        "customer.gap_outside": "Cylinder {where}: the gap of the plug is outside its limit.",
        "customer.undecided": "Too few plugs were looked at to compare the cylinders.",
        "customer.damage_advice": "Cylinder {where}: the car should not be driven until the inside "
        "of the cylinder has been looked at; a piece may break off, or "
        "a piston burn through.",
        "customer.washed_advice": "Cylinder {where}: a plug like this may mean that coolant gets "
        "into the cylinder. The engine should not be started until that "
        "is known.",
        "customer.look_only": "A plug's look is a hint, not a measurement; a further test has to "
        "bear it out.",
        # technician
        "too_few": "Look at every plug: one alone, or some of them, cannot be compared.",
        "all_normal": "Alike and normal. A fault that comes only under load or hot leaves no mark "
        "on a plug taken out after a short run.",
        "next": "{where}: {look}. Look at: {next}.",
        "neighbours": "{where} stand side by side, so look first at what only they share: the "
        "gasket between them (leak-down on one, listen at the other), runner, coil "
        "or injector driver.",
        "order_unknown": "Enter the engine's layout, so that neighbours can be told.",
        "gap": "{where}: gap {gap}: {words}.",
        "loose": "{where} sat loose: a loose plug overheats and blows past; clean seat and thread.",
        "gap_limits_swapped": "The smallest gap entered is larger than the largest: no limit "
        "taken.",
        "torque": "Tighten to {torque}, threads dry unless the maker says otherwise.",
        "colour": "Colour alone says little: near-white is normal on today's fuel, reddish comes "
        "from additives. Compare the plugs with each other.",
        # chart
        "chart": "Spark plugs by cylinder: {plugs}.",
    },
)
