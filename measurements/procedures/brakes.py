"""Brakes by corner: linings, discs and drums against the mark on the part, fluid, pedal, hoses.

The thinnest lining counts, and the limit of a disc or drum is the one stamped on it. Common
practice unless a source stands beside it.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

from measurements.core.assessment import Also, Assessment, Figure, Sentence, Table, VerdictOutcome
from measurements.core.cautions import BRAKE_DUST, PARKING_BRAKE, WHEEL_NUTS
from measurements.core.context import Context
from measurements.core.decision import verdict_words
from measurements.core.judging import conclude, figure_of, judge, judge_figure
from measurements.core.procedure import (
    MAKER_FIRST,
    UNDECIDED,
    Caution,
    Choice,
    Confounder,
    Driving,
    Effort,
    Flag,
    Formula,
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
from measurements.core.uncertainty import resolution
from measurements.core.units import show, show_value
from measurements.core.wording import at_head, places

if TYPE_CHECKING:
    from uncertainties import UFloat

PAD_MM = 3.0
"""Lining left on a pad when it is renewed (common practice)."""
SHOE_MM = 1.5
"""Lining left on a drum brake's shoe when it is renewed (common practice)."""
RUN_OUT_MM = 0.05
"""Of a disc as fitted, by dial gauge near its rim (common practice)."""
VARIATION_MM = 0.015
"""Of a disc's thickness round one circle (common practice)."""
SIDES_MM = 2.0
"""Between the two pads of a calliper or the two sides of an axle (common practice)."""

PADS = ("inner", "outer")
AROUND = tuple(f"at_{n}" for n in range(1, 9))
DISC_TOOLS = ("thickness", "calliper")
DRUMS = ("diameter", "diameter_2")
AXLES = {"front": ("fl", "fr"), "rear": ("rl", "rr")}

COMMON = Source("C", "common practice")
STAMPED = Source("maker", "mark on the part")


@dataclass(frozen=True)
class Fluid:
    """A class of brake fluid: least boiling point new and dry, and wet, in °C.

    49 CFR 571.116 (from memory); "wet" is new fluid after taking up water in the standard's own
    trial. Holding fluid in service against it is common practice.
    """

    label: str
    dry_c: float
    wet_c: float
    silicone: bool = False

    @property
    def source(self) -> Source:
        return Source("S", f"49 CFR 571.116, wet boiling point of {self.label} (from memory)")


FLUIDS: Mapping[str, Fluid] = {
    "dot3": Fluid("DOT 3", 205.0, 140.0),
    "dot4": Fluid("DOT 4", 230.0, 155.0),
    "dot51": Fluid("DOT 5.1", 260.0, 180.0),
    "dot5": Fluid("DOT 5", 260.0, 180.0, silicone=True),
}

PEDAL: Mapping[str, str] = {
    "firm": "firm",
    "soft": "soft, springy",
    "sinks": "sinks while it is held",
    "low": "low, firm only after pumping",
    "hard": "hard, little effect",
    "pulses": "firm, pulses while braking",
}
LEVEL = {"between": "between the marks", "low": "below the low mark", "high": "above the high mark"}
HANDBRAKE: Mapping[str, str] = {
    "holds": "holds and lets go",
    "weak": "holds weakly or on one side",
    "none": "does not hold",
    "sticks": "does not let go",
}
STRIP = {"low": "little water", "middle": "some water", "high": "much water"}
MOVES = {"free": "free", "stiff": "stiff", "seized": "seized", "wet": "wet, leaking"}
HOSE = {"sound": "sound", "cracked": "cracked or chafed", "bulged": "bulged", "wet": "wet, leaking"}
LOOK: Mapping[str, str] = {
    "smooth": "smooth",
    "scored": "scored",
    "rusty": "rusty where the pad runs",
    "heat_spots": "heat spots, blue",
    "cracked": "cracked through or to the edge",
}


# --- rules ------------------------------------------------------------------------------------


def axle_of(corner: str) -> str:
    """ "front" or "rear"."""
    return "front" if corner.startswith("f") else "rear"


def _mark(readings: Readings, corner: str, key: str) -> float | None:
    """What is stamped on the part, or printed for it, mm."""
    found: float | None = readings.value(f"marks.{axle_of(corner)}.{key}")
    return found


def _pad(context: Context, readings: Readings, row: RowReadings | None) -> Span | None:
    mark = _mark(readings, row.code, "pad_min") if row else None
    return Span(mark, None, STAMPED) if mark else Span(PAD_MM, None, COMMON)


def _shoe(context: Context, readings: Readings, row: RowReadings | None) -> Span | None:
    mark = _mark(readings, row.code, "lining_min") if row else None
    return Span(mark, None, STAMPED) if mark else Span(SHOE_MM, None, COMMON)


def _disc(context: Context, readings: Readings, row: RowReadings | None) -> Span | None:
    """Only the mark on the disc: there is no honest figure for all."""
    mark = _mark(readings, row.code, "disc_min") if row else None
    return Span(mark, None, STAMPED) if mark else None


def _drum(context: Context, readings: Readings, row: RowReadings | None) -> Span | None:
    mark = _mark(readings, row.code, "drum_max") if row else None
    return Span(None, mark, STAMPED) if mark else None


def _fluid(readings: Readings) -> Fluid | None:
    """The class that the cap asks for, else the one that was filled."""
    return FLUIDS.get(readings.given("asked_class") or readings.given("filled_class") or "")


def _wet(context: Context, readings: Readings, row: RowReadings | None) -> Span | None:
    fluid = _fluid(readings)
    return Span(fluid.wet_c, None, fluid.source) if fluid else None


def classes_clash(asked: str, filled: str) -> str:
    """Why a fluid must not be in this car: "silicone", "lower", or "" if nothing speaks against it.

    >>> classes_clash("dot4", "dot51"), classes_clash("dot4", "dot3"), classes_clash("dot4", "dot5")
    ('', 'lower', 'silicone')
    """
    wanted, found = FLUIDS[asked], FLUIDS[filled]
    if wanted.silicone != found.silicone:
        return "silicone"
    return "lower" if found.wet_c < wanted.wet_c else ""


# --- one corner -------------------------------------------------------------------------------


