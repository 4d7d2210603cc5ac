"""Wheel alignment by string and gauge: toe, thrust and camber, each with its sign and its doubt.

Gaps are read from strings beside the car to two points of each rim, and from a plumb line for
camber. Signs and formulas: `core.wheel_geometry`. What makes a car pull is not measured.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

from measurements.core import wheel_geometry as geometry
from measurements.core.assessment import Also, Assessment, Figure, Sentence, Table, VerdictOutcome
from measurements.core.cautions import STANDS_SILENT, WHEEL_NUTS_AFTERWARDS
from measurements.core.context import Context
from measurements.core.decision import limit_words, verdict_words
from measurements.core.judging import conclude, figure_of, judge, judge_figure, span_for
from measurements.core.procedure import (
    MAKER_FIRST,
    UNDECIDED,
    Caution,
    Choice,
    Confounder,
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
    Product,
    Quantity,
    Row,
    Source,
    Span,
    Text,
)
from measurements.core.readings import Readings
from measurements.core.uncertainty import rectangular
from measurements.core.units import show, show_value
from measurements.core.wheels_by_string import (
    NO_GAPS,
    SIDES,
    SWING_MM,
    SWING_TURNED_MM,
    TURNS,
    Numbers,
    Wheel,
    numbers_of,
    skews_of,
    wheels_of,
)
from measurements.core.wording import at_head

AXLES = ("front", "rear")
CORNERS = ("fl", "fr", "rl", "rr")

USUAL_TOTAL_DEG = 0.3
"""Either side of nought: most passenger cars' total toe in front (common practice)."""
USUAL_THRUST_DEG = 0.25
"""Either side of nought: at a steering ratio of 16 the wheel then stands 4° off, which most drivers
see (common practice)."""
USUAL_CROSS_DEG = 0.5
"""Camber, left less right (common practice)."""
USUAL_RIDE_MM = 15.0
"""Ride height, left less right (common practice)."""
TOLD_SWING_MM = 1.0
"""A swing that is told although the mean is free of it (common practice)."""
SKEW_DEG = 0.3
"""A string that stands more askew is set up anew rather than corrected (judgement)."""
DISAGREE_DEG = 0.3
"""Total toe by strings less that by tape (judgement)."""
BY_EYE_MM = rectangular(0.5)
"""Holding a rule to a string: ± 0.5 mm. With a tape's own 0.5 mm and its marks of 1 mm, a gap read
by eye has a standard uncertainty of 0.5 mm: 0.10° a wheel over 420 mm."""

COMMON = Source("C", "common practice")

# --- figures ----------------------------------------------------------------------------------


@dataclass
class Sheet:
    """Figures in their order with the verdicts on those that may be judged and have a limit."""

    context: Context
    readings: Readings
    figures: list[Figure] = field(default_factory=list)
    verdicts: list[VerdictOutcome] = field(default_factory=list)

    def add(
        self,
        key: str,
        label: str,
        quantity: str,
        number: Any,
        span: Span | None = None,
        *,
        judged: bool = False,
        because: str = "",
    ) -> None:
        """number: with uncertainty, or None and then `because`."""
        if number is None:
            figure = Figure(key, label, quantity, None, absent_because=because)
        else:
            figure = figure_of(key, label, quantity, number)
        self.figures.append(figure)
        if number is None or not judged:
            return
        verdict = judge_figure(PROCEDURE, figure, self.context, span)
        if verdict.outcome != "no_limit":
            self.verdicts.append(verdict)

    def maker(self, key: str) -> Span | None:
        """The limit that was entered from the maker's data for this kind of figure."""
        return span_for(PROCEDURE, f"figure.{key}", self.context, self.readings)

    def outcome(self, key: str) -> str:
        found = next((v for v in self.verdicts if v.address == f"figure.{key}"), None)
        return found.outcome if found else ""

    def value(self, key: str) -> Figure | None:
        return next((f for f in self.figures if f.key == key and f.value is not None), None)


def _either_side(bound: float) -> Span:
    return Span(-bound, bound, COMMON)


def _figures(
    wheels: Mapping[str, Wheel],
    numbers: Numbers,
    skews: Mapping[str, Any],
    sheet: Sheet,
    held: bool,
) -> None:
    """held: nothing about the wheels is judged, only the set-up."""
    tapes = _tapes(numbers)
    usable = _usable(wheels, skews, tapes, sheet, held)
    centred = "centred" not in sheet.readings.unticked
    for code, wheel in wheels.items():
        if any(f"wheels.{code}_{turn}.front" in sheet.readings.by_address for turn in TURNS):
            _toe(wheel, sheet, usable[code] and (wheel.axle == "rear" or centred))
    for axle in AXLES:
        pair = [f"{axle[0]}l", f"{axle[0]}r"]
        _total(axle, [wheels[code] for code in pair], all(usable[c] for c in pair), tapes, sheet)
    _headings(wheels, numbers, sheet, centred, usable["rl"] and usable["rr"])
    _cambers(wheels, sheet, held)
    for code, wheel in wheels.items():
        if wheel.swing is not None and wheel.turned:
            label = f"rim of the {wheel.label}, swing between the two turns"
            limit = Span(None, SWING_TURNED_MM, COMMON)
            sheet.add(f"runout_{code}", label, "length", wheel.swing, limit, judged=True)
    for axle in AXLES:
        left, right = (numbers.get(f"corners.{axle[0]}{side}.ride") for side in "lr")
        if left is not None and right is not None:
            label, limit = f"ride height {axle}, left less right", _either_side(USUAL_RIDE_MM)
            sheet.add(f"ride_{axle}", label, "length", left - right, limit, judged=True)


def _tapes(numbers: Numbers) -> dict[str, tuple[Any, Any]]:
    """Axle -> total toe by a tape across the tyres, degrees and mm."""
    found = {}
    for axle in AXLES:
        ends: list[Any] = [
            numbers.get(f"tape.{axle}.{key}") for key in ("ahead", "behind", "between")
        ]
        if all(end is not None for end in ends):
            try:
                found[axle] = (geometry.tape_total_deg(*ends), ends[1] - ends[0])
            except geometry.ImpossibleAngleError:
                continue
    return found


