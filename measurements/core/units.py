"""Quantities, their one stored unit, and the units that may be typed.

Conversion is pint's, with a closed registry of the definitions below; typed text never reaches it.
Gauge and absolute pressure are different quantities, and so are temperature and its difference.
Factors: SI brochure and NIST SP 811 (exact, or to the digits that they print).
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from functools import cache
from typing import Any

STANDARD_ATMOSPHERE_KPA = 101.325
ZERO_CELSIUS_K = 273.15

_DEFINITIONS = """
volt = [voltage]
millivolt = 0.001 * volt
kilovolt = 1000 * volt
ampere = [current]
milliampere = 0.001 * ampere
ohm = volt / ampere
milliohm = 0.001 * ohm
kiloohm = 1000 * ohm
megaohm = 1000000 * ohm
microohm = 0.000001 * ohm
metre = [length]
millimetre = 0.001 * metre
centimetre = 0.01 * metre
kilometre = 1000 * metre
inch = 0.0254 * metre
thou = 0.001 * inch
thirty_second = 0.03125 * inch
mile = 1609.344 * metre
second = [time]
minute = 60 * second
hour = 3600 * second
millisecond = 0.001 * second
kilogram = [mass]
gram = 0.001 * kilogram
pound = 0.45359237 * kilogram
newton = kilogram * metre / second ** 2
pascal = newton / metre ** 2
kilopascal = 1000 * pascal
bar = 100000 * pascal
millibar = 100 * pascal
pound_per_square_inch = 6894.757293168361 * pascal
inch_of_mercury = 3386.389 * pascal
kilogram_force_per_square_centimetre = 98066.5 * pascal
kilogram_force = 9.80665 * newton
pound_force = 4.4482216152605 * newton
newton_metre = newton * metre
pound_force_foot = 1.3558179483314004 * newton_metre
kelvin = [temperature]
degree_celsius = kelvin; offset: 273.15
degree_fahrenheit = 0.5555555555555555555555555556 * kelvin; offset: 255.3722222222222222222222
fahrenheit_step = 0.5555555555555555555555555556 * kelvin
litre = 0.001 * metre ** 3
millilitre = 0.001 * litre
us_quart = 0.946352946 * litre
us_gallon = 4 * us_quart
imperial_pint = 0.56826125 * litre
imperial_gallon = 8 * imperial_pint
revolution = [turn]
revolution_per_minute = revolution / minute
kilometre_per_hour = kilometre / hour
mile_per_hour = mile / hour
whole = []
percent = 0.01 * whole
watt = newton * metre / second
kilowatt = 1000 * watt
horsepower_metric = 735.49875 * watt
ampere_hour = ampere * hour
gram_per_cubic_centimetre = gram / centimetre ** 3
millilitre_per_minute = millilitre / minute
litre_per_minute = litre / minute
kilopascal_per_minute = kilopascal / minute
pound_per_square_inch_per_minute = pound_per_square_inch / minute
radian = []
degree_of_angle = 0.017453292519943295 * radian
square_millimetre = millimetre ** 2
metre_per_kilometre = metre / kilometre
gram_per_second = gram / second
kilogram_per_hour = kilogram / hour
pound_per_minute = pound / minute
arc_minute = degree_of_angle / 60
hertz = 1 / second
each_minute = 1 / minute
"""


class UnknownUnitError(ValueError):
    """A unit that the quantity does not take; the message lists those that it takes."""

    def __init__(self, unit: str, quantity: str) -> None:
        self.unit = unit
        allowed = ", ".join(QUANTITIES[quantity].units)
        label = QUANTITIES[quantity].label
        super().__init__(f"{unit[:20]!r} is no unit of {label} here; use {allowed}")


@dataclass(frozen=True)
class QuantityKind:
    """One kind of quantity. `unit` is the stored one; `units` symbol -> name in the registry.

    aliases: other spellings -> symbol; shown: what a US or imperial shop uses instead of `unit`.
    """

    key: str
    label: str
    unit: str
    units: Mapping[str, str]
    aliases: Mapping[str, str] = field(default_factory=dict)
    shown: Mapping[str, str] = field(default_factory=dict)


_PRESSURE = {
    "kPa": "kilopascal",
    "bar": "bar",
    "mbar": "millibar",
    "psi": "pound_per_square_inch",
    "inHg": "inch_of_mercury",
    "kgf/cm²": "kilogram_force_per_square_centimetre",
}
_PRESSURE_ALIASES = {
    "lb/in²": "psi",
    "kg/cm²": "kgf/cm²",
    "kgf/cm2": "kgf/cm²",
    "kg/cm2": "kgf/cm²",
}

_KINDS = (
    QuantityKind(
        "voltage",
        "voltage",
        "V",
        {"V": "volt", "mV": "millivolt", "kV": "kilovolt"},
        {"volt": "V", "volts": "V", "Volt": "V"},
    ),
    QuantityKind(
        "current", "current", "A", {"A": "ampere", "mA": "milliampere"}, {"amp": "A", "amps": "A"}
    ),
    QuantityKind(
        "resistance",
        "resistance",
        "Ω",
        {"Ω": "ohm", "mΩ": "milliohm", "µΩ": "microohm", "kΩ": "kiloohm", "MΩ": "megaohm"},
        {
            "ohm": "Ω",
            "ohms": "Ω",
            "R": "Ω",
            "mohm": "mΩ",
            "kohm": "kΩ",
            "Mohm": "MΩ",
            "uohm": "µΩ",
            "uΩ": "µΩ",
            "µohm": "µΩ",
            "k": "kΩ",
        },
    ),
    QuantityKind(
        "gauge_pressure",
        "gauge pressure",
        "kPa",
        _PRESSURE,
        {**_PRESSURE_ALIASES, "psig": "psi", "barg": "bar"},
        {"us": "psi", "imperial": "psi"},
    ),
    QuantityKind(
        "absolute_pressure",
        "absolute pressure",
        "kPa",
        _PRESSURE,
        {**_PRESSURE_ALIASES, "psia": "psi", "bara": "bar"},
        {"us": "inHg"},
    ),
    QuantityKind(
        "vacuum",
        "vacuum",
        "kPa",
        {
            "kPa": "kilopascal",
            "mbar": "millibar",
            "bar": "bar",
            "inHg": "inch_of_mercury",
        },
        {},
        {"us": "inHg", "imperial": "inHg"},
    ),
    QuantityKind(
        "temperature",
        "temperature",
        "°C",
        {"°C": "degree_celsius", "°F": "degree_fahrenheit"},
        {
            "C": "°C",
            "F": "°F",
            "degC": "°C",
            "degF": "°F",
            "℃": "°C",
            "ºC": "°C",
            "ºF": "°F",
            "℉": "°F",
            "° C": "°C",
            "° F": "°F",
        },
        {"us": "°F"},
    ),
    QuantityKind(
        "temperature_difference",
        "temperature difference",
        "K",
        {"K": "kelvin", "°F step": "fahrenheit_step"},
        {},
        {"us": "°F step"},
    ),
    QuantityKind(
        "length",
        "length",
        "mm",
        {
            "mm": "millimetre",
            "cm": "centimetre",
            "m": "metre",
            "in": "inch",
            "thou": "thou",
            "/32 in": "thirty_second",
        },
        {
            '"': "in",
            "inch": "in",
            "″": "in",
            "thousandths": "thou",
            "/32": "/32 in",
            "/32in": "/32 in",
            '/32"': "/32 in",
        },
        {"us": "in"},
    ),
    QuantityKind(
        "distance",
        "distance",
        "km",
        {"km": "kilometre", "mi": "mile"},
        {"mile": "mi", "miles": "mi"},
        {"us": "mi", "imperial": "mi"},
    ),
    QuantityKind(
        "volume",
        "volume",
        "L",
        {
            "L": "litre",
            "mL": "millilitre",
            "US qt": "us_quart",
            "US gal": "us_gallon",
            "imp pt": "imperial_pint",
            "imp gal": "imperial_gallon",
        },
        {"l": "L", "ml": "mL", "qt": "US qt", "ltr": "L"},
        {"us": "US qt"},
    ),
    QuantityKind(
        "time",
        "time",
        "s",
        {"s": "second", "min": "minute", "h": "hour", "ms": "millisecond"},
        {"sec": "s", "hr": "h", "m": "min"},
    ),
    QuantityKind(
        "rotation",
        "engine speed",
        "rpm",
        {"rpm": "revolution_per_minute"},
        {"1/min": "rpm", "/min": "rpm", "r/min": "rpm", "min⁻¹": "rpm"},
    ),
    QuantityKind(
        "torque",
        "torque",
        "N·m",
        {"N·m": "newton_metre", "lbf·ft": "pound_force_foot"},
        {
            "Nm": "N·m",
            "N m": "N·m",
            "lbft": "lbf·ft",
            "lb·ft": "lbf·ft",
            "lb ft": "lbf·ft",
            "ft·lb": "lbf·ft",
            "ft lb": "lbf·ft",
        },
        {"us": "lbf·ft", "imperial": "lbf·ft"},
    ),
    QuantityKind(
        "force",
        "force",
        "N",
        {"N": "newton", "kgf": "kilogram_force", "lbf": "pound_force"},
        {"kg": "kgf", "kp": "kgf", "lb": "lbf", "lbs": "lbf"},
        {"us": "lbf", "imperial": "lbf"},
    ),
    QuantityKind(
        "speed",
        "speed",
        "km/h",
        {"km/h": "kilometre_per_hour", "mph": "mile_per_hour"},
        {"kmh": "km/h", "kph": "km/h"},
        {"us": "mph", "imperial": "mph"},
    ),
    QuantityKind("ratio", "share", "%", {"%": "percent"}, {"percent": "%", "per cent": "%"}),
    QuantityKind(
        "mass",
        "mass",
        "kg",
        {"kg": "kilogram", "g": "gram", "lb": "pound"},
        {"lbs": "lb"},
        {"us": "lb"},
    ),
    QuantityKind(
        "power",
        "power",
        "kW",
        {"kW": "kilowatt", "W": "watt", "hp (metric)": "horsepower_metric"},
        {"PS": "hp (metric)"},
    ),
    QuantityKind(
        "capacity", "battery capacity", "A·h", {"A·h": "ampere_hour"}, {"Ah": "A·h", "A h": "A·h"}
    ),
    QuantityKind(
        "density",
        "density",
        "g/cm³",
        {"g/cm³": "gram_per_cubic_centimetre"},
        {"g/cm3": "g/cm³", "SG": "g/cm³"},
    ),
    QuantityKind(
        "flow",
        "flow",
        "mL/min",
        {"mL/min": "millilitre_per_minute", "L/min": "litre_per_minute"},
        {"ml/min": "mL/min", "l/min": "L/min"},
    ),
    QuantityKind(
        "mass_flow",
        "air mass",
        "g/s",
        {"g/s": "gram_per_second", "kg/h": "kilogram_per_hour", "lb/min": "pound_per_minute"},
        {"gps": "g/s", "kg/hr": "kg/h"},
    ),
    QuantityKind(
        "pressure_rate",
        "change of pressure",
        "kPa/min",
        {"kPa/min": "kilopascal_per_minute", "psi/min": "pound_per_square_inch_per_minute"},
        {},
        {"us": "psi/min", "imperial": "psi/min"},
    ),
    QuantityKind(
        "angle", "angle", "°", {"°": "degree_of_angle", "′": "arc_minute"}, {"deg": "°", "'": "′"}
    ),
    QuantityKind(
        "cross_section",
        "cross-section",
        "mm²",
        {"mm²": "square_millimetre"},
        {"mm2": "mm²", "sqmm": "mm²", "qmm": "mm²"},
    ),
    QuantityKind(
        "frequency", "frequency", "Hz", {"Hz": "hertz", "1/min": "each_minute"}, {"/s": "Hz"}
    ),
    QuantityKind("gear_ratio", "gear ratio", "", {"": "whole"}),
    QuantityKind("lambda", "lambda", "", {"": "whole"}),
    QuantityKind("side_slip", "side slip", "m/km", {"m/km": "metre_per_kilometre"}),
    QuantityKind("count", "number", "", {"": "whole"}),
)

QUANTITIES: Mapping[str, QuantityKind] = {kind.key: kind for kind in _KINDS}


def _folded(symbol: str) -> str:
    """One spelling for signs that look alike: ohm sign, micro sign, degree sign, middle dot."""
    for lookalike, ours in (
        ("\u2126", "Ω"),
        ("\u03bc", "µ"),
        ("\u02da", "°"),
        ("\u22c5", "·"),
        ("\u2219", "·"),
        ("*", "·"),
        ("\u00a0", " "),
        ("\u202f", " "),
    ):
        symbol = symbol.replace(lookalike, ours)
    return " ".join(symbol.split())


def unit_symbol(quantity: str, text: str) -> str:
    """Our symbol for a unit as somebody types it; raises UnknownUnitError with the list.

    Small and capital letters are forgiven except where they change a prefix: MV is not mV.

    >>> unit_symbol("resistance", "kohm"), unit_symbol("gauge_pressure", "PSI")
    ('kΩ', 'psi')
    """
    kind = QUANTITIES[quantity]
    folded = _folded(text)
    spellings = {**{symbol: symbol for symbol in kind.units}, **kind.aliases}
    if folded in spellings:
        return spellings[folded]
    found = {
        symbol
        for spelling, symbol in spellings.items()
        if spelling
        and spelling.lower() == folded.lower()
        and not (spelling[0] in "mM" and spelling[0] != folded[0])
    }
    if len(found) == 1:
        return found.pop()
    raise UnknownUnitError(text, quantity)


def shop_unit(quantity: str, system: str = "metric") -> str:
    """The unit in which a shop with this system of units reads the quantity."""
    kind = QUANTITIES[quantity]
    return kind.shown.get(system, kind.unit)


@cache
def _registry() -> Any:
    """Pint with our definitions only, exact decimals, no prefixes."""
    import pint

    registry: Any = pint.UnitRegistry(None, non_int_type=Decimal)
    for line in _DEFINITIONS.strip().splitlines():
        registry.define(line)
    return registry


def convert(value: Decimal | float, quantity: str, unit: str, to: str) -> Decimal:
    """`value` of a quantity from one of its units to another, as an exact decimal.

    >>> convert(Decimal("661"), "voltage", "mV", "V")
    Decimal('0.661')
    """
    number = value if isinstance(value, Decimal) else Decimal(repr(float(value)))
    if unit == to:
        return number
    units = QUANTITIES[quantity].units
    for symbol in (unit, to):
        if symbol not in units:
            raise UnknownUnitError(symbol, quantity)
    if quantity != "temperature":
        return number * _factor(units[unit], units[to])
    registry = _registry()
    converted: Decimal = registry.Quantity(number, units[unit]).to(units[to]).magnitude
    return converted


@cache
def _factor(unit: str, to: str) -> Decimal:
    """How many of one named unit is one of the other; pint multiplies by the same number."""
    factor: Decimal = _registry().Quantity(Decimal(1), unit).to(to).magnitude
    return factor


def moves_the_point_only(quantity: str, unit: str, to: str) -> bool:
    """Whether a value has the same figures in both units, as in mV and V.

    >>> moves_the_point_only("voltage", "mV", "V"), moves_the_point_only("temperature", "°F", "°C")
    (True, False)
    """
    return convert_width(Decimal(1), quantity, unit, to).normalize().as_tuple().digits == (1,)


def convert_width(width: Decimal | float, quantity: str, unit: str, to: str) -> Decimal:
    """A difference or uncertainty of the quantity, so that °C to °F carries no offset."""
    if quantity == "temperature":
        steps = {"°C": "K", "°F": "°F step"}
        return convert(width, "temperature_difference", steps[unit], steps[to])
    return convert(width, quantity, unit, to)


def absolute_kpa(gauge_kpa: float, ambient_kpa: float) -> float:
    """Absolute pressure of a gauge reading; without the ambient pressure there is none."""
    if not math.isfinite(ambient_kpa) or ambient_kpa <= 0:
        raise ValueError(f"ambient pressure {ambient_kpa!r} kPa must be a number above 0")
    return gauge_kpa + ambient_kpa


def gauge_kpa(absolute: float, ambient_kpa: float) -> float:
    """Gauge pressure of an absolute one, kPa."""
    return absolute - ambient_kpa


def show(
    value: float,
    u: float,
    quantity: str,
    system: str = "metric",
    digit: float = 0.0,
    unit: str = "",
) -> str:
    """A value with its expanded uncertainty (k = 2), e.g. "0.661 V ± 0.007".

    digit: the reading's own resolution in the stored unit, finer places are not shown;
    unit: shown instead of the shop's.
    """
    from measurements.core.uncertainty import decimal_places, fixed

    if u <= 0 and digit <= 0:
        return show_value(value, quantity, system, unit=unit)
    stored = QUANTITIES[quantity].unit
    unit = unit or shop_unit(quantity, system)
    number = float(convert(value, quantity, stored, unit))
    wide = float(convert_width(2 * u, quantity, stored, unit))
    fine = float(convert_width(digit, quantity, stored, unit)) if digit else 0.0
    places = decimal_places(wide, fine)
    text = _with_unit(fixed(number, places), unit)
    return f"{text} ± {fixed(wide, places)}" if u > 0 else text


def show_value(
    value: float, quantity: str, system: str = "metric", places: int | None = None, unit: str = ""
) -> str:
    """A value alone in the shop's unit, to `places` decimals (default: as few as tell it)."""
    from measurements.core.uncertainty import fixed

    unit = unit or shop_unit(quantity, system)
    number = float(convert(value, quantity, QUANTITIES[quantity].unit, unit))
    text = fixed(number, places) if places is not None else f"{number:.6g}".replace("-", "−")
    return _with_unit(text, unit)