@dataclass(frozen=True)
class Corner:
    """What was read at one wheel, across the grids."""

    pads: RowReadings
    disc: RowReadings
    around: RowReadings
    drum: RowReadings
    has_drum: bool

    @property
    def code(self) -> str:
        return self.pads.code

    @property
    def label(self) -> str:
        return self.pads.label

    def friction(self) -> dict[str, UFloat]:
        """Linings that were read, by name."""
        if self.has_drum:
            return _read(self.drum, ("lining",))
        return _read(self.pads, PADS)

    @property
    def friction_known(self) -> bool:
        """Both pads were read, since the inner one often wears first; or the shoe's lining."""
        return len(self.friction()) == (1 if self.has_drum else len(PADS))


def _read(row: RowReadings, keys: Iterable[str]) -> dict[str, UFloat]:
    found = {key: row.uncertain(key) for key in keys}
    return {key: value for key, value in found.items() if value is not None}


def _least(values: Iterable[UFloat]) -> UFloat | None:
    return min(values, key=lambda value: value.nominal_value, default=None)


def _apart(one: UFloat, other: UFloat) -> UFloat:
    """The larger less the smaller."""
    larger, smaller = sorted((one, other), key=lambda value: value.nominal_value, reverse=True)
    apart: UFloat = larger - smaller
    return apart


def _corners(readings: Readings) -> list[Corner]:
    rows = {
        key: {row.code: row for row in readings.rows(key)}
        for key in ("pads", "discs", "around", "drums")
    }
    return [
        Corner(
            pads, rows["discs"][code], rows["around"][code], rows["drums"][code],
            _is_drum(readings, code, rows),
        )
        for code, pads in rows["pads"].items()
    ]  # fmt: skip


def _is_drum(
    readings: Readings, corner: str, rows: Mapping[str, Mapping[str, RowReadings]]
) -> bool:
    """As noted for the axle, else by what was measured on it."""
    axle = axle_of(corner)
    kind = readings.value(f"marks.{axle}.kind")
    if kind:
        return bool(kind == "drums")
    on_axle = AXLES[axle]
    pads = any(rows["pads"][code].get(key) for code in on_axle for key in PADS)
    shoes = any(rows["drums"][code].get(key) for code in on_axle for key in ("lining", *DRUMS))
    return shoes and not pads


# --- figures ----------------------------------------------------------------------------------


def thickness_variation(row: RowReadings) -> UFloat | None:
    """Thickest less thinnest of the points round a disc, mm; None with fewer than two.

    One micrometer at nearly one thickness: its own error falls out of the difference, and only how
    finely it is read and placed is left.
    """
    from uncertainties import ufloat

    read = []
    for key in AROUND:
        reading = row.get(key)
        if reading is not None and reading.number is not None and reading.status == "measured":
            placed = PROCEDURE.handling_u[key]
            read.append((reading.number, (resolution(reading.digit) ** 2 + placed**2) ** 0.5))
    if len(read) < 2:
        return None
    thinnest, thickest = (ufloat(*pick(read)) for pick in (min, max))
    varies: UFloat = thickest - thinnest
    return varies


def _figures(
    corners: Sequence[Corner], readings: Readings, context: Context
) -> tuple[list[Figure], list[VerdictOutcome]]:
    """Figures with the verdicts on those that have a limit."""
    figures: list[Figure] = []
    verdicts: list[VerdictOutcome] = []

    def add(
        key: str,
        label: str,
        number: UFloat,
        span: Span | None = None,
        *,
        quantity: str = "length",
        safety: bool = False,
    ) -> None:
        figure = figure_of(key, label, quantity, number)
        figures.append(figure)
        verdict = judge_figure(PROCEDURE, figure, context, span, safety=safety)
        if verdict.outcome != "no_limit":
            verdicts.append(verdict)

    for corner in corners:
        code, label = corner.code, corner.label
        pads = list(_read(corner.pads, PADS).values())
        if len(pads) == len(PADS):
            add(
                f"pads_{code}",
                f"{label}, difference between its two pads",
                _apart(*pads),
                Span(None, SIDES_MM, COMMON),
            )
        disc = _least(
            [*_read(corner.disc, DISC_TOOLS).values(), *_read(corner.around, AROUND).values()]
        )
        mark = _mark(readings, code, "disc_min")
        if disc is not None and mark:
            add(
                f"disc_left_{code}",
                f"{label}, disc above its mark",
                disc - mark,
                Span(0.0, None, STAMPED),
                safety=True,
            )
        varies = thickness_variation(corner.around)
        if varies is not None:
            add(
                f"varies_{code}",
                f"{label}, thickness variation round the disc",
                varies,
                Span(None, VARIATION_MM, COMMON),
            )
        across = _read(corner.drum, DRUMS)
        widest = max(across.values(), key=lambda value: value.nominal_value, default=None)
        mark = _mark(readings, code, "drum_max")
        if widest is not None and mark:
            add(
                f"drum_left_{code}",
                f"{label}, drum below its mark",
                mark - widest,
                Span(0.0, None, STAMPED),
                safety=True,
            )
        if len(across) == len(DRUMS):
            add(
                f"oval_{code}",
                f"{label}, drum out of round",
                _apart(*across.values()),
            )
    for axle, pair in AXLES.items():
        linings = [_least(corner.friction().values()) for corner in corners if corner.code in pair]
        known = [lining for lining in linings if lining is not None]
        if len(known) == len(pair):
            add(
                f"sides_{axle}",
                f"{axle} axle, difference between the sides",
                _apart(*known),
                Span(None, SIDES_MM, COMMON),
            )
    boiling, fluid = readings.uncertain("given.boiling"), _fluid(readings)
    if boiling is not None and fluid is not None:
        add(
            "above_wet",
            "boiling point above the wet limit of its class",
            boiling - fluid.wet_c,
            quantity="temperature_difference",
        )
    return figures, verdicts


# --- what was seen ----------------------------------------------------------------------------


def _gone(corner: Corner) -> bool:
    """Metal on metal was seen, or what is left of a lining may as well be nothing."""
    thinnest = _least(corner.friction().values())
    worn_out = thinnest is not None and thinnest.nominal_value <= 2 * thinnest.std_dev
    return corner.pads.value("metal") is True or worn_out


