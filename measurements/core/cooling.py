"""What the tests of a cooling system share: fields to enter, and what nobody sees from outside."""

from __future__ import annotations

from measurements.core.procedure import Choice, Quantity
from measurements.core.readings import Readings
from measurements.core.saturation import water_activity
from measurements.core.trapped_gas import Unknowns

VISIBLE_KPA = 3.5
"""A change that a gauge shows: about a third of a 0.1 bar mark, half a psi (common practice)."""

TYPICAL_COOLANT_L = 8.0
EXPANSION_PER_K = 6.0e-4
"""Of 50 % glycol in water between 20 and 90 °C; less when cool, so the bracket's far end."""

LOWEST_SHOWN_KPA = {"tester": 0.0, "tee": -5.0}
"""The gauge of a tester in the cap's place stops at nought; a cap lets air in a little below it."""

# Smallest gas space that the word may mean, in litres (judgement): the most that shrinking or
# swelling coolant can do to the pressure.
_SMALLEST_GAS_L = {"brim": 0.05, "small": 0.2, "normal": 0.5, "large": 1.5, "unknown": 0.2}

_ACTIVITY_U = 0.05
# Glycol by volume -> lowest and highest water activity that the mixture may have.
_ACTIVITY = {
    "water": (0.97, 1.0),
    **{
        code: (water_activity(percent) - _ACTIVITY_U, water_activity(percent) + _ACTIVITY_U)
        for code, percent in (("weak", 30), ("half", 50), ("strong", 60))
    },
    "unknown": (water_activity(60) - _ACTIVITY_U, 1.0),
}

CAP = Quantity(
    key="cap",
    label="Rating on the cap",
    quantity="gauge_pressure",
    possible=(20.0, 250.0),
    likely=(45.0, 160.0),
    needed=True,
    origin="photo",
    help="Printed on the cap, gauge pressure. Photograph it.",
)

COOLANT_FIELDS = (
    Choice(
        key="gas_space",
        label="Room above the coolant",
        needed=True,
        help="Air and vapour in tank or radiator top. Little room makes small losses look big.",
        choices={
            "brim": "none, full to the brim",
            "small": "small, under half a litre",
            "normal": "normal, half to one and a half litres",
            "large": "large, over one and a half litres",
            "known": "known, in the next field",
            "unknown": "not known",
        },
    ),
    Quantity(
        key="gas_space_l",
        label="Room above the coolant, measured",
        quantity="volume",
        possible=(0.02, 20.0),
        likely=(0.1, 4.0),
        help="By what it takes to fill it. Only with it can a loss in mL a minute be given.",
    ),
    Choice(
        key="coolant",
        label="Coolant",
        default="unknown",
        origin="told",
        choices={
            "water": "plain water",
            "weak": "about 30 % glycol",
            "half": "about 50 % glycol",
            "strong": "about 60 % glycol",
            "unknown": "not known",
        },
    ),
    Quantity(
        key="coolant_volume",
        label="Coolant in the system",
        quantity="volume",
        possible=(1.0, 80.0),
        likely=(3.0, 20.0),
        origin="told",
        help="Maker's capacity; left empty, 8 L is taken.",
    ),
)
"""What the trapped gas's pressure depends on, in working order."""


def unknowns_of(readings: Readings, fitted: str) -> Unknowns:
    """Brackets for the trapped gas from `COOLANT_FIELDS`; fitted: key of `LOWEST_SHOWN_KPA`."""
    driest, moistest = _ACTIVITY[readings.given("coolant") or "unknown"]
    gas_l = readings.given("gas_space_l")
    if gas_l is None:
        word = readings.given("gas_space") or "unknown"
        gas_l = _SMALLEST_GAS_L.get(word, _SMALLEST_GAS_L["unknown"])
    coolant_l = readings.given("coolant_volume") or TYPICAL_COOLANT_L
    return Unknowns(driest, moistest, coolant_l * EXPANSION_PER_K / gas_l, LOWEST_SHOWN_KPA[fitted])