def _usable(
    wheels: Mapping[str, Wheel],
    skews: Mapping[str, Any],
    tapes: Mapping[str, tuple[Any, Any]],
    sheet: Sheet,
    held: bool,
) -> dict[str, bool]:
    """Corner -> whether its toe may be judged: strings that stand, agree with the tape, and a rim
    that does not swing too far."""
    for side, skew in skews.items():
        label = f"string on the {side}, spread towards the front (outward +)"
        sheet.add(f"skew_{side}", label, "angle", skew, _either_side(SKEW_DEG), judged=True)
    for axle, (total, in_mm) in tapes.items():
        sheet.add(f"tape_{axle}", f"total toe {axle} by tape (in +)", "angle", total)
        label = f"total toe {axle} by tape across the tyres (in +)"
        sheet.add(f"tape_mm_{axle}", label, "length", in_mm)
        left, right = wheels[f"{axle[0]}l"].toe, wheels[f"{axle[0]}r"].toe
        if left is not None and right is not None:
            label, limit = f"total toe {axle}, strings less tape", _either_side(DISAGREE_DEG)
            sheet.add(f"disagree_{axle}", label, "angle", left + right - total, limit, judged=True)
    crooked = {side for side in SIDES if sheet.outcome(f"skew_{side}") == "outside"}
    agree = not any(sheet.outcome(f"disagree_{axle}") == "outside" for axle in AXLES)
    return {
        code: agree
        and not held
        and wheel.trusted
        and wheel.side not in crooked
        and not wheel.blurred
        for code, wheel in wheels.items()
    }


def _toe(wheel: Wheel, sheet: Sheet, judged: bool) -> None:
    code, label, because, toe = wheel.code, wheel.label, wheel.why, wheel.toe
    in_mm = None if toe is None else geometry.toe_mm(toe, wheel.span)
    slip = None if toe is None else geometry.side_slip_m_per_km(toe)
    limit = sheet.maker(f"toe_{wheel.axle}")
    sheet.add(
        f"toe_{code}", f"toe {label} (in +)", "angle", toe, limit, judged=judged, because=because
    )
    over = f"toe {label} over the rim span (in +)"
    sheet.add(f"toe_mm_{code}", over, "length", in_mm, because=because)
    to_side = f"side slip to expect {label} (toe-in +)"
    sheet.add(f"slip_{code}", to_side, "side_slip", slip, because=because)


def _total(
    axle: str,
    pair: Sequence[Wheel],
    usable: bool,
    tapes: Mapping[str, tuple[Any, Any]],
    sheet: Sheet,
) -> None:
    """Total toe by the strings; by the tape where there are none, or none that can be used."""
    left, right = pair
    strings = None if left.toe is None or right.toe is None else left.toe + right.toe
    by_tape = axle in tapes and not (usable and strings is not None)
    total = tapes[axle][0] if by_tape else strings
    judged = not _held(sheet.readings) if by_tape else usable
    limit = sheet.maker(f"total_{axle}")
    if limit is None and axle == "front":
        limit = _either_side(USUAL_TOTAL_DEG)
    label = f"total toe {axle} (in +)"
    sheet.add(f"total_{axle}", label, "angle", total, limit, judged=judged, because=NO_GAPS)
    if strings is not None:
        in_mm = geometry.toe_mm(left.toe, left.span) + geometry.toe_mm(right.toe, right.span)
        over, limit = f"total toe {axle} over the rim span (in +)", sheet.maker(f"total_mm_{axle}")
        sheet.add(f"total_mm_{axle}", over, "length", in_mm, limit, judged=usable)


def _headings(
    wheels: Mapping[str, Wheel], numbers: Numbers, sheet: Sheet, centred: bool, usable: bool
) -> None:
    """Where the rear and the front pair point, and what that does to the steering wheel."""
    pairs = [[wheels[f"{axle[0]}{side}"].toe for side in "lr"] for axle in AXLES]
    lead, thrust = (
        None if left is None or right is None else geometry.half_difference(left, right)
        for left, right in pairs
    )
    why = "the toe of both rear wheels is needed"
    limit = _either_side(USUAL_THRUST_DEG)
    label = "thrust angle (right +)"
    sheet.add("thrust", label, "angle", thrust, limit, judged=usable, because=why)
    if thrust is not None:
        sheet.add("thrust_iso", "thrust angle in ISO 8855 axes (left +)", "angle", -thrust)
    why = "the toe of both front wheels is needed"
    if lead is not None and not centred:
        lead, why = None, "the steering wheel was not held straight ahead"
    sheet.add("lead", "front pair points (right +)", "angle", lead, because=why)
    ratio, off = numbers.get("given.ratio"), None
    why = "thrust and front lead are needed"
    if ratio is None:
        why = "the steering ratio is not known"
    elif lead is not None and thrust is not None:
        off = geometry.steering_wheel_off(thrust, lead, ratio)
    label = "steering wheel off when driving straight (right +)"
    sheet.add("wheel_off", label, "angle", off, because=why)


def _cambers(wheels: Mapping[str, Wheel], sheet: Sheet, held: bool) -> None:
    for wheel in wheels.values():
        if wheel.camber is None:
            continue
        sheet.add(
            f"camber_{wheel.code}",
            f"camber {wheel.label} (top outward +)",
            "angle",
            wheel.camber,
            sheet.maker(f"camber_{wheel.axle}"),
            judged=not held and wheel.level and not wheel.blurred,
        )
    for axle in AXLES:
        left, right = wheels[f"{axle[0]}l"], wheels[f"{axle[0]}r"]
        if left.camber is None or right.camber is None:
            continue
        sheet.add(
            f"cross_{axle}",
            f"camber {axle}, left less right",
            "angle",
            left.camber - right.camber,
            sheet.maker(f"cross_{axle}") or _either_side(USUAL_CROSS_DEG),
            judged=not held and all(w.level and not w.blurred for w in (left, right)),
        )


# --- what was seen ----------------------------------------------------------------------------


def _seen(
    wheels: Mapping[str, Wheel], sheet: Sheet, readings: Readings
) -> dict[str, tuple[str, ...]]:
    """Pattern -> wheels or axles, in the order of the declared patterns."""
    outside = {
        verdict.address.removeprefix("figure.")
        for verdict in sheet.verdicts
        if verdict.outcome == "outside"
    }
    found: dict[str, tuple[str, ...]] = {}
    if readings.given("play") == "found":
        found["play_first"] = ()
    skewed = [
        code
        for code, wheel in wheels.items()
        if f"skew_{wheel.side}" in outside or f"disagree_{wheel.axle}" in outside
    ]
    if skewed:
        found["string_not_square"] = tuple(skewed)
    blurred = tuple(code for code, wheel in wheels.items() if wheel.blurred)
    if blurred:
        found["runout_too_large_to_tell"] = blurred
    for axle in AXLES:
        corners = [f"{axle[0]}{side}" for side in "lr"]
        off = tuple(code for code in corners if f"toe_{code}" in outside)
        if off or outside & {f"total_{axle}", f"total_mm_{axle}"}:
            found[f"toe_off_{axle}"] = off or (axle,)
        leaning = tuple(code for code in corners if f"camber_{code}" in outside)
        found["camber_off"] = found.get("camber_off", ()) + leaning
        for key, pattern in (("cross", "camber_differs"), ("ride", "stands_uneven")):
            if f"{key}_{axle}" in outside:
                found[pattern] = (*found.get(pattern, ()), axle)
    if "thrust" in outside:
        found["thrust_off"] = ("rear",)
    return {
        pattern.code: found[pattern.code]
        for pattern in PROCEDURE.patterns
        if pattern.code in found and (found[pattern.code] or pattern.code == "play_first")
    }


