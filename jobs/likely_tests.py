"""Which tests usually come first for a kind of complaint: a shop's habit, not a verdict.

Quick and cheap ones that see much stand first; what must be read before something wipes it (stored
codes before the battery is touched) stands before it. The order is judgement, common practice.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

LIKELY: Mapping[str, tuple[str, ...]] = {
    "lamp_on": ("trouble_codes", "road_test", "data_log"),
    "wont_crank": ("trouble_codes", "battery_at_rest", "cranking", "voltage_drop"),
    "cranks_no_start": (
        "trouble_codes",
        "battery_at_rest",
        "fuel_pressure",
        "spark_plugs",
        "compression",
    ),
    "starts_badly": (
        "trouble_codes",
        "battery_at_rest",
        "cranking",
        "voltage_drop",
        "fuel_pressure",
        "compression",
    ),
    "battery_flat_standing": ("battery_at_rest", "parasitic_draw", "charging"),
    "charging_fault": ("battery_at_rest", "charging", "voltage_drop", "trouble_codes", "data_log"),
    "noise_by_speed": ("road_test", "tyres", "brakes"),
    "vibration": ("road_test", "tyres", "spark_plugs", "brakes"),
    "brakes": ("brakes", "tyres", "road_test"),
    "steering": ("tyres", "road_test", "alignment"),
    "pulls": ("tyres", "brakes", "road_test", "alignment"),
    "overheats": ("trouble_codes", "pressure_hold", "combustion_gas", "coolant_use", "oil_level"),
    "loses_coolant": ("pressure_hold", "oil_level", "combustion_gas", "coolant_use", "spark_plugs"),
    "uses_oil": ("oil_level", "spark_plugs", "compression", "leak_down"),
    "leaks_fluid": ("oil_level", "pressure_hold", "brakes"),
    "lacks_power": ("trouble_codes", "road_test", "intake_vacuum", "fuel_pressure", "compression"),
    "runs_rough": (
        "trouble_codes",
        "spark_plugs",
        "intake_vacuum",
        "compression",
        "leak_down",
        "fuel_pressure",
    ),
    "stalls": ("trouble_codes", "charging", "fuel_pressure", "intake_vacuum", "data_log"),
    "fuel_use": ("trouble_codes", "tyres", "brakes", "spark_plugs"),
    "gearbox": ("trouble_codes", "road_test"),
    "item_dead": ("battery_at_rest", "voltage_drop", "wire_trace", "trouble_codes"),
    "water_inside": ("voltage_drop", "parasitic_draw"),
    "smell_or_smoke": ("oil_level", "pressure_hold", "charging", "spark_plugs"),
}
"""Family of a complaint -> names of procedures, the first to do first."""


def likely_for(families: Iterable[str]) -> tuple[str, ...]:
    """The usual first tests for all complaints of a ticket, each once, taken in turn so that no
    complaint waits for another's last test."""
    lists = [LIKELY.get(family, ()) for family in dict.fromkeys(families)]
    longest = max((len(names) for names in lists), default=0)
    turns = (names[n] for n in range(longest) for names in lists if n < len(names))
    return tuple(dict.fromkeys(turns))