def _seen(
    corners: Sequence[Corner], verdicts: Sequence[VerdictOutcome], readings: Readings
) -> dict[str, tuple[str, ...]]:
    """Pattern -> where, in the order of the declared patterns, which is that of what matters."""
    outcomes = {verdict.address: verdict.outcome for verdict in verdicts}
    found: dict[str, list[str]] = {}

    def note(pattern: str, *where: str) -> None:
        found.setdefault(pattern, []).extend(where)

    for corner in corners:
        code = corner.code
        linings = [outcomes.get(corner.pads.address(key)) for key in PADS]
        linings.append(outcomes.get(corner.drum.address("lining")))
        bodies = [outcomes.get(corner.disc.address(key)) for key in DISC_TOOLS]
        bodies += [outcomes.get(corner.around.address(key)) for key in AROUND]
        bodies += [outcomes.get(corner.drum.address(key)) for key in DRUMS]
        bodies += [outcomes.get(f"figure.{key}_{code}") for key in ("disc_left", "drum_left")]
        if _gone(corner):
            note("lining_gone", code)
        elif "outside" in linings:
            note("lining_thin", code)
        if "outside" in bodies:
            note("beyond_mark", code)
        doubtful = [bodies] if _gone(corner) else [linings, bodies]
        if any("cannot_tell" in part and "outside" not in part for part in doubtful):
            note("at_limit", code)
        if outcomes.get(corner.disc.address("run_out")) == "outside":
            note("run_out", code)
        if outcomes.get(f"figure.varies_{code}") == "outside":
            note("thickness_varies", code)
        if outcomes.get(f"figure.pads_{code}") == "outside":
            note("uneven", code)
        for pattern in _looked(corner):
            note(pattern, code)
    for axle, pair in AXLES.items():
        if outcomes.get(f"figure.sides_{axle}") == "outside":
            note("uneven", *pair)
    for pattern in _of_the_whole(readings, outcomes):
        note(pattern)
    return {
        pattern.code: tuple(c.code for c in corners if c.code in found[pattern.code])
        for pattern in PROCEDURE.patterns
        if pattern.code in found
    }


def _looked(corner: Corner) -> list[str]:
    """Patterns of what was seen by eye or by hand at one wheel."""
    hose, moves = corner.pads.value("hose"), [corner.pads.value(k) for k in ("slides", "piston")]
    seen = []
    if hose in ("bulged", "wet") or "wet" in moves or corner.drum.value("wet") is True:
        seen.append("hose_or_leak")
    if hose == "cracked":
        seen.append("hose_cracked")
    if {"stiff", "seized"} & set(moves):
        seen.append("sticking")
    if corner.disc.value("look") == "cracked":
        seen.append("disc_cracked")
    return seen


def _of_the_whole(readings: Readings, outcomes: Mapping[str, str]) -> list[str]:
    """Patterns that belong to no one wheel: pedal, fluid, handbrake."""
    pedal, handbrake = readings.given("pedal"), readings.given("handbrake")
    asked, filled = readings.given("asked_class"), readings.given("filled_class")
    boils_low = outcomes.get("given.boiling") in ("outside", "cannot_tell")
    tests = {
        "fluid_boiled": readings.given("boiled") is True,
        "pedal_not_firm": pedal in ("soft", "sinks", "low", "hard"),
        "fluid_boils_low": boils_low,
        "fluid_low": readings.given("level") == "low",
        "fluid_class": bool(asked and filled and classes_clash(asked, filled)),
        "sticking": handbrake == "sticks",
        "handbrake_weak": handbrake in ("weak", "none"),
        "pedal_pulses": pedal == "pulses",
    }
    return [pattern for pattern, holds in tests.items() if holds]


def assess(readings: Readings, context: Context) -> Assessment:
    """Linings, discs and drums against their marks, sides against each other, fluid and pedal."""
    corners = _corners(readings)
    not_there = {corner.pads.address(key) for corner in corners if corner.has_drum for key in PADS}
    readings = replace(readings, missing=tuple(a for a in readings.missing if a not in not_there))
    figures, on_figures = _figures(corners, readings, context)
    # The marks are limits themselves: nothing is known that they could be held against.
    on_readings = [
        verdict
        for verdict in judge(PROCEDURE, readings, context)
        if not verdict.address.startswith("marks.")
    ]
    verdicts = (*on_readings, *on_figures)
    seen = _seen(corners, verdicts, readings)
    measured = bool(corners) and all(corner.friction_known for corner in corners)
    beyond = any(verdict.outcome == "outside" for verdict in verdicts)  # a limit kept for the car
    lead = next(iter(seen), "nothing_unusual" if measured and not beyond else "undecided")
    return conclude(
        PROCEDURE,
        readings,
        context,
        pattern=lead,
        where=seen.get(lead, ()),
        also=tuple(Also(code, where) for code, where in seen.items() if code != lead),
        figures=figures,
        verdicts=verdicts,
        confounders=_confounders(corners, readings),
        tables=(_table(corners, figures, readings, context),) if readings.by_address else (),
        customer=_customer(lead, seen, corners, verdicts, readings, context),
        technician=_technician(lead, seen, corners, figures, verdicts, readings, context),
        chart=_chart(corners, readings, context),
    )


def _confounders(corners: Sequence[Corner], readings: Readings) -> list[str]:
    weak = []
    # These two concern a disc alone; they must not weaken a lining.
    if "inside_lip" in readings.unticked and any(_read(c.disc, DISC_TOOLS) for c in corners):
        weak.append("over_lip")
    if "seated" in readings.unticked and any(c.disc.get("run_out") for c in corners):
        weak.append("not_seated")
    if any(not _body_judged(corner, readings) for corner in corners):
        weak.append("body_not_judged")
    if readings.given("boiling") is None or _fluid(readings) is None:
        weak.append("fluid_not_judged")
    if readings.given("pedal") is None:
        weak.append("pedal_not_tried")
    return weak


def _body_judged(corner: Corner, readings: Readings) -> bool:
    """Whether disc or drum was measured and its mark is known."""
    if corner.has_drum:
        read, mark = _read(corner.drum, DRUMS), "drum_max"
    else:
        read, mark = _read(corner.disc, DISC_TOOLS) | _read(corner.around, AROUND), "disc_min"
    return bool(read) and _mark(readings, corner.code, mark) is not None


# --- words, table, chart ----------------------------------------------------------------------