def _held(readings: Readings) -> str:
    """Why nothing is judged, whatever was read: a key of the sentences, or ""."""
    if readings.given("play") == "found":
        return "held.play"
    return "held.unsettled" if readings.given("settled") == "no" else ""


def assess(readings: Readings, context: Context) -> Assessment:
    """Angles of each wheel, then of the axles, then of the car; no verdict on a crooked set-up."""
    numbers = numbers_of(readings)
    skews = skews_of(numbers)
    wheels = wheels_of(readings, numbers, skews)
    sheet = Sheet(context, readings)
    sheet.verdicts += judge(PROCEDURE, readings, context)
    held = _held(readings)
    if readings.by_address:
        _figures(wheels, numbers, skews, sheet, bool(held))
    sheet.verdicts = [verdict for verdict in sheet.verdicts if _counts(verdict)]
    seen = _seen(wheels, sheet, readings)
    decided = all(sheet.outcome(key) == "within" for key in ("total_front", "thrust")) and not any(
        verdict.outcome == "cannot_tell" for verdict in sheet.verdicts
    )
    lead = next(iter(seen), "even" if decided else "undecided")
    readings = replace(readings, missing=_missing(readings, numbers))
    return conclude(
        PROCEDURE,
        readings,
        context,
        pattern=lead,
        where=seen.get(lead, ()),
        also=tuple(Also(code, where) for code, where in seen.items() if code != lead),
        figures=sheet.figures,
        verdicts=sheet.verdicts,
        confounders=_confounders(wheels, readings, context),
        tables=(_table(wheels, sheet, context),) if readings.by_address else (),
        customer=_customer(lead, seen, wheels, sheet, held),
        technician=_technician(lead, seen, wheels, sheet, held),
        chart=_chart(wheels, seen, sheet),
    )


def _counts(verdict: VerdictOutcome) -> bool:
    """Gaps have no limit of their own; a verdict that says so would only be in the way."""
    return verdict.outcome != "no_limit"


def _missing(readings: Readings, numbers: Numbers) -> tuple[str, ...]:
    """What is declared as needed, and what the readings that are there ask for besides."""
    lacking = list(readings.missing)
    if any(address.endswith((".top", ".bottom")) for address in numbers):
        lacking += [key for key in ("given.height",) if key not in numbers]
    if any(address.endswith(".hub") for address in numbers):
        keys = ("given.track_front", "given.track_rear", "given.wheelbase")
        lacking += [key for key in keys if key not in numbers]
        lacking += [f"corners.{c}.hub" for c in CORNERS if f"corners.{c}.hub" not in numbers]
    return tuple(dict.fromkeys(lacking))


def _confounders(wheels: Mapping[str, Wheel], readings: Readings, context: Context) -> list[str]:
    measured = [wheel for wheel in wheels.values() if wheel.toe is not None]
    weak = []
    if readings.given("play") in (None, "not_looked"):
        weak.append("play_not_checked")
    settled = readings.given("settled")
    if settled is None or settled == "no":
        weak.append("settled_unknown" if settled is None else "unsettled")
    if any(not wheel.trusted for wheel in measured):
        weak.append("strings_unchecked")
    if "centred" in readings.unticked and any(wheel.axle == "front" for wheel in measured):
        weak.append("not_centred")
    if any(wheel.camber is not None and not wheel.level for wheel in wheels.values()):
        weak.append("floor_unknown")
    if any(wheel.swing is None for wheel in measured):
        weak.append("runout_unknown")
    if not any(limit.address.startswith("figure.t") for limit in context.limits):
        weak.append("no_maker_limits")
    return weak


# --- words, table, chart ----------------------------------------------------------------------


def _places(codes: Sequence[str], wheels: Mapping[str, Wheel]) -> str:
    """ "Front left, front right", or the axle by name, at the head of a sentence."""
    named = {code: wheel.label for code, wheel in wheels.items()}
    named |= {axle: PROCEDURE.say(f"axle.{axle}").text for axle in AXLES}
    return at_head(", ".join(named[code] for code in codes))


def _signed(value: float, kind: str, places: int = 2) -> str:
    """The size of an angle and its direction in words: "0.22° toe-in"."""
    size = show_value(abs(value), "angle", places=places)
    nought = abs(value) < 0.5 * 10**-places
    way = "none" if nought else "plus" if value > 0 else "minus"
    return PROCEDURE.say(f"{kind}.{way}", size=size).text


def _found(keys: Sequence[str], sheet: Sheet) -> str:
    """ "total toe front 0.62° toe-in (usual is −0.3° to 0.3°)" for what lies outside."""
    said = []
    for verdict in sheet.verdicts:
        key = verdict.address.removeprefix("figure.")
        if key not in keys or verdict.outcome != "outside" or verdict.value is None:
            continue
        common = verdict.source is not None and verdict.source.tag == "C"
        said.append(
            PROCEDURE.say(
                "part.usual" if common else "part.maker",
                what=_what(key),
                value=_value(key, verdict.value, verdict.quantity, sheet.context),
                limit=limit_words(verdict, sheet.context.units),
            ).text
        )
    return "; ".join(said)


def _value(key: str, value: float, quantity: str, context: Context) -> str:
    kind = key.split("_")[0]
    if quantity == "length":
        return show_value(value, quantity, context.units, _places_of(context))
    if kind in _KINDS:
        return _signed(value, _KINDS[kind])
    return show_value(value, quantity, places=2)


_KINDS = {"toe": "toe", "total": "toe", "camber": "camber", "thrust": "thrust"}


def _what(key: str) -> str:
    names = {"fl": "front left", "fr": "front right", "rl": "rear left", "rr": "rear right"}
    kind, _, place = key.rpartition("_")
    return PROCEDURE.say(
        f"what.{kind.removesuffix('_mm') or key}", place=names.get(place, place)
    ).text


