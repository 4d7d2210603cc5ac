"""Words of photos: what they show."""

from django.utils.translation import gettext_lazy as _

from shop.words import table

PHOTO_SUBJECT = table(
    "photo_subject",
    ("dipstick", _("dipstick"), _("oil dipstick")),
    ("spark_plug", _("spark plug"), _("spark plug")),
    ("filler_cap", _("filler cap"), _("filler cap")),
    ("connector", _("connector"), _("electrical connector")),
    ("gauge_face", _("gauge face"), _("face of the gauge")),
    ("leak", _("leak"), _("leak")),
    ("damage", _("damage"), _("damage")),
    ("before", _("before"), _("before the work")),
    ("after", _("after"), _("after the work")),
    ("plate", _("plate"), _("number plate")),
    ("dashboard", _("dashboard"), _("dashboard")),
    ("label", _("label of the part"), _("label of the new part")),
    ("old_part", _("old part"), _("part that was taken out")),
    ("other", _("other"), _("photo")),
)
SUBJECTS_WITH_CYLINDER = frozenset({"spark_plug"})
