"""Words of what was looked up about a model."""

from django.utils.translation import gettext_lazy as _

from shop.words import table

LOOKED_UP = table(
    "looked_up",
    ("recalls", _("recalls"), _("recalls and service campaigns")),
    ("bulletins", _("maker's bulletins"), _("the car maker's service bulletins")),
    ("manual", _("maker's manual"), _("the car maker's instructions")),
    ("own", _("our own notes"), _("our own notes on this model")),
    ("trade", _("told in the trade"), _("what is known in the trade")),
)

LOOKED_UP_RESULT = table(
    "looked_up_result",
    ("none", _("nothing found"), _("nothing found for this car")),
    ("applies", _("one applies"), _("applies to this car")),
    ("may_apply", _("one may apply"), _("may apply to this car")),
    ("not_reached", _("could not look"), _("could not be looked up")),
)