LIMIT_FIGURES = 4
"""A limit with more figures than this was not written so: it was converted, or computed."""


def limit_texts(low: float | None, high: float | None, quantity: str, unit: str) -> tuple[str, str]:
    """The bounds of a limit as numbers in `unit`, "" for none, both to the same decimals.

    low, high: in the stored unit. As written, where that is short in this unit; else with as many
    figures as it has in the unit in which it is shortest, at least two. Two decimals below one.

    >>> limit_texts(None, 3.5, "gauge_pressure", "psi"), limit_texts(27, None, "vacuum", "inHg")
    (('', '0.51'), ('8.0', ''))
    >>> limit_texts(13, 14.8, "voltage", "V"), limit_texts(None, 0.2, "voltage", "V")
    (('13.0', '14.8'), ('', '0.20'))
    """
    from measurements.core.uncertainty import fixed

    bounds = [None if bound is None else _in_unit(bound, quantity, unit) for bound in (low, high)]
    places = max(
        (
            _places_of_limit(bound, number, quantity)
            for bound, number in zip((low, high), bounds, strict=True)
            if bound is not None and number is not None
        ),
        default=0,
    )
    first, last = ("" if number is None else fixed(number, places) for number in bounds)
    return first, last


def show_limits(
    low: float | None, high: float | None, quantity: str, system: str = "metric"
) -> tuple[str, str]:
    """The same with the shop's unit: ("13.8 V", "14.8 V").

    >>> show_limits(None, 0.2, "voltage")[1].replace("\\N{NO-BREAK SPACE}", " ")
    '0.20 V'
    """
    unit = shop_unit(quantity, system)
    first, last = limit_texts(low, high, quantity, unit)
    return first and _with_unit(first, unit), last and _with_unit(last, unit)