def _keys_of(pattern: str) -> tuple[str, ...]:
    axle = pattern.rsplit("_", 1)[-1]
    if pattern.startswith("toe_off"):
        corners = [f"{axle[0]}{side}" for side in "lr"]
        return (f"total_{axle}", f"total_mm_{axle}", *(f"toe_{code}" for code in corners))
    return {
        "thrust_off": ("thrust",),
        "camber_off": tuple(f"camber_{code}" for code in CORNERS),
        "camber_differs": tuple(f"cross_{axle}" for axle in AXLES),
        "stands_uneven": tuple(f"ride_{axle}" for axle in AXLES),
    }.get(pattern, ())


def _customer(
    lead: str,
    seen: Mapping[str, tuple[str, ...]],
    wheels: Mapping[str, Wheel],
    sheet: Sheet,
    held: str,
) -> list[Sentence]:
    said = [
        PROCEDURE.say(
            f"customer.{code}", where=_places(where, wheels), found=_found(_keys_of(code), sheet)
        )
        for code, where in seen.items()
    ]
    if lead == "even":
        total, thrust = sheet.value("total_front"), sheet.value("thrust")
        said.append(
            PROCEDURE.say(
                "customer.even",
                total=_signed(total.value or 0.0, "toe") if total else "",
                thrust=_signed(thrust.value or 0.0, "thrust") if thrust else "",
            )
        )
    elif lead == "undecided":
        close = any(verdict.outcome == "cannot_tell" for verdict in sheet.verdicts)
        key = "customer.unsettled" if held == "held.unsettled" else "customer.undecided"
        said.append(PROCEDURE.say("customer.close" if close and not held else key))
    for key in ("sensor", "cameras"):
        if sheet.readings.given(key) == "not_done":
            said.append(PROCEDURE.say(f"customer.{key}"))
    said.append(PROCEDURE.say("customer.pull"))
    return said


def _technician(
    lead: str,
    seen: Mapping[str, tuple[str, ...]],
    wheels: Mapping[str, Wheel],
    sheet: Sheet,
    held: str,
) -> list[Sentence]:
    told = []
    if held:
        told.append(PROCEDURE.say(held))
    if lead == "undecided" and not held:
        told.append(PROCEDURE.say("next.undecided"))
    elif lead == "even":
        told.append(PROCEDURE.say("next.all_even"))
    told += [
        PROCEDURE.say(f"next.{code}", where=_places(where, wheels)) for code, where in seen.items()
    ]
    for verdict in sheet.verdicts:
        if verdict.outcome in ("outside", "cannot_tell") and verdict.value is not None:
            told.append(
                PROCEDURE.say(
                    "judged",
                    what=at_head(verdict.label),
                    value=show(verdict.value, verdict.u, verdict.quantity, sheet.context.units),
                    words=verdict_words(verdict, sheet.context.units),
                )
            )
    told += _of_the_set_up(wheels, sheet)
    off = sheet.value("wheel_off")
    if off is not None and off.value is not None and sheet.outcome("thrust"):
        clear = abs(off.value) > 2 * off.u
        value = _signed(off.value, "thrust", 0)
        doubt = show_value(2 * off.u, "angle", places=0)
        key = "wheel.off" if clear else "wheel.near"
        told.append(PROCEDURE.say(key, value=value, doubt=doubt))
    thrust = sheet.value("thrust")
    if thrust is not None and thrust.value is not None:
        told.append(
            PROCEDURE.say(
                "thrust.both",
                right=show_value(thrust.value, "angle", places=2),
                left=show_value(-thrust.value, "angle", places=2),
            )
        )
    told.append(PROCEDURE.say("signs"))
    told += [PROCEDURE.say(f"{key}.{state}") for key, state in _afterwards(sheet.readings)]
    told.append(PROCEDURE.say("pull"))
    return told


def _of_the_set_up(wheels: Mapping[str, Wheel], sheet: Sheet) -> list[Sentence]:
    """Strings, corrections, run-out: what stands between the gaps and the angles."""
    told = []
    measured = [wheel for wheel in wheels.values() if wheel.toe is not None]
    for side in SIDES:
        skew = sheet.value(f"skew_{side}")
        if skew is not None and skew.value is not None:
            value = show(skew.value, skew.u, "angle")
            told.append(PROCEDURE.say("corrected", side=side, value=value))
    if any(not wheel.trusted for wheel in measured):
        told.append(PROCEDURE.say("apparent"))
    if "centred" in sheet.readings.unticked and any(w.axle == "front" for w in measured):
        told.append(PROCEDURE.say("not_centred"))
    once = [wheel for wheel in measured if wheel.swing is None]
    if once and once[0].span is not None:
        angle = geometry.toe_deg(1.0, 0.0, once[0].span.nominal_value)
        told.append(
            PROCEDURE.say(
                "once",
                where=at_head(", ".join(wheel.label for wheel in once)),
                angle=show_value(angle, "angle", places=2),
                span=show_value(once[0].span.nominal_value, "length", places=0, unit="mm"),
            )
        )
    swinging = [
        wheel
        for wheel in measured
        if wheel.swing is not None
        and wheel.turned
        and wheel.swing.nominal_value > TOLD_SWING_MM
        and not wheel.blurred
    ]
    if swinging:
        told.append(
            PROCEDURE.say("swings", where=_places([wheel.code for wheel in swinging], wheels))
        )
    if any(wheel.camber is not None and not wheel.level for wheel in wheels.values()):
        told.append(PROCEDURE.say("floor_unknown"))
    return told


def _afterwards(readings: Readings) -> list[tuple[str, str]]:
    """What an adjustment leaves to be done, as it was noted; not noted is said as well."""
    found = []
    for key in ("sensor", "cameras"):
        state = readings.given(key)
        if state in ("done", "not_done"):
            found.append((key, state))
        elif state is None and readings.given("adjusted") is True:
            found.append((key, "not_noted"))
    return found


def _table(wheels: Mapping[str, Wheel], sheet: Sheet, context: Context) -> Table:
    def cell(key: str) -> str:
        figure = sheet.value(key)
        if figure is None or figure.value is None:
            return ""
        return show(figure.value, figure.u, figure.quantity, context.units)

    rows = [
        (
            wheel.label,
            cell(f"toe_{wheel.code}"),
            cell(f"toe_mm_{wheel.code}"),
            cell(f"camber_{wheel.code}"),
            cell(f"slip_{wheel.code}"),
            show_value(wheel.swing.nominal_value, "length", context.units) if wheel.swing else "",
        )
        for wheel in wheels.values()
    ]
    head = ("wheel", "toe (in +)", "over the rim span", "camber (out +)", "side slip", "rim swing")
    return Table("Wheel by wheel", head, tuple(rows))


