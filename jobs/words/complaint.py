"""Words of a complaint: families, conditions, red flags, and what to ask of a caller.

Conditions are evidence, so their answers are closed codes. "Don't know" is an answer; "not
asked" is none, and the two are kept apart. Families, conditions and red flags are common
practice of the trade.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from shop.words import Table, table

DONT_KNOW = "dont_know"
NOT_ASKED = "not_asked"
RED_FLAG_ADVICE = "do_not_drive"

FAMILY = table(
    "family",
    ("lamp_on", _("a warning lamp is on"), _("a warning lamp is on")),
    ("wont_crank", _("won't crank"), _("the starter doesn't turn the engine")),
    ("cranks_no_start", _("cranks, won't start"), _("the starter turns, the engine doesn't run")),
    ("starts_badly", _("starts badly"), _("starts slowly or only after several tries")),
    (
        "battery_flat_standing",
        _("battery flat after standing"),
        _("the battery is flat after standing"),
    ),
    ("charging_fault", _("doesn't charge"), _("the battery isn't charged while driving")),
    ("noise_by_speed", _("noise"), _("a noise")),
    ("vibration", _("vibration"), _("it shakes or vibrates")),
    ("brakes", _("brakes"), _("it brakes badly, or the pedal is soft, low or hard")),
    ("steering", _("steering: play, knock, heavy"), _("the steering has play, knocks or is heavy")),
    ("pulls", _("pulls to one side"), _("it pulls to one side")),
    ("overheats", _("overheats"), _("the engine gets too hot")),
    ("loses_coolant", _("loses coolant"), _("coolant gets less")),
    ("uses_oil", _("uses oil"), _("it uses oil")),
    ("leaks_fluid", _("leaks a fluid"), _("it leaves a puddle")),
    ("lacks_power", _("lacks power, hesitates"), _("it lacks power or hesitates")),
    ("runs_rough", _("runs rough, misfires"), _("the engine runs unevenly")),
    ("stalls", _("stalls"), _("the engine dies")),
    ("fuel_use", _("uses too much fuel"), _("it uses too much fuel")),
    ("gearbox", _("shifts badly, slips"), _("it shifts badly or slips")),
    ("item_dead", _("an electrical item is dead"), _("something electrical doesn't work")),
    ("water_inside", _("water inside"), _("water gets inside")),
    ("air_conditioning", _("air conditioning"), _("the air conditioning doesn't cool")),
    ("smell_or_smoke", _("smell or smoke"), _("there is a smell or smoke")),
    ("other", _("something else"), _("something else")),
)


@dataclass(frozen=True)
class Condition:
    """One question about when it happens. `several`: more than one answer may hold at once."""

    name: str
    answers: Table
    several: bool


_UNKNOWN = (DONT_KNOW, _("don't know"), _("not known"))

CONDITION = table(
    "condition",
    ("engine_temperature", _("Engine"), _("Engine cold or hot")),
    ("driving_state", _("While"), _("What the car was doing")),
    ("speed_band", _("Road speed"), _("How fast the car went")),
    ("engine_speed_band", _("Engine speed"), _("How fast the engine turned")),
    ("loads_on", _("Switched on or loaded"), _("What was switched on or loaded")),
    ("weather", _("Weather"), _("Weather")),
    ("since_when", _("Since"), _("Since when")),
    ("after_work", _("After"), _("What happened before it began")),
    ("how_often", _("How often"), _("How often")),
)

_ENGINE_TEMPERATURE = table(
    "condition.engine_temperature",
    ("cold", _("cold"), _("engine cold")),
    ("warming_up", _("warming up"), _("while the engine warms up")),
    ("hot", _("hot"), _("engine hot")),
    ("hot_restart", _("hot, after a short stop"), _("engine hot, after a short stop")),
    ("any", _("cold and hot"), _("engine cold and hot")),
    _UNKNOWN,
)
_DRIVING_STATE = table(
    "condition.driving_state",
    ("parked", _("parked"), _("while parked")),
    ("starting", _("starting"), _("while starting the engine")),
    ("idle", _("idle"), _("at idle")),
    ("pulling_away", _("pulling away"), _("when pulling away")),
    ("accelerating", _("accelerating"), _("when accelerating")),
    ("cruising", _("cruising"), _("at steady speed")),
    ("lifting_off", _("lifting off"), _("with the foot off the pedal")),
    ("braking", _("braking"), _("when braking")),
    ("turning", _("turning"), _("in bends or when turning")),
    ("bumps", _("over bumps"), _("over bumps")),
    ("uphill", _("uphill"), _("uphill")),
    ("shifting", _("shifting"), _("when shifting gear")),
    _UNKNOWN,
)
_SPEED_BAND = table(
    "condition.speed_band",
    ("standing", _("standing"), _("standing still")),
    ("crawling", _("to 30 km/h, 20 mph"), _("up to about 30 km/h (20 mph)")),
    ("town", _("30 to 60, 20 to 40 mph"), _("at about 30 to 60 km/h (20 to 40 mph)")),
    ("country", _("60 to 100, 40 to 60 mph"), _("at about 60 to 100 km/h (40 to 60 mph)")),
    ("motorway", _("above 100, 60 mph"), _("above about 100 km/h (60 mph)")),
    ("any", _("any speed"), _("at any speed")),
    _UNKNOWN,
)
_ENGINE_SPEED_BAND = table(
    "condition.engine_speed_band",
    ("idle", _("idle"), _("at idle speed")),
    ("low", _("to 2000"), _("below about 2000 turns a minute")),
    ("middle", _("2000 to 3500"), _("at about 2000 to 3500 turns a minute")),
    ("high", _("above 3500"), _("above about 3500 turns a minute")),
    ("any", _("any"), _("at any engine speed")),
    _UNKNOWN,
)
_LOADS_ON = table(
    "condition.loads_on",
    ("lights", _("lights"), _("lights on")),
    ("blower", _("blower"), _("blower on")),
    ("rear_window", _("rear window heater"), _("rear window heater on")),
    ("air_conditioning", _("air conditioning"), _("air conditioning on")),
    ("wipers", _("wipers"), _("wipers on")),
    ("steering_lock", _("steering at its stop"), _("steering turned to its stop")),
    ("laden", _("laden or towing"), _("laden or with a trailer")),
    ("none", _("nothing"), _("nothing switched on")),
    _UNKNOWN,
)
_WEATHER = table(
    "condition.weather",
    ("dry", _("dry"), _("in dry weather")),
    ("wet", _("rain, wet"), _("in rain or on wet roads")),
    ("damp", _("damp, fog"), _("in damp weather or fog")),
    ("frost", _("frost"), _("in frost")),
    ("heat", _("heat"), _("in hot weather")),
    ("after_wash", _("after a wash"), _("after a wash")),
    ("any", _("any weather"), _("in any weather")),
    _UNKNOWN,
)
_SINCE_WHEN = table(
    "condition.since_when",
    ("today", _("today"), _("since today")),
    ("days", _("some days"), _("for some days")),
    ("weeks", _("some weeks"), _("for some weeks")),
    ("months", _("some months"), _("for some months")),
    ("year", _("a year or more"), _("for a year or more")),
    ("since_bought", _("since bought"), _("since the car was bought")),
    _UNKNOWN,
)
_AFTER_WORK = table(
    "condition.after_work",
    ("nothing", _("nothing"), _("nothing was done before it began")),
    ("work_here", _("work by us"), _("after work by us")),
    ("work_elsewhere", _("work elsewhere"), _("after work elsewhere")),
    ("own_work", _("own work"), _("after work of one's own")),
    ("battery_or_jump", _("battery or jump start"), _("after a battery change or a jump start")),
    ("accessory", _("accessory fitted"), _("after an accessory was fitted")),
    ("tyres", _("tyres or wheels"), _("after tyres or wheels were changed")),
    ("refuelled", _("refuelling"), _("after refuelling")),
    ("knock", _("a knock or kerb"), _("after a knock, a kerb or a pothole")),
    ("water", _("deep water"), _("after deep water")),
    ("long_stand", _("long standing"), _("after the car stood for long")),
    _UNKNOWN,
)
_HOW_OFTEN = table(
    "condition.how_often",
    ("once", _("once"), _("once so far")),
    ("one_in_ten", _("one drive in ten"), _("about one drive in ten")),
    ("one_in_four", _("one drive in four"), _("about one drive in four")),
    ("every_second", _("every second drive"), _("about every second drive")),
    ("every_drive", _("every drive"), _("on every drive")),
    ("always", _("all the time"), _("all the time")),
    _UNKNOWN,
)

CONDITIONS: dict[str, Condition] = {
    condition.name: condition
    for condition in (
        Condition("engine_temperature", _ENGINE_TEMPERATURE, several=False),
        Condition("driving_state", _DRIVING_STATE, several=True),
        Condition("speed_band", _SPEED_BAND, several=True),
        Condition("engine_speed_band", _ENGINE_SPEED_BAND, several=True),
        Condition("loads_on", _LOADS_ON, several=True),
        Condition("weather", _WEATHER, several=True),
        Condition("since_when", _SINCE_WHEN, several=False),
        Condition("after_work", _AFTER_WORK, several=True),
        Condition("how_often", _HOW_OFTEN, several=False),
    )
}
_ALONE = {DONT_KNOW, "any", "none", "nothing"}

# Three answers that separate a family's causes well by its table, asked first. Of two that are
# close (0.04 bits), cold or hot stands before "after": the one is needed to make it happen, the
# other is asked with the first five things anyway.
_FIRST = {
    "lamp_on": ("since_when", "after_work", "how_often"),
    "wont_crank": ("engine_temperature", "after_work", "how_often"),
    "cranks_no_start": ("engine_temperature", "weather", "after_work"),
    "starts_badly": ("engine_temperature", "weather", "after_work"),
    "battery_flat_standing": ("how_often", "after_work", "weather"),
    "charging_fault": ("loads_on", "engine_speed_band", "after_work"),
    "noise_by_speed": ("driving_state", "speed_band", "engine_temperature"),
    "vibration": ("speed_band", "driving_state", "after_work"),
    "brakes": ("driving_state", "engine_temperature", "after_work"),
    "steering": ("driving_state", "speed_band", "after_work"),
    "pulls": ("driving_state", "since_when", "after_work"),
    "overheats": ("driving_state", "speed_band", "after_work"),
    "loses_coolant": ("since_when", "after_work", "engine_temperature"),
    "uses_oil": ("since_when", "driving_state", "after_work"),
    "leaks_fluid": ("loads_on", "weather", "after_work"),
    "lacks_power": ("driving_state", "engine_speed_band", "after_work"),
    "runs_rough": ("engine_temperature", "driving_state", "weather"),
    "stalls": ("engine_temperature", "driving_state", "loads_on"),
    "fuel_use": ("since_when", "after_work", "loads_on"),
    "gearbox": ("engine_temperature", "driving_state", "after_work"),
    "item_dead": ("since_when", "after_work", "weather"),
    "water_inside": ("weather", "driving_state", "after_work"),
    "air_conditioning": ("since_when", "driving_state", "after_work"),
    "smell_or_smoke": ("engine_temperature", "driving_state", "after_work"),
    "other": ("driving_state", "engine_temperature", "after_work"),
}

RED_FLAG = table(
    "red_flag",
    (
        "overheating",
        _("overheating"),
        _("the engine gets too hot"),
        _(
            "Stop away from traffic and switch the engine off. Don't open the cap while it is hot. "
            "Don't drive on: have it towed."
        ),
    ),
    (
        "oil_lamp",
        _("oil pressure lamp on"),
        _("the oil pressure lamp is on"),
        _("Stop and switch the engine off at once. Don't start it again: have it towed."),
    ),
    (
        "brakes",
        _("brakes: pedal soft, low, hard, no effect"),
        _("the brakes don't work as usual"),
        _("Don't drive it, not even slowly or a short way: have it towed."),
    ),
    (
        "fuel_smell",
        _("fuel smell or leak"),
        _("it smells of fuel, or fuel leaks"),
        _(
            "Switch off, no flame, no smoking, everybody away from the car. Don't start it again. "
            "If fuel is running out, call the fire service. Have it towed."
        ),
    ),
    (
        "steering",
        _("steering: loose, sticking, suddenly heavy"),
        _("the steering is loose, sticks or is suddenly heavy"),
        _("Stop as soon as you can do it without danger. Don't drive on: have it towed."),
    ),
    (
        "flashing_engine_lamp",
        _("engine lamp flashing"),
        _("the engine lamp flashes"),
        _(
            "Take the foot off, stop, switch the engine off. Driving on can overheat the exhaust "
            "and start a fire: have it towed."
        ),
    ),
    (
        "smoke_or_burning",
        _("smoke or burning smell"),
        _("there is smoke or a smell of burning"),
        _(
            "Stop, switch off, everybody out and away from the car. Don't open the bonnet. Call "
            "the fire service if you see smoke or flames. Don't drive on: have it towed."
        ),
    ),
    (
        "exhaust_fumes",
        _("exhaust fumes inside"),
        _("exhaust fumes get inside"),
        _(
            "Open all windows, stop, switch the engine off, get out. Exhaust gas can kill "
            "unnoticed: have it towed."
        ),
    ),
    (
        "wheel_or_tyre",
        _("wheel loose, tyre damaged or flat"),
        _("a wheel is loose, or a tyre is damaged or flat"),
        _(
            "Stop away from traffic. Don't drive on: have the wheel seen to where it stands, or "
            "have it towed."
        ),
    ),
)

FIRST_CALL_REQUEST = table(
    "first_call_request",
    (
        "cold_overnight",
        _("leave it cold overnight"),
        _("Please leave the car standing overnight, so that we see it cold."),
    ),
    ("keep_codes", _("don't clear codes"), _("Please don't have stored trouble codes deleted.")),
    (
        "keep_battery",
        _("don't disconnect or jump it"),
        _("Please don't disconnect the battery and don't jump-start the car."),
    ),
    ("all_keys", _("bring every key"), _("Please bring every key.")),
    (
        "wheel_lock_key",
        _("bring the wheel-lock key"),
        _("Please bring the key of the wheel locks."),
    ),
    (
        "quarter_tank",
        _("fuel above a quarter"),
        _("Please have the tank more than a quarter full."),
    ),
)


class ConditionError(ValueError):
    """Answers to conditions that can't be: unknown, or excluding one another."""