def _short(millimetres: float, context: Context) -> str:
    """A length for the customer: no finer than it matters."""
    return show_value(millimetres, "length", context.units, 2 if context.units == "us" else 1)


def _linings(codes: Sequence[str], corners: Sequence[Corner], context: Context) -> str:
    """ "front left 2.1 mm"; a corner without a figure by name alone."""
    said = []
    for corner in corners:
        thinnest = _least(corner.friction().values())
        if corner.code in codes:
            depth = "" if thinnest is None else f" {_short(thinnest.nominal_value, context)}"
            said.append(f"{corner.label}{depth}")
    return ", ".join(said)


def _customer(
    lead: str,
    seen: Mapping[str, tuple[str, ...]],
    corners: Sequence[Corner],
    verdicts: Sequence[VerdictOutcome],
    readings: Readings,
    context: Context,
) -> list[Sentence]:
    outcomes = {verdict.address: verdict.outcome for verdict in verdicts}
    everywhere = [corner.code for corner in corners]
    boiling, fluid = readings.given("boiling"), _fluid(readings)
    params = {
        "usual": _short(PAD_MM, context),
        "boils": "" if boiling is None else show_value(boiling, "temperature", context.units, 0),
        "wet": show_value(fluid.wet_c, "temperature", context.units, 0) if fluid else "",
        "pedal": PEDAL.get(readings.given("pedal") or "", ""),
        "handbrake": HANDBRAKE.get(readings.given("handbrake") or "", ""),
    }
    said = []
    for code, where in seen.items():
        key = f"customer.{code}"
        if code == "sticking" and not where:
            key = "customer.handbrake_sticks"
        if code == "fluid_boils_low" and outcomes.get("given.boiling") == "cannot_tell":
            key = "customer.fluid_at_limit"
        said.append(
            PROCEDURE.say(
                key,
                where=places(where, corners),
                linings=_linings(where, corners, context),
                **params,
            )
        )
    if lead == "nothing_unusual":
        linings = _linings(everywhere, corners, context)
        said.append(PROCEDURE.say("customer.nothing_unusual", linings=linings, **params))
    elif lead == "undecided":
        said.append(PROCEDURE.say("customer.undecided"))
    if lead == "nothing_unusual":
        unlooked = _unlooked(corners, readings)
        if unlooked:
            said.append(PROCEDURE.say("customer.unlooked", what=", ".join(unlooked)))
    return said


def _unlooked(corners: Sequence[Corner], readings: Readings) -> list[str]:
    """What this look left out, in the customer's words."""
    weak = _confounders(corners, readings)
    words = {
        "body_not_judged": "thickness of all discs or drums",
        "fluid_not_judged": "brake fluid",
        "pedal_not_tried": "pedal",
    }
    left_out = [text for code, text in words.items() if code in weak]
    return [*left_out, "hoses and pipes"] if "looked" in readings.unticked else left_out


def _technician(
    lead: str,
    seen: Mapping[str, tuple[str, ...]],
    corners: Sequence[Corner],
    figures: Sequence[Figure],
    verdicts: Sequence[VerdictOutcome],
    readings: Readings,
    context: Context,
) -> list[Sentence]:
    told = []
    if lead == "nothing_unusual":
        told.append(PROCEDURE.say("next.all_usual"))
    elif lead == "undecided":
        lacking = [corner.code for corner in corners if not corner.friction_known]
        told.append(PROCEDURE.say("too_few", where=places(lacking, corners)))
    told += [
        _judged(verdict, context)
        for verdict in verdicts
        if verdict.outcome == "cannot_tell"
        or (verdict.outcome == "outside" and verdict.source is not None)
    ]
    told += [
        PROCEDURE.say(f"next.{code}", where=places(where, corners) or "Handbrake")
        for code, where in seen.items()
    ]
    told += _of_discs(corners, verdicts)
    told += _of_fluid(figures, readings, context)
    return told


def _judged(verdict: VerdictOutcome, context: Context) -> Sentence:
    words = verdict_words(verdict, context.units)
    if verdict.value is None:
        return PROCEDURE.say("judged_bare", what=at_head(verdict.label), words=words)
    value = show(verdict.value, verdict.u, verdict.quantity, context.units)
    return PROCEDURE.say("judged", what=at_head(verdict.label), value=value, words=words)


def _of_discs(corners: Sequence[Corner], verdicts: Sequence[VerdictOutcome]) -> list[Sentence]:
    """The hub's face before a second disc; a mark that is lacking; a calliper over the lip."""
    outcomes = {verdict.address: verdict.outcome for verdict in verdicts}
    told = []
    shaking = [
        corner
        for corner in corners
        if outcomes.get(corner.disc.address("run_out")) in ("outside", "cannot_tell")
        or outcomes.get(f"figure.varies_{corner.code}") == "outside"
    ]
    for corner in shaking:
        hub = corner.disc.get("hub")
        key = "hub_read" if hub else "hub_first"
        found = hub.understood if hub else ""
        told.append(PROCEDURE.say(key, where=at_head(corner.label), hub=found))
    varies = [f"figure.varies_{corner.code}" for corner in corners]
    if any(outcomes.get(address) == "cannot_tell" for address in varies):
        told.append(PROCEDURE.say("finer_micrometer"))
    no_mark = [
        corner.code
        for corner in corners
        if any(
            outcomes.get(row.address(key)) == "no_limit"
            for row, keys in ((corner.disc, DISC_TOOLS), (corner.drum, DRUMS))
            for key in keys
        )
    ]
    if no_mark:
        told.append(PROCEDURE.say("no_mark", where=places(no_mark, corners)))
    lips = [
        corner.code
        for corner in corners
        if corner.disc.get("calliper") and not corner.disc.get("thickness")
    ]
    if lips:
        told.append(PROCEDURE.say("over_lip", where=places(lips, corners)))
    return told


def _of_fluid(figures: Sequence[Figure], readings: Readings, context: Context) -> list[Sentence]:
    told = []
    boiling, fluid, strip = readings.get("given.boiling"), _fluid(readings), readings.given("strip")
    if boiling is not None and boiling.number is not None and fluid is not None:
        dry, wet = (
            show_value(value, "temperature", context.units, 0)
            for value in (fluid.dry_c, fluid.wet_c)
        )
        told.append(
            PROCEDURE.say("fluid", boils=boiling.understood, name=fluid.label, dry=dry, wet=wet)
        )
    elif boiling is not None:
        told.append(PROCEDURE.say("fluid_class_unknown"))
    if strip:
        told.append(PROCEDURE.say("strip", found=STRIP[strip]))
    return told