def _chart(
    wheels: Mapping[str, Wheel], seen: Mapping[str, tuple[str, ...]], sheet: Sheet
) -> dict[str, Any]:
    """The car from above; figures stand beside each wheel, marked where it is off."""
    if not any(wheel.toe is not None for wheel in wheels.values()):
        return {}
    marked = {
        code for pattern in ("toe_off_front", "toe_off_rear") for code in seen.get(pattern, ())
    }
    drawn, told = [], []
    for code, wheel in wheels.items():
        lines: list[str] = []
        if wheel.toe is not None and wheel.span is not None:
            value = wheel.toe.nominal_value
            lines.append(_signed(value, "short"))
            lines.append(
                PROCEDURE.say(
                    "doubt", value=show_value(2 * wheel.toe.std_dev, "angle", places=2)
                ).text
            )
            in_mm = geometry.toe_mm(value, wheel.span.nominal_value)
            lines.append(
                show_value(in_mm, "length", sheet.context.units, _places_of(sheet.context))
            )
            told.append(PROCEDURE.say("at", where=wheel.label, value=_signed(value, "toe")).text)
        if wheel.camber is not None:
            camber = show_value(wheel.camber.nominal_value, "angle", places=1)
            lines.append(PROCEDURE.say("short.camber", value=camber).text)
        drawn.append(
            {
                "code": code,
                "label": wheel.label,
                "toe": None if wheel.toe is None else wheel.toe.nominal_value,
                "lines": lines,
                "marked": code in marked or wheel.axle in marked,
            }
        )
    thrust, lead = sheet.value("thrust"), sheet.value("lead")
    notes = [PROCEDURE.say("chart.signs").text]
    unknown = any(wheel.toe is not None and not wheel.trusted for wheel in wheels.values())
    if unknown or "string_not_square" in seen:
        notes.append(PROCEDURE.say("chart.apparent").text)
    for key, figure in (("thrust", thrust), ("lead", lead)):
        if figure is not None and figure.value is not None:
            value = _signed(figure.value, "thrust")
            doubt = show_value(2 * figure.u, "angle", places=2)
            notes.append(PROCEDURE.say(f"chart.{key}", value=value, doubt=doubt).text)
    title = PROCEDURE.say("chart", wheels=", ".join(told), more=" ".join(notes)).text
    return {
        "kind": "wheels",
        "title": title.strip(),
        "wheels": drawn,
        "thrust": thrust.value if thrust else None,
        "lead": lead.value if lead else None,
        "notes": notes,
    }


def _places_of(context: Context) -> int:
    return 3 if context.units == "us" else 1


# --- the declaration --------------------------------------------------------------------------

_FIND_THE_PLAY = Driving(
    "only_as_stated",
    "Play in a joint or wheel bearing can grow without warning: slowly, and no further than to "
    "where it can be looked at, until it is known which part it is and what the maker allows.",
)

_AFTER: Mapping[str, str] = {"done": "done", "not_done": "not done", "not_fitted": "not fitted"}


def _gap(key: str, label: str, help: str, *, needed: bool = False) -> Quantity:
    return Quantity(
        key=key,
        label=label,
        help=help,
        quantity="length",
        needed=needed,
        possible=(-50.0, 1500.0),
        likely=(10.0, 400.0),
        instrument="tape",
    )


def _size_field(
    key: str, label: str, help: str = "", *, needed: bool = False, finer: bool = False
) -> Quantity:
    return Quantity(
        key=key,
        label=label,
        help=help,
        quantity="length",
        needed=needed,
        finer=finer,
        possible=(100.0, 1200.0),
        likely=(280.0, 760.0),
        instrument="tape",
    )


def _of_the_car(key: str, label: str, least: float, most: float) -> Quantity:
    return Quantity(
        key=key,
        label=label,
        help="From the maker's data, or by tape; needed where hub gaps are entered.",
        quantity="length",
        origin="told",
        possible=(300.0, 12000.0),
        likely=(least, most),
    )


def _across(key: str, label: str, help: str, most: float) -> Quantity:
    return Quantity(
        key=key,
        label=label,
        help=help,
        quantity="length",
        finer=True,
        possible=(100.0, 4000.0),
        likely=(400.0, most),
        instrument="tape",
    )