def first_conditions(family: str) -> tuple[str, str, str]:
    """The three conditions to ask first for a family; for no family those of "other"."""
    return _FIRST[FAMILY[family or "other"].code]


def condition_order(family: str) -> tuple[str, ...]:
    """All nine conditions, the family's three first."""
    first = first_conditions(family)
    return first + tuple(name for name in CONDITIONS if name not in first)


def read_conditions(given: Mapping[str, Any]) -> dict[str, list[str]]:
    """Answers as they are stored: every condition, with its codes or `not_asked`.

    `given` maps names of conditions to one code or several. Raises ConditionError.
    """
    unknown = [str(name) for name in given if name not in CONDITIONS]
    if unknown:
        raise ConditionError(gettext("“%(name)s” is no condition.") % {"name": unknown[0][:60]})
    return {name: _answers(condition, given.get(name)) for name, condition in CONDITIONS.items()}


def said(conditions: Mapping[str, Sequence[str]]) -> list[str]:
    """The customer's phrases for what was answered; unasked and unknown are left out."""
    return [
        CONDITIONS[name].answers.customer(code)
        for name in CONDITIONS
        for code in _codes(conditions.get(name))
        if code not in (NOT_ASKED, DONT_KNOW)
    ]


def asked_but_unknown(conditions: Mapping[str, Sequence[str]]) -> list[str]:
    """The customer's labels of conditions to which the answer was "don't know"."""
    return [
        CONDITION.customer(name) for name in CONDITIONS if DONT_KNOW in _codes(conditions.get(name))
    ]


def _answers(condition: Condition, given: Any) -> list[str]:
    codes = [code for code in _codes(given) if code != NOT_ASKED]
    label = CONDITION.technician(condition.name)
    for code in codes:
        if code not in condition.answers:
            raise ConditionError(
                gettext("“%(code)s” is no answer to “%(question)s”.")
                % {"code": str(code)[:60], "question": label}
            )
    ordered = [code for code in condition.answers.codes if code in codes]
    alone = [code for code in ordered if code in _ALONE or not condition.several]
    if alone and len(ordered) > 1:
        raise ConditionError(
            gettext("“%(question)s”: “%(one)s” and “%(other)s” can't both hold. Choose one.")
            % {
                "question": label,
                "one": condition.answers.technician(alone[0]),
                "other": next(
                    condition.answers.technician(code) for code in ordered if code != alone[0]
                ),
            }
        )
    return ordered or [NOT_ASKED]


def _codes(given: Any) -> list[Any]:
    if given is None or given == "":
        return []
    return [given] if isinstance(given, str) else list(given)