def _table(
    corners: Sequence[Corner], figures: Sequence[Figure], readings: Readings, context: Context
) -> Table:
    by_key = {figure.key: figure for figure in figures}
    cells = []
    for corner in corners:
        pads, disc, drum = corner.pads, corner.disc, corner.drum
        lining = drum.get("lining")
        body = disc.get("thickness") or disc.get("calliper") or drum.get("diameter")
        mark = _mark(readings, corner.code, "drum_max" if corner.has_drum else "disc_min")
        varies, run_out = by_key.get(f"varies_{corner.code}"), disc.get("run_out")
        seen = [
            LOOK.get(disc.value("look") or ""),
            _named("slides", MOVES.get(pads.value("slides") or "")),
            _named("piston", MOVES.get(pads.value("piston") or "")),
            _named("hose", HOSE.get(pads.value("hose") or "")),
            "metal on metal" if pads.value("metal") is True else "",
            "wheel cylinder wet" if drum.value("wet") is True else "",
            pads.value("note"),
        ]
        linings = [
            _named(key, reading.understood)
            for key in PADS
            if (reading := pads.get(key)) is not None
        ]
        linings += [_named("shoe", lining.understood)] if lining else []
        cells.append(
            (
                corner.label,
                ", ".join(linings),
                body.understood if body else "",
                show_value(mark, "length", context.units) if mark else "",
                run_out.understood if run_out else "",
                show(varies.value, varies.u, "length", context.units)
                if varies is not None and varies.value is not None
                else "",
                "; ".join(part for part in seen if part),
            )
        )
    head = ("wheel", "lining", "disc or drum", "its mark", "run-out", "variation", "seen")
    return Table("Brakes by wheel", head, tuple(cells))


def _named(name: str, words: str | None) -> str:
    return f"{name} {words}" if words else ""


def _chart(corners: Sequence[Corner], readings: Readings, context: Context) -> dict[str, Any]:
    """Linings at each corner as seen from above, the outer pad towards the outside of the car."""
    panels, known = [], []
    for corner in corners:
        linings = corner.friction()
        if not linings:
            continue
        side = 0 if corner.code[1] == "l" else 1
        across = list(linings.items()) if side else list(linings.items())[::-1]
        span = (
            _shoe(context, readings, corner.drum)
            if corner.has_drum
            else _pad(context, readings, corner.pads)
        )
        known.append(corner.code)
        panels.append(
            {
                "row": 0 if axle_of(corner.code) == "front" else 1,
                "side": side,
                "label": corner.label,
                "low": span.low if span else None,
                "points": [
                    {
                        "label": "shoe" if key == "lining" else key,
                        "value": lining.nominal_value,
                        "u": lining.std_dev,
                    }
                    for key, lining in across
                ],
            }
        )
    if not panels:
        return {}
    title = PROCEDURE.say("chart", linings=_linings(known, corners, context)).text
    return {"kind": "corners", "title": title, "unit": "lining, mm", "panels": panels}


# --- the declaration --------------------------------------------------------------------------

_NOT_ON_METAL = Driving(
    "do_not_drive",
    "With the lining gone, metal rubs on metal: braking is weak and can be lost. Have it towed or "
    "repaired where it stands.",
)
_NOT_WITH_A_LEAK = Driving(
    "do_not_drive",
    "A brake hose that bulges, or a brake that leaks, can lose all pressure at the next stop. Have "
    "it towed.",
)
_NOT_AFTER_BOILING = Driving(
    "do_not_drive",
    "The brake fluid has boiled: the pedal can go to the floor without effect. Not before the "
    "fluid is renewed and the brakes are looked at.",
)
_NOT_WITHOUT_PEDAL = Driving(
    "do_not_drive",
    "The brake pedal is not as it should be. Not before it is known why, and put right.",
)
_NOT_ON_A_CRACK = Driving(
    "do_not_drive", "A cracked brake disc can break under braking. Have it towed."
)
_TO_THE_REPAIR = Driving(
    "only_as_stated",
    "Only gently, without load or trailer, and no further than to where the brakes are repaired; "
    "stop when it grinds or pulls.",
)
_NO_LONG_DESCENTS = Driving(
    "only_as_stated",
    "No long descents, no trailer, no hard use until the brake fluid is renewed; stop when the "
    "pedal goes soft.",
)
_NOT_BEFORE_KNOWN = Driving(
    "only_as_stated",
    "Not further than to the repair before it is known whether the fluid left through a leak; "
    "watch the brake lamp and the pedal.",
)
_CHOCK_IT = Driving(
    "only_as_stated", "Do not rely on the handbrake: leave it in gear or park, wheels chocked."
)


def _lining(key: str, label: str, *, needed: bool = False, help: str = "") -> Quantity:
    return Quantity(
        key=key,
        label=label,
        help=help,
        quantity="length",
        needed=needed,
        finer=not needed,
        possible=(0.0, 40.0),
        likely=(1.0, 20.0),
        instrument="calliper",
    )


def _mark_field(key: str, label: str, likely: tuple[float, float], *, finer: bool) -> Quantity:
    return Quantity(
        key=key,
        label=label,
        quantity="length",
        origin="photo",
        finer=finer,
        possible=(0.1, 600.0),
        likely=likely,
    )


def _by_micrometer(key: str, label: str, *, finer: bool, help: str = "") -> Quantity:
    return Quantity(
        key=key,
        label=label,
        help=help,
        quantity="length",
        finer=finer,
        possible=(1.0, 80.0),
        likely=(5.0, 45.0),
        instrument="micrometer",
    )


def _by_dial(key: str, label: str, help: str) -> Quantity:
    return Quantity(
        key=key,
        label=label,
        help=help,
        quantity="length",
        finer=True,
        possible=(0.0, 5.0),
        likely=(0.0, 0.3),
        instrument="dial_gauge",
    )


def _across_drum(key: str, label: str, help: str = "") -> Quantity:
    return Quantity(
        key=key,
        label=label,
        help=help,
        quantity="length",
        finer=True,
        possible=(80.0, 600.0),
        likely=(150.0, 350.0),
        instrument="calliper",
    )


