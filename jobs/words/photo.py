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

UNKNOWN_PLACE = "unknown"


def place_words(place: str) -> str:
    """Where on the car a photo was taken, in words: `c3`, the row of a test by cylinder, is
    "cylinder 3"; anything else is shown as it was written."""
    number = place[1:]
    if place.startswith("c") and number.isascii() and number.isdigit():
        return _("cylinder %(number)s") % {"number": number}
    return place


def photo_words(subject: str, place: str = "", *, customer: bool = False) -> str:
    """What a photo shows and where: "spark plug, cylinder 3"."""
    word = PHOTO_SUBJECT.customer(subject) if customer else PHOTO_SUBJECT.technician(subject)
    return ", ".join(str(part) for part in (word, place_words(place)) if part)
