"""Words of an alteration: what a change that stays on the car affects.

The sentence on emission law rests on 42 USC 7522(a)(3) (removing or disabling an emission-related
part after sale) and its closing text on necessary and temporary procedures; other countries and
states have rules of their own, some stricter.
"""

from django.utils.translation import gettext_lazy as _

from shop.words import table

AFFECTS = table(
    "affects",
    ("driving", _("driving"), _("how the car drives")),
    ("brakes", _("brakes"), _("braking")),
    ("steering", _("steering"), _("steering")),
    ("restraints", _("belts and air bags"), _("seat belts and air bags")),
    ("driver_assistance", _("driver assistance"), _("driver assistance")),
    ("starting", _("starting"), _("starting the engine")),
    ("charging", _("charging"), _("charging of the battery")),
    ("cooling", _("cooling"), _("cooling of the engine")),
    ("fuel_supply", _("fuel supply"), _("fuel supply")),
    ("emissions_law", _("emissions law"), _("emission rules")),
    ("warranty", _("warranty"), _("warranty")),
    ("lighting", _("lighting"), _("lights")),
    ("theft_protection", _("theft protection"), _("theft protection")),
    ("comfort", _("comfort"), _("comfort")),
    ("noise", _("noise"), _("noise")),
    ("other", _("something else"), _("something else")),
)

EMISSIONS_LAW = _(
    "This concerns the car's emission control. In many places the law forbids removing or "
    "disabling such a part, or leaving it so after a test. Have it put back, and ask the authority "
    "of the place where the car is registered what holds there."
)