PROCEDURE = Procedure(
    name="brakes",
    title="Brakes: linings, discs, drums, fluid",
    version=1,
    group="Brakes",
    purpose="Shows how much lining is left, whether discs and drums are inside the mark stamped on "
    "them, what may make the pedal shake, and whether fluid, hoses and pedal are as usual.",
    proves_nothing_when="Only the outer pad was seen, a disc was measured across its rust lip, or "
    "its mark could not be read. How hard the car brakes is not measured here.",
    cautions=(
        Caution(
            "Pump the pedal firm before the car moves.",
            "After pads, pistons or hoses were touched the first press goes to the floor. Then "
            "level, then leaks, then a slow stop in the yard.",
            "common practice",
        ),
        Caution(
            "A pedal that is soft, sinks or goes down: do not drive.",
            "Nor with grinding metal, a bulged hose, or fluid that has boiled.",
            "common practice",
            "customer",
        ),
        Caution(
            "Rated stands before anyone is under it or a wheel comes off.",
            "Hard level ground, the maker's lifting points, other wheels chocked, never a jack "
            "alone.",
            "OSHA 29 CFR 1910.244(a)",
            from_memory=True,
        ),
        BRAKE_DUST,
        Caution(
            "Discs, drums and callipers burn.",
            "Let them cool before a hand or a gauge goes near.",
            "common practice",
        ),
        Caution(
            "Brake fluid harms eyes and eats paint.",
            "Gloves, eyes covered; wash spills off with water at once. It feeds a fire on a hot "
            "exhaust.",
            "common practice",
        ),
        Caution(
            "Never mix classes of brake fluid.",
            "Only the class on the cap, from a closed fresh can. DOT 5 is silicone and mixes with "
            "none; no mineral oil near the seals.",
            "49 CFR 571.116; common practice",
            from_memory=True,
        ),
        Caution(
            "Do not let a calliper hang on its hose.",
            "Wire it up. Pressing pistons back lifts the fluid: watch the reservoir.",
            "common practice",
        ),
        PARKING_BRAKE,
        Caution(
            "Regenerative or electric brakes may build pressure by themselves.",
            "Switched off, key out of range, the maker's shut-down and wait before anything is "
            "opened; orange cables are left alone. Its pads rust more than they wear.",
            "UN R100; maker's instructions",
            when=lambda context: context.car.high_voltage,
            from_memory=True,
        ),
        WHEEL_NUTS,
        MAKER_FIRST,
    ),
    preconditions=(
        Precondition("stands", "On rated stands, wheels chocked, brakes cool."),
        Precondition(
            "looked",
            "Hoses, pipes, callipers and cylinders looked at all round; nothing was seen where "
            "nothing is noted.",
            "not_looked",
        ),
        Precondition("inside_lip", "Discs measured inside their rust lip, at their lowest place."),
        Precondition(
            "seated",
            "For run-out: hub and disc clean, disc held by all nuts, no play in the bearing.",
        ),
    ),
    effort=Effort(
        minutes=25,
        tools=(
            "calliper",
            "micrometer with pointed anvils",
            "dial gauge on a stand",
            "fluid tester",
            "rated stands",
            "lamp",
        ),
        state="cold",
        risk="Seized slides and bleeders may shear; tell the customer first where they are rusty.",
    ),
    given=(
        Choice(
            key="pedal",
            label="Brake pedal",
            needed=True,
            choices=PEDAL,
            help="Engine running, pressed hard for ten seconds, before anything is touched.",
        ),
        Choice(key="level", label="Brake fluid level", choices=LEVEL),
        Choice(key="handbrake", label="Handbrake", choices=HANDBRAKE),
        Choice(
            key="asked_class",
            label="Class asked for on the cap",
            origin="photo",
            finer=True,
            choices={code: fluid.label for code, fluid in FLUIDS.items()},
        ),
        Choice(
            key="filled_class",
            label="Class that was filled, as told",
            origin="told",
            finer=True,
            choices={code: fluid.label for code, fluid in FLUIDS.items()},
        ),
        Quantity(
            key="boiling",
            label="Boiling point of the fluid",
            quantity="temperature",
            finer=True,
            possible=(80.0, 330.0),
            likely=(110.0, 300.0),
            instrument="fluid_tester",
            help="By a tester that boils a sample.",
        ),
        Choice(
            key="strip",
            label="Water by strip or pen",
            finer=True,
            choices=STRIP,
            help="Copper or water strips and pens only sort out; they give no verdict.",
        ),
        Flag(
            key="boiled",
            label="Pedal went soft after hard braking, firm again when cool",
            origin="told",
            finer=True,
        ),
    ),
    grids=(
        Grid(
            "pads",
            "Pads",
            OfCar("corners"),
            (
                _lining("inner", "inner pad", needed=True, help="Lining only, without its plate."),
                _lining("outer", "outer pad", needed=True),
                Flag(key="metal", label="metal on metal", finer=True),
                Choice(key="slides", label="slides", choices=MOVES, finer=True),
                Choice(key="piston", label="piston", choices=MOVES, finer=True),
                Choice(key="hose", label="hose", choices=HOSE, finer=True),
                Text(key="note", label="note", longest=120, finer=True),
            ),
            help="The thinnest counts, and the inner one often wears first.",
        ),
        Grid(
            "discs",
            "Discs",
            OfCar("corners"),
            (
                _by_micrometer(
                    "thickness",
                    "thickness",
                    finer=False,
                    help="Micrometer, at the thinnest of several places inside the lip.",
                ),
                Quantity(
                    key="calliper",
                    label="thickness by calliper",
                    quantity="length",
                    finer=True,
                    possible=(1.0, 80.0),
                    likely=(5.0, 45.0),
                    instrument="calliper",
                    help="Where no micrometer fits: a rust lip makes it read too thick.",
                ),
                _by_dial("run_out", "run-out", "Whole swing of the dial, 10 mm from the rim."),
                _by_dial("hub", "hub face run-out", "Disc off; before any second disc is fitted."),
                Choice(key="look", label="look", choices=LOOK, finer=True),
            ),
        ),
        Grid(
            "marks",
            "Marks on the parts",
            OfCar("axles"),
            (
                Choice(
                    key="kind",
                    label="brakes",
                    choices={"discs": "discs", "drums": "drums"},
                    origin="photo",
                    finer=True,
                ),
                _mark_field("disc_min", "least disc thickness", (5.0, 45.0), finer=False),
                _mark_field("pad_min", "least pad lining", (1.0, 6.0), finer=True),
                _mark_field("drum_max", "largest drum diameter", (150.0, 350.0), finer=True),
                _mark_field("lining_min", "least shoe lining", (0.5, 5.0), finer=True),
            ),
            help="Stamped on the disc's edge or bell, cast into the drum. It is the limit.",
        ),
        Grid(
            "around",
            "Thickness round the disc",
            OfCar("corners"),
            tuple(_by_micrometer(key, f"point {n}", finer=True) for n, key in enumerate(AROUND, 1)),
            help="For a shaking pedal: one circle, 10 mm from the rim, evenly round; four points "
            "or all eight.",
        ),
        Grid(
            "drums",
            "Drums",
            OfCar("corners"),
            (
                _lining("lining", "shoe lining", help="Thinnest place of both shoes."),
                _across_drum("diameter", "diameter"),
                _across_drum("diameter_2", "diameter, a quarter turn on"),
                Flag(key="wet", label="wheel cylinder wet", finer=True),
            ),
        ),
    ),
    limits=(
        *(Limit(f"pads.*.{key}", bounds=_pad, safety=True) for key in PADS),
        *(Limit(f"discs.*.{key}", bounds=_disc, safety=True) for key in DISC_TOOLS),
        Limit("discs.*.run_out", high=RUN_OUT_MM, source=COMMON),
        *(Limit(f"around.*.{key}", bounds=_disc, safety=True) for key in AROUND),
        Limit("drums.*.lining", bounds=_shoe, safety=True),
        *(Limit(f"drums.*.{key}", bounds=_drum, safety=True) for key in DRUMS),
        Limit("given.boiling", bounds=_wet, safety=True),
    ),
    handling_u={
        # Judgement, in mm and °C: a lining is seen at an angle and wears askew; a calliper rides
        # on the rust lip, a pointed micrometer does not; a dial's foot gives a little.
        "inner": 0.2,
        "outer": 0.2,
        "lining": 0.2,
        "thickness": 0.01,
        "calliper": 0.2,
        "run_out": 0.005,
        "hub": 0.005,
        "diameter": 0.1,
        "diameter_2": 0.1,
        "boiling": 2.0,
        **dict.fromkeys(AROUND, 0.002),
    },
    patterns=(
        Pattern("lining_gone", "lining gone, metal on metal", direct=True, driving=_NOT_ON_METAL),
        Pattern("hose_or_leak", "hose bulged, or a leak", direct=True, driving=_NOT_WITH_A_LEAK),
        Pattern("fluid_boiled", "fluid has boiled", driving=_NOT_AFTER_BOILING),
        Pattern(
            "pedal_not_firm", "pedal not firm, or hard", direct=True, driving=_NOT_WITHOUT_PEDAL
        ),
        Pattern("disc_cracked", "disc cracked", direct=True, driving=_NOT_ON_A_CRACK),
        Pattern("beyond_mark", "disc or drum beyond its mark", direct=True, driving=_TO_THE_REPAIR),
        Pattern("lining_thin", "lining thin", direct=True, driving=_TO_THE_REPAIR),
        Pattern("at_limit", "too close to a limit to tell", direct=True, driving=_TO_THE_REPAIR),
        Pattern("fluid_boils_low", "fluid boils low", direct=True, driving=_NO_LONG_DESCENTS),
        Pattern("fluid_low", "fluid below its mark", direct=True, driving=_NOT_BEFORE_KNOWN),
        Pattern("fluid_class", "fluid of the wrong class", direct=True, driving=_NO_LONG_DESCENTS),
        Pattern(
            "sticking", "stiff, seized, or not letting go", direct=True, driving=_TO_THE_REPAIR
        ),
        Pattern("handbrake_weak", "handbrake holds badly", direct=True, driving=_CHOCK_IT),
        Pattern("hose_cracked", "hose cracked or chafed", direct=True),
        Pattern("thickness_varies", "disc thickness varies round the disc", direct=True),
        Pattern("run_out", "disc runs out", direct=True),
        Pattern("uneven", "linings worn unlike each other", direct=True),
        Pattern("pedal_pulses", "pedal pulses"),
        Pattern("nothing_unusual", "nothing unusual in what was measured", sound=True),
        UNDECIDED,
    ),
    confounders=(
        Confounder(
            "not_looked",
            "Hoses, pipes and cylinders were not looked at: a leak or bulge may be there unseen.",
            0.5,
            only_sound=True,
        ),
        Confounder(
            "over_lip",
            "A disc may have been measured across its rust lip, and is thinner than it read.",
            0.6,
            only_sound=True,
        ),
        Confounder(
            "not_seated", "Rust, play or loose nuts may have moved the dial, not the disc.", 0.5
        ),
        Confounder(
            "body_not_judged",
            "Not every disc or drum was measured and held against its mark.",
            0.6,
            only_sound=True,
        ),
        Confounder(
            "fluid_not_judged",
            "The boiling point of the fluid was not measured, or its class is not known.",
            0.8,
            only_sound=True,
        ),
        Confounder("pedal_not_tried", "Nobody noted how the pedal feels.", 0.5, only_sound=True),
    ),
    leaves_apart=("wheels off", "callipers or drums off", "brake fluid reservoir open"),
    evidence_group="brakes",
    assess=assess,
    formulas=(
        Formula("pads_*", "|inner − outer pad|, mm"),
        Formula("sides_*", "|thinnest lining left − thinnest lining right|, mm"),
        Formula("disc_left_*", "thinnest reading of the disc − mark on the disc, mm"),
        Formula(
            "varies_*",
            "thickest − thinnest of the points round the disc, mm; u of each point: √(d²/12 + "
            "0.002²), d the last digit read",
        ),
        Formula("drum_left_*", "mark on the drum − larger of its diameters, mm"),
        Formula("oval_*", "|diameter − diameter a quarter turn on|, mm"),
        Formula(
            "above_wet",
            "boiling point − wet boiling point of the class, K",
            "49 CFR 571.116 (from memory)",
        ),
    ),
    example={
        "ready.stands": "yes",
        "ready.looked": "yes",
        "given.pedal": "firm",
        "given.level": "between",
        "pads.fl.inner": "2.0 mm",
        "pads.fl.outer": "5.5 mm",
        "pads.fr.inner": "5.0 mm",
        "pads.fr.outer": "5.5 mm",
        "pads.rl.inner": "7.0 mm",
        "pads.rl.outer": "7.5 mm",
        "pads.rr.inner": "7.0 mm",
        "pads.rr.outer": "7.0 mm",
    },
    sentences={
        # customer
        "customer.lining_gone": "{where}: the brake lining is gone, and metal rubs on metal. The "
        "car should not be driven.",
        "customer.hose_or_leak": "{where}: a brake hose bulges or a brake leaks. It can lose its "
        "pressure at any stop; the car should not be driven.",
        "customer.fluid_boiled": "The pedal went soft after hard braking, as it does when brake "
        "fluid boils. The car should not be driven until that is put right.",
        "customer.pedal_not_firm": "The brake pedal is not as it should be: {pedal}. The car "
        "should not be driven until it is known why.",
        "customer.disc_cracked": "{where}: the brake disc is cracked and can break. The car should "
        "not be driven.",
        "customer.beyond_mark": "{where}: brake disc or drum is worn beyond the limit stamped on "
        "it. It has to be renewed.",
        "customer.lining_thin": "Little brake lining is left: {linings}. Pads are usually "
        "renewed at {usual}.",
        "customer.at_limit": "{where}: so close to a limit that it should be treated as reached, "
        "unless a better measurement shows otherwise.",
        "customer.fluid_boils_low": "The brake fluid boils at {boils}; it should not boil below "
        "{wet}. It has to be renewed.",
        "customer.fluid_at_limit": "The brake fluid boils at {boils}, too close to the {wet} below "
        "which it should not boil to tell. It should be treated as reached, and renewed.",
        "customer.fluid_low": "The brake fluid stands below its mark. Worn linings do that, and so "
        "does a leak; it has to be found out which.",
        "customer.fluid_class": "The brake fluid that was filled is not of the class that the car "
        "asks for.",
        "customer.sticking": "{where}: parts of the brake are stiff or stuck, so that it may drag "
        "or pull.",
        "customer.handbrake_sticks": "The handbrake does not let go.",
        "customer.handbrake_weak": "The handbrake: {handbrake}.",
        "customer.hose_cracked": "{where}: the brake hose is cracked or chafed on the outside and "
        "should be renewed soon.",
        "customer.thickness_varies": "{where}: the brake disc is not equally thick all round, "
        "which can be felt as shaking.",
        "customer.run_out": "{where}: the brake disc wobbles more than usual.",
        "customer.uneven": "{where}: the linings are worn unlike each other.",
        "customer.pedal_pulses": "The brake pedal pulses while braking.",
        "customer.nothing_unusual": "Brake lining left: {linings}; pads are usually renewed at "
        "{usual}. Nothing unusual in what was measured.",
        "customer.unlooked": "Not looked at: {what}.",
        "customer.undecided": "Too little was measured to say how the brakes are.",
        # technician
        "next.all_usual": "Nothing unusual. Note the linings: the next visit shows the wear.",
        "too_few": "{where}: measure both pads, the inner one too, or the shoes' lining.",
        "judged": "{what}: {value}: {words}.",
        "judged_bare": "{what}: {words}.",
        "next.lining_gone": "{where}: off the road. Disc or drum goes with it; look at piston, "
        "boot and slides before new pads.",
        "next.hose_or_leak": "{where}: off the road. Hoses of an axle together; a wet lining is "
        "renewed, and the level says how much is gone.",
        "next.fluid_boiled": "Renew the fluid, and ask what made it hot: dragging brake, "
        "load, descent, age of the fluid.",
        "next.pedal_not_firm": "Do not move it. Level and leaks, air, hoses under "
        "pressure, master cylinder; hard: vacuum and its valve.",
        "next.disc_cracked": "{where}: off the road. Renew in pairs.",
        "next.beyond_mark": "{where}: renew in pairs. No turning down to below the mark.",
        "next.lining_thin": "{where}: both sides of the axle together. Why this one first: slides, "
        "piston, hose?",
        "next.at_limit": "{where}: clean it, lip off, measure at several places with the "
        "micrometer. Until then treat it as reached.",
        "next.fluid_boils_low": "Renew the fluid with the class on the cap; measure again "
        "from a bleeder.",
        "next.fluid_low": "Linings and leaks first. Topping up hides both.",
        "next.fluid_class": "Drain and flush. Silicone beside glycol means seals and "
        "control unit by the maker's word.",
        "next.sticking": "{where}: slides out, clean, the maker's grease; boot and piston; a hose "
        "that lets nothing back. Compare temperatures left and right after a drive.",
        "next.handbrake_weak": "Adjustment, cable or motor, linings; left against right.",
        "next.hose_cracked": "{where}: bend the hose; inner layers seen, then renew now.",
        "next.thickness_varies": "{where}: what made it? Run-out, a dragging brake, rust from "
        "standing.",
        "next.run_out": "{where}: turn the disc on the hub by one stud and measure again.",
        "next.uneven": "{where}: inner thinner: slides or piston. One side thinner: hose, piston, "
        "handbrake.",
        "next.pedal_pulses": "Run-out and thickness round each disc; where front is felt "
        "in the wheel, rear in the seat.",
        "hub_first": "{where}: measure the hub's face before any second disc goes on.",
        "hub_read": "{where}: the hub's face alone runs out by {hub}. What the hub has, a new disc "
        "will show too.",
        "finer_micrometer": "Thickness variation too close to tell: a micrometer that reads to a "
        "thousandth of a millimetre decides.",
        "no_mark": "{where}: no mark entered. Clean the edge and bell and read it; without it "
        "there is no limit to judge by.",
        "over_lip": "{where}: by calliper only. A rust lip makes a disc read too thick; a "
        "micrometer inside the lip decides.",
        "fluid": "Fluid boils at {boils}; {name} new at least {dry}, wet at least {wet}.",
        "fluid_class_unknown": "No class entered, so the boiling point cannot be judged: read the "
        "cap.",
        "strip": "Strip or pen: {found}. It only sorts out; a boiling point decides.",
        # chart
        "chart": "Brake lining by corner: {linings}.",
    },
)
