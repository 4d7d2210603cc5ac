"""Words of a fault that did not appear: what the owner is asked to note when it comes again."""

from django.utils.translation import gettext_lazy as _

from shop.words import table

OWNER_NOTE = table(
    "owner_note",
    (
        "always",
        _(
            "When it comes again, please note: day and time, engine cold or hot, how fast you "
            "drove, the weather, how the car was loaded, and what it did."
        ),
    ),
    ("lamp_on", _("Which lamp, what colour, steady or flashing; a photo of it helps.")),
    ("wont_crank", _("Whether it clicks, and whether the lamps on the dashboard go dim or out.")),
    ("cranks_no_start", _("How long the car had stood, and how often you had to try.")),
    ("starts_badly", _("How long the car had stood, and how often you had to try.")),
    (
        "battery_flat_standing",
        _("How long the car had stood, and what was plugged in or left switched on."),
    ),
    ("charging_fault", _("What was switched on, and whether the lamps were bright or dim.")),
    ("noise_by_speed", _("Where it comes from, and whether it follows speed, bumps or bends.")),
    ("vibration", _("Where you feel it: steering wheel, seat, pedal; and at which speed.")),
    ("brakes", _("How hard you braked, and what the pedal felt like. Then stop, and call us.")),
    ("steering", _("Which way you steered, and how it felt. Then stop, and call us.")),
    ("pulls", _("To which side, with or without braking, and how the road sloped.")),
    ("overheats", _("What the gauge showed and where you drove. Stop before it gets too hot.")),
    ("loses_coolant", _("How much you filled in, at which distance on the odometer.")),
    ("uses_oil", _("How much you filled in, at which distance on the odometer.")),
    ("leaks_fluid", _("Where under the car, what colour, and how long it had stood there.")),
    ("lacks_power", _("In which gear, uphill or level, and whether a lamp came on.")),
    ("runs_rough", _("Whether it shook at idle or while driving, and whether a lamp came on.")),
    ("stalls", _("What you were just doing, and whether it started again at once.")),
    ("fuel_use", _("Fuel and odometer at each filling, always to the brim.")),
    ("gearbox", _("From which gear to which, and whether the engine raced.")),
    ("item_dead", _("What else did not work just then, and whether it was wet.")),
    ("water_inside", _("Where it is wet, and whether it had rained or the car was washed.")),
    ("air_conditioning", _("How warm it was outside, and after how many minutes.")),
    ("smell_or_smoke", _("What it smelled of, what colour, from where; stop if it gets worse.")),
    ("other", _("What came just before it, and how it went away.")),
)
"""First what is always asked, then by family of complaint what else helps to find it."""


def owner_note(family: str) -> str:
    """What to ask of the owner after a visit on which the fault stayed away."""
    lines = [OWNER_NOTE.customer("always")]
    if family in OWNER_NOTE:
        lines.append(OWNER_NOTE.customer(family))
    return " ".join(lines)