def _in_unit(value: float, quantity: str, unit: str) -> float:
    return float(convert(value, quantity, QUANTITIES[quantity].unit, unit))


def _figures(number: float) -> tuple[int, int, int]:
    """Figures without noughts at the end, the same with up to three before the point, decimals."""
    _sign, digits, exponent = Decimal(f"{number:.6g}").normalize().as_tuple()
    noughts = max(0, min(3 - len(digits), int(exponent)))
    return len(digits), len(digits) + noughts, max(0, -int(exponent))


def _places_of_limit(bound: float, number: float, quantity: str) -> int:
    """Decimals for a limit that is `number` in the unit shown and `bound` in the stored one."""
    figures, _with_noughts, places = _figures(number)
    if figures > LIMIT_FIGURES:
        kind = QUANTITIES[quantity]
        told = [_figures(_in_unit(bound, quantity, unit)) for unit in (kind.unit, *kind.units)]
        _least, written, decimals = min(told, key=lambda one: one[0])
        if quantity == "temperature":  # its scales have noughts of their own
            places = min(decimals, places)
        else:
            wanted = max(2, min(written, LIMIT_FIGURES))
            places = max(0, wanted - 1 - math.floor(math.log10(abs(number))))
    return max(places, 2) if 0 < abs(number) < 1 else places


def _with_unit(text: str, unit: str) -> str:
    gap = "" if unit in ("°", "′", "", "/32 in") else "\u00a0"
    return f"{text}{gap}{unit}"
