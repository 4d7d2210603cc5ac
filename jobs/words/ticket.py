"""Words of a visit: states, what it waits for, who is who, what was seen at arrival."""

from django.utils.translation import gettext_lazy as _

from shop.words import table

TICKET_STATE = table(
    "ticket_state",
    ("booked", _("booked"), _("booked in")),
    ("in_the_bay", _("in the bay"), _("being worked on")),
    ("waiting", _("waiting"), _("waiting")),
    (
        "on_trial",
        _("on trial"),
        _("with you, on trial"),
        _("The owner drives it and notes what it does; the ticket stays open."),
    ),
    ("ready", _("ready"), _("ready to be collected")),
    ("handed_back", _("handed back"), _("handed back")),
)

WAITS_FOR = table(
    "waits_for",
    ("customers_yes", _("the customer's yes"), _("your answer")),
    ("part", _("a part"), _("a part")),
    ("sublet", _("sublet work"), _("work by another firm")),
    ("fault", _("the fault to show itself"), _("the fault to show itself")),
    ("cooling_down", _("cooling down"), _("the car to cool down")),
    ("overnight", _("standing overnight"), _("the car to stand overnight")),
    ("payment", _("payment"), _("payment")),
    ("collection", _("collection"), _("you to collect it")),
)

TICKET_PART = table(
    "ticket_part",
    ("owner", _("owner"), _("owner of the car")),
    ("bringer", _("bringer"), _("who brought the car")),
    ("authoriser", _("authoriser"), _("who agrees to the work")),
    ("payer", _("payer"), _("who pays")),
)

ARRIVAL = table(
    "arrival",
    ("driven", _("driven in"), _("driven to us")),
    ("towed", _("on a truck or towed"), _("brought on a truck or towed")),
    ("collected_by_us", _("collected by us"), _("collected by us")),
    ("left_outside", _("left outside, nobody met"), _("left at our door while nobody was there")),
)

FUEL_LEVEL = table(
    "fuel_level",
    ("reserve", _("reserve"), _("on reserve")),
    ("quarter", _("a quarter"), _("about a quarter")),
    ("half", _("half"), _("about half")),
    ("three_quarters", _("three quarters"), _("about three quarters")),
    ("full", _("full"), _("full")),
    ("not_read", _("not read"), _("not read")),
)

LAMP = table(
    "lamp",
    ("engine", _("engine"), _("engine lamp")),
    ("engine_flashing", _("engine, flashing"), _("engine lamp, flashing")),
    ("oil_pressure", _("oil pressure"), _("oil pressure lamp")),
    ("charging", _("charging"), _("battery lamp")),
    ("coolant_hot", _("coolant hot"), _("engine temperature lamp")),
    ("coolant_low", _("coolant low"), _("coolant level lamp")),
    ("brake", _("brake"), _("brake lamp of the dashboard")),
    ("anti_lock", _("anti-lock brakes"), _("anti-lock brake lamp")),
    ("stability", _("stability"), _("stability lamp")),
    ("air_bag", _("air bag"), _("air bag lamp")),
    ("steering", _("steering"), _("steering lamp")),
    ("tyre_pressure", _("tyre pressure"), _("tyre pressure lamp")),
    ("glow_plug", _("glow plug"), _("glow plug lamp")),
    ("particle_filter", _("particle filter"), _("particle filter lamp")),
    ("exhaust_fluid", _("exhaust fluid"), _("exhaust fluid lamp")),
    ("gearbox", _("gearbox"), _("gearbox lamp")),
    ("high_voltage", _("high-voltage system"), _("hybrid or electric drive lamp")),
    ("immobiliser", _("immobiliser"), _("immobiliser lamp")),
    ("fuel_low", _("fuel low"), _("fuel lamp")),
    ("light_out", _("light out"), _("lamp for a light that is out")),
    ("service", _("service"), _("service lamp")),
    ("other", _("another lamp"), _("another lamp")),
)

LAST_CHECK = table(
    "last_check",
    ("wheel_nuts", _("wheel nuts torqued"), _("wheel nuts tightened with a torque wrench")),
    (
        "brake_pedal",
        _("brake pedal firm before the car moved"),
        _("brake pedal firm before the car moved"),
    ),
    ("oil_level", _("oil in, level read"), _("oil filled, level read")),
    ("caps_on", _("caps on"), _("caps closed")),
    ("no_drips", _("no drips"), _("nothing drips")),
    ("nothing_apart", _("nothing left apart"), _("nothing left open or unplugged")),
    ("codes_again", _("codes read again"), _("trouble codes read again")),
    (
        "complaint_again",
        _("complaint tried again under its own conditions"),
        _("what you reported tried again under the same conditions"),
    ),
    ("road_test", _("road test"), _("test drive")),
)