PROCEDURE = Procedure(
    name="alignment",
    title="Wheel alignment by string and gauge",
    version=1,
    group="Wheels and tyres",
    purpose="Shows where each wheel points (toe), how it leans (camber), and where the rear axle "
    "steers the car (thrust), each with its doubt. Toe-in, a top that leans outward, and thrust to "
    "the right count as plus.",
    proves_nothing_when="A joint or bearing has play, the car was not rolled after it was lifted, "
    "or the strings were not set along the car with its different tracks allowed for. It never "
    "answers why a car pulls: caster is not measured, and toe does not make a car pull.",
    cautions=(
        Caution(
            "The car can roll over a hand or foot.",
            "Level ground; when it is rolled, someone sits at the brake and nobody stands before "
            "it. Then brake on and chocks, before anyone kneels at a wheel.",
            "common practice",
        ),
        Caution(
            "Never under a car on a jack alone.",
            "Rated stands on hard level ground, at the maker's lifting points, before a wheel is "
            "turned or an adjuster is reached from below.",
            "OSHA 29 CFR 1910.244(a)",
            from_memory=True,
        ),
        Caution(
            "Never take the steering wheel off to make it stand straight.",
            "It holds an air bag and sensors. An off-centre wheel is put right at the tie rods, "
            "both alike, after the thrust is known.",
            "maker's instructions",
        ),
        Caution(
            "A lock nut left loose lets a wheel steer by itself.",
            "After adjusting: every lock nut and bolt to the maker's torque, marked, noted with "
            "tool and name; new self-locking nuts where the maker asks for them.",
            "common practice",
        ),
        Caution(
            "Parts bent in a blow are renewed, not heated or bent back.",
            "Toe or camber that cannot be reached by the maker's adjusters asks why.",
            "common practice",
        ),
        WHEEL_NUTS_AFTERWARDS,
        Caution(
            "After an adjustment, systems that steer or brake by themselves may act wrongly.",
            "Steering-angle sensor and cameras are set as the maker says before the car is "
            "driven on them.",
            "maker's instructions",
            "customer",
        ),
        Caution(
            "Taut strings trip people, and snap back when they part.",
            "Stands weighted, the bay closed off, eyes away from a string under tension.",
            "common practice",
        ),
        STANDS_SILENT,
        MAKER_FIRST,
    ),
    preconditions=(
        Precondition(
            "pressures",
            "Tyre pressures set; sizes and tread alike left and right.",
            "pressures_unset",
        ),
        Precondition(
            "stance",
            "Ride height and load looked at: nothing sagged, nothing heavy in the boot.",
            "stance_unknown",
        ),
        Precondition(
            "square",
            "Strings along the car at hub height on both sides, set by the hubs, with different "
            "tracks in front and behind allowed for.",
        ),
        Precondition("centred", "Steering wheel held straight ahead, rack in its middle."),
        Precondition(
            "level", "Floor level across each axle, or its tilt entered at each wheel (camber)."
        ),
    ),
    effort=Effort(
        minutes=40,
        tools=("two strings on stands", "rule or gap gauge", "plumb line or level", "tape"),
        state="any",
        risk="Trip hazard; the car is rolled by hand.",
    ),
    given=(
        Choice(
            key="play",
            label="Play in joints, bearings and steering",
            needed=True,
            choices={
                "none": "looked for, none found",
                "found": "found",
                "not_looked": "not looked for",
            },
        ),
        Choice(
            key="settled",
            label="Settled after it was last lifted or adjusted",
            needed=True,
            choices={
                "rolled": "rolled a car's length",
                "plates": "on slip plates, bounced",
                "no": "no",
            },
        ),
        _size_field(
            "span",
            "Rim span: from the front point to the rear one",
            "The two points at which the gaps are read, at hub height. Millimetres of toe mean "
            "nothing without it.",
            needed=True,
        ),
        _size_field("height", "Height from the bottom point to the top one", "For camber."),
        _of_the_car("track_front", "Track, front", 1000.0, 2000.0),
        _of_the_car("track_rear", "Track, rear", 1000.0, 2000.0),
        _of_the_car("wheelbase", "Wheelbase", 1700.0, 4500.0),
        Quantity(
            key="ratio",
            label="Steering ratio",
            quantity="gear_ratio",
            origin="told",
            possible=(3.0, 60.0),
            likely=(10.0, 24.0),
            help="Degrees at the steering wheel for one degree at the front wheels.",
        ),
        _size_field("span_rear", "Rim span at the rear, if unlike", finer=True),
        _size_field("height_rear", "Height at the rear, if unlike", finer=True),
        Flag(
            key="adjusted",
            label="Adjusted before this reading",
            origin="told",
            finer=True,
        ),
        Choice(
            key="sensor",
            label="Steering-angle sensor set afterwards",
            origin="told",
            finer=True,
            choices=_AFTER,
        ),
        Choice(
            key="cameras",
            label="Driver-assistance cameras set afterwards",
            origin="told",
            finer=True,
            choices=_AFTER,
        ),
        Text(key="note", label="Note", longest=200, finer=True, origin="told"),
    ),
    grids=(
        Grid(
            "wheels",
            "Gaps at each wheel",
            Product(
                OfCar("corners"),
                Fixed(
                    (
                        Row("stood", "as it stands"),
                        Row("turned", "rolled on half a turn of the wheel", optional=True),
                    )
                ),
            ),
            (
                _gap(
                    "front",
                    "front gap",
                    "From the string to the rim's front point. More in front than behind is "
                    "toe-in, which counts as plus.",
                    needed=True,
                ),
                _gap("rear", "rear gap", "From the string to the rim's rear point.", needed=True),
                _gap("top", "top gap", "From a plumb line outside the wheel; for camber."),
                _gap(
                    "bottom",
                    "bottom gap",
                    "More at the bottom than at the top: the top leans outward, which counts as "
                    "plus.",
                ),
            ),
            help="Read again half a turn on: the mean is free of the rim's run-out, of which 1 mm "
            "is 0.14° over 420 mm, and has less doubt.",
        ),
        Grid(
            "corners",
            "Each corner",
            OfCar("corners"),
            (
                Quantity(
                    key="hub",
                    label="string to hub",
                    quantity="length",
                    finer=True,
                    possible=(-50.0, 1500.0),
                    likely=(10.0, 500.0),
                    instrument="tape",
                    help="The same feature on all four. With tracks and wheelbase it tells how the "
                    "string stands, and the toe is corrected for it.",
                ),
                Quantity(
                    key="floor",
                    label="floor tilt at the wheel",
                    quantity="angle",
                    finer=True,
                    possible=(-15.0, 15.0),
                    likely=(-2.0, 2.0),
                    instrument="level_gauge",
                    help="Plus: it falls towards the outside of the car.",
                ),
                Quantity(
                    key="swing",
                    label="rim run-out, whole swing",
                    quantity="length",
                    finer=True,
                    possible=(0.0, 30.0),
                    likely=(0.0, 3.0),
                    instrument="dial_gauge",
                    help="Wheel spun against a dial or pointer at the points of the gaps; not "
                    "needed where the wheel is read again half a turn on.",
                ),
                Quantity(
                    key="ride",
                    label="ride height",
                    quantity="length",
                    finer=True,
                    possible=(0.0, 2000.0),
                    likely=(100.0, 900.0),
                    instrument="tape",
                    help="From the hub's middle up to the wing's edge, or as the maker says.",
                ),
            ),
        ),
        Grid(
            "tape",
            "Tape across the tyres",
            OfCar("axles"),
            (
                _across("ahead", "ahead of the axle", "Between marks at one height.", 2200.0),
                _across("behind", "behind the axle", "The same marks rolled to behind.", 2200.0),
                _across("between", "from ahead to behind", "Along the car.", 1000.0),
            ),
            help="A second way to the total toe, which needs no string; finds strings that are "
            "not square.",
        ),
    ),
    limits=(Limit("corners.*.swing", high=SWING_MM, source=COMMON),),
    handling_u={
        **dict.fromkeys(("front", "rear", "top", "bottom"), BY_EYE_MM),
        # Hub caps and marks are found again less well; tracks as printed or taped; judgement, mm.
        "hub": 1.0,
        "ahead": 1.0,
        "behind": 1.0,
        "span": 2.0,
        "span_rear": 2.0,
        "height": 2.0,
        "height_rear": 2.0,
        "between": 5.0,
        "track_front": 2.0,
        "track_rear": 2.0,
        "wheelbase": 5.0,
        "ride": 2.0,
        "swing": 0.1,
        "floor": 0.05,
        "ratio": 0.5,
    },
    maker_figures={
        "total_front": ("Total toe, front (in +)", "angle"),
        "total_rear": ("Total toe, rear (in +)", "angle"),
        "toe_front": ("Toe of each front wheel (in +)", "angle"),
        "toe_rear": ("Toe of each rear wheel (in +)", "angle"),
        "thrust": ("Thrust angle (right +)", "angle"),
        "camber_front": ("Camber of each front wheel (top outward +)", "angle"),
        "camber_rear": ("Camber of each rear wheel (top outward +)", "angle"),
        "cross_front": ("Camber front, left less right", "angle"),
        "cross_rear": ("Camber rear, left less right", "angle"),
        "ride_front": ("Ride height front, left less right", "length"),
        "ride_rear": ("Ride height rear, left less right", "length"),
        "total_mm_front": ("Total toe front over the rim span (in +)", "length"),
        "total_mm_rear": ("Total toe rear over the rim span (in +)", "length"),
    },
    compares=("toe_f*", "toe_r*", "total_front", "total_rear", "thrust", "lead", "camber_*"),
    patterns=(
        Pattern("play_first", "play in a joint or bearing", direct=True, driving=_FIND_THE_PLAY),
        Pattern("string_not_square", "strings not straight along the car", direct=True),
        Pattern("runout_too_large_to_tell", "rim swings too far to tell", direct=True),
        Pattern("toe_off_front", "toe of the front wheels unlike what is asked", direct=True),
        Pattern("toe_off_rear", "toe of the rear wheels unlike what is asked", direct=True),
        Pattern("thrust_off", "rear wheels point to one side", direct=True),
        Pattern("camber_off", "camber unlike what is asked", direct=True),
        Pattern("camber_differs", "camber unlike left and right", direct=True),
        Pattern("stands_uneven", "ride height unlike left and right", direct=True),
        Pattern("even", "toe and thrust as usual, as far as a limit is known", sound=True),
        UNDECIDED,
    ),
    confounders=(
        Confounder(
            "play_not_checked",
            "Nobody looked for play in joints and bearings: angles may change with every reading.",
            0.5,
        ),
        Confounder(
            "pressures_unset",
            "Tyre pressures were not set, or tyres are unlike: the car leans.",
            0.6,
        ),
        Confounder("stance_unknown", "Ride height and load were not looked at.", 0.8),
        Confounder(
            "unsettled",
            "The car was not rolled after it was lifted: the tyres hold the wheels askew.",
            0.1,
        ),
        Confounder(
            "settled_unknown", "It is not noted whether the car was rolled before the reading.", 0.5
        ),
        Confounder(
            "strings_unchecked",
            "It is not known whether the strings stood straight along the car.",
            0.2,
        ),
        Confounder(
            "not_centred",
            "The steering wheel was not held straight: front wheels only count as a pair.",
            0.7,
        ),
        Confounder("floor_unknown", "The floor's tilt is not known: camber may be off by it.", 0.8),
        Confounder(
            "runout_unknown",
            "Run-out of a rim is not known: it goes into the toe of that wheel whole.",
            0.7,
        ),
        Confounder(
            "no_maker_limits",
            "No toe limits of the maker were entered; only what is usual could be asked.",
            0.6,
            only_sound=True,
        ),
    ),
    needs_before=("tyres",),
    evidence_group="wheel_geometry",
    assess=assess,
    formulas=(
        Formula(
            "toe_*",
            "asin((front gap − rear gap) / rim span) − skew of the string, °; in +; gaps are means "
            "of both turns where both were read",
            "sign: ISO 8855:2011, 7.1.6",
        ),
        Formula("toe_mm_*", "rim span × sin(toe), mm; in +"),
        Formula("slip_*", "1000 × tan(toe), m/km; toe-in +"),
        Formula("total_*", "toe left + toe right, °; in +", "ISO 8855:2011, 7.1.7"),
        Formula("total_mm_*", "rim span × sin(toe), left + right, mm; in +"),
        Formula("tape_*", "2 × asin((behind − ahead) / (2 × distance along the car)), °; in +"),
        Formula("tape_mm_*", "behind − ahead, mm; in +"),
        Formula("disagree_*", "total toe by strings − total toe by tape, °"),
        Formula("thrust", "(toe rear left − toe rear right) / 2, °; right +", "common practice"),
        Formula(
            "thrust_iso",
            "−(toe rear left − toe rear right) / 2, °; left +",
            "axes of ISO 8855 (from memory)",
        ),
        Formula("lead", "(toe front left − toe front right) / 2, °; right +"),
        Formula("wheel_off", "(thrust − lead) × steering ratio, °; right +"),
        Formula(
            "skew_*",
            "atan(((track front / 2 + hub gap front) − (track rear / 2 + hub gap rear)) / "
            "wheelbase), °; spreading towards the front +",
        ),
        Formula(
            "camber_*",
            "asin((bottom gap − top gap) / height) − floor tilt, °; top outward +",
            "sign: ISO 8855 (from memory)",
        ),
        Formula("cross_*", "camber left − camber right, °"),
        Formula("runout_*", "half of the difference between the two turns' front − rear gaps, mm"),
        Formula("ride_*", "ride height left − right, mm"),
    ),
    example={
        "ready.pressures": "yes",
        "ready.stance": "yes",
        "ready.square": "yes",
        "ready.centred": "yes",
        "given.play": "none",
        "given.settled": "rolled",
        "given.span": "420 mm",
        "given.ratio": "16",
        "wheels.fl_stood.front": "123 mm",
        "wheels.fl_stood.rear": "118 mm",
        "wheels.fr_stood.front": "122 mm",
        "wheels.fr_stood.rear": "118 mm",
        "wheels.rl_stood.front": "120 mm",
        "wheels.rl_stood.rear": "119 mm",
        "wheels.rr_stood.front": "119 mm",
        "wheels.rr_stood.rear": "118 mm",
    },
    sentences={
        # parts
        "axle.front": "front axle",
        "axle.rear": "rear axle",
        "toe.plus": "{size} toe-in",
        "toe.minus": "{size} toe-out",
        "toe.none": "{size}, neither toe-in nor toe-out",
        "thrust.plus": "{size} to the right",
        "thrust.minus": "{size} to the left",
        "thrust.none": "{size}, straight ahead",
        "camber.plus": "{size} with the top outward",
        "camber.minus": "{size} with the top inward",
        "camber.none": "{size}, upright",
        "short.plus": "{size} toe-in",
        "short.minus": "{size} toe-out",
        "short.none": "{size}",
        "short.camber": "camber {value}",
        "doubt": "± {value}",
        "at": "{where} {value}",
        "what.toe": "toe {place}",
        "what.total": "total toe {place}",
        "what.thrust": "thrust",
        "what.camber": "camber {place}",
        "what.cross": "camber {place}, left less right",
        "what.ride": "ride height {place}, left less right",
        "part.usual": "{what} {value}, where {limit} is usual",
        "part.maker": "{what} {value}, where the maker asks for {limit}",
        # customer
        "customer.play_first": "There is play in a joint or bearing of wheels or steering. Until "
        "that is put right, the angles of the wheels change with every reading, and setting them "
        "would be of no use.",
        "customer.string_not_square": "Our measuring strings did not stand straight along the car. "
        "They have to be set up anew before anything can be said of the wheels' angles.",
        "customer.runout_too_large_to_tell": "{where}: the rim runs so far out of true that the "
        "angle of the wheel cannot be told from it. The wheel itself should be looked at.",
        "customer.toe_off_front": "Front wheels: {found}. Toe-in counts as plus. Beyond "
        "that, tyres wear faster.",
        "customer.toe_off_rear": "Rear wheels: {found}. Toe-in counts as plus. Beyond "
        "that, tyres wear faster.",
        "customer.thrust_off": "The rear wheels together point to one side: {found}. To the right "
        "counts as plus. The car then runs a little sideways, and the steering wheel stands off "
        "its middle on a straight road.",
        "customer.camber_off": "How the wheels lean: {found}. Outward at the top counts as plus.",
        "customer.camber_differs": "The wheels lean unlike on the left and on the right: {found}.",
        "customer.stands_uneven": "The car stands unlike on the left and on the right: {found}.",
        "customer.even": "The wheels point as is usual, as far as a limit is known: front wheels "
        "together {total}, rear axle {thrust}.",
        "customer.close": "What we measured lies too close to a limit to tell which side of it. It "
        "has to be measured more finely.",
        "customer.unsettled": "The car had not been rolled after it was lifted, so the angles that "
        "we read do not hold. They are read again.",
        "customer.undecided": "Too little was measured, or not under the right conditions, to say "
        "how the wheels stand.",
        "customer.sensor": "The steering-angle sensor has not been set yet after the adjustment. "
        "Systems that use it may act wrongly until it is.",
        "customer.cameras": "The driver-assistance cameras have not been set yet after the "
        "adjustment. Systems that use them may act wrongly until they are.",
        "customer.pull": "Why a car pulls to one side is not answered by this test.",
        # technician
        "held.play": "Play found: no verdict on any angle. Find the part, hold it against the "
        "maker's limit, measure anew after the repair.",
        "held.unsettled": "Not settled: no verdict. Roll it a car's length, or bounce it on slip "
        "plates, and read again; the same after each adjustment.",
        "next.undecided": "Nothing is clearly on one side of a limit. Complete the wheels, read "
        "each again half a turn on, use a finer gauge, or enter the maker's limits.",
        "next.all_even": "Nothing unusual. Keep the sheet: it is the one to compare with after a "
        "kerb or a repair.",
        "next.play_first": "Which joint or bearing? Loaded and unloaded, wheel rocked at top and "
        "bottom, then at the sides, someone else looking.",
        "next.string_not_square": "{where}: strings and hubs, or strings and tape, don't fit "
        "together. Tracks differ front to rear on many cars, the classic error. Same hub feature "
        "on all four, strings untouched by bodywork; set up again.",
        "next.runout_too_large_to_tell": "{where}: read again half a turn on and take the mean; "
        "beyond that, clean hub face and rim, look for a bend, try another wheel.",
        "next.toe_off_front": "{where}: thrust first. Set the rear as far as it adjusts, then both "
        "tie rods with the steering wheel held straight; roll and read again.",
        "next.toe_off_rear": "{where}: bushes, arms and the axle's mounts for damage before any "
        "adjuster is turned; adjust the rear before the front.",
        "next.thrust_off": "Compare wheelbase left and right; bushes, mounts, a shifted or bent "
        "axle. Where the rear adjusts, by its toe; else the front follows the thrust line.",
        "next.camber_off": "{where}: spring, strut, arm, subframe place. Adjust only where the "
        "maker provides for it; toe changes with it and is read again.",
        "next.camber_differs": "{where}: a bent strut or arm, a shifted subframe, springs, floor. "
        "Measure the floor's tilt again before anything is renewed.",
        "next.stands_uneven": "{where}: spring, tyre, load, floor. Toe and camber move with ride "
        "height: put it right first.",
        "judged": "{what}: {value}: {words}.",
        "corrected": "String on the {side} spreads towards the front by {value}; its toe figures "
        "are corrected for that.",
        "apparent": "Strings not known to stand along the car: toe is only apparent, without a "
        "verdict. Enter hub gaps, tracks and wheelbase, or set the strings square.",
        "not_centred": "Steering wheel not held straight: front toe counts only in total; no "
        "verdict on a front wheel alone, no front lead.",
        "once": "{where}: read in one position only. 1 mm of rim run-out is {angle} over {span}, "
        "and stands unseen in the figure.",
        "swings": "{where}: the rim swings, and the mean of the two turns is free of it. Hub face, "
        "rim seat or a bent rim?",
        "floor_unknown": "Floor not known to be level: camber stands as read, without a verdict.",
        "wheel.off": "Driving straight, the steering wheel stands {value} of where it was held (± "
        "{doubt}).",
        "wheel.near": "Driving straight, the steering wheel stands where it was held, as far as "
        "this set-up can tell ({value} ± {doubt}).",
        "thrust.both": "Thrust by the trade's sign, right plus: {right}. In ISO 8855 axes, left "
        "plus: {left}.",
        "signs": "Signs: toe-in plus for each wheel and in total; camber plus with the top "
        "outward; thrust, lead and steering wheel plus to the right.",
        "sensor.done": "Steering-angle sensor set.",
        "sensor.not_done": "Steering-angle sensor: still to be set as the maker says.",
        "sensor.not_noted": "Adjusted: steering-angle sensor set or not? Not noted.",
        "cameras.done": "Driver-assistance cameras set.",
        "cameras.not_done": "Driver-assistance cameras: still to be set as the maker says.",
        "cameras.not_noted": "Adjusted: driver-assistance cameras set or not? Not noted.",
        "pull": "Pull: not answered by this test. Swap tyres side to side, feel for a dragging "
        "brake, then cross camber and caster; toe does not make a car pull.",
        # chart
        "chart": "Car from above: {wheels}. {more}",
        "chart.signs": "Toe-in counts as plus, and to the right.",
        "chart.apparent": "Strings not square to the car, or not known to be.",
        "chart.thrust": "Thrust {value}, ± {doubt}.",
        "chart.lead": "Front pair {value}, ± {doubt}.",
    },
)
