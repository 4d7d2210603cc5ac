"""What is asked of photos: what they show, what they belong to, whether they are for the report."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.core.files.uploadedfile import UploadedFile
from django.template.defaultfilters import truncatewords
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from jobs import words
from jobs.forms.evidence import gone
from jobs.models import Alteration, Ticket
from jobs.words.photo import UNKNOWN_PLACE
from measurements.procedures import PROCEDURES
from shop.forms.fields import Closed, Line, RecordingForm, Whole

TAKEN = "image/jpeg,image/png,image/webp,image/heic,image/heif"
MOST_CYLINDERS = 16

SUBJECT_OF_TEST = {
    "spark_plugs": "spark_plug",
    "oil_level": "dipstick",
    "pressure_hold": "gauge_face",
}
"""What a photo that is added from a test most likely shows."""


class PhotoInput(forms.FileInput):
    """A file control that offers camera and gallery, for one photo."""

    def __init__(self) -> None:
        super().__init__({"accept": TAKEN})


class SeveralPhotosInput(PhotoInput):
    """The same for several at once."""

    allow_multiple_selected = True


class OnePhoto(forms.FileField):
    """One photo. What it holds is for the store to judge: here an empty file would take the rest
    of the form with it."""

    def __init__(self, **options: Any) -> None:
        options.setdefault("required", False)
        super().__init__(widget=PhotoInput(), allow_empty_file=True, **options)


class SeveralPhotos(forms.FileField):
    """Any number of photos, as a list."""

    def __init__(self, **options: Any) -> None:
        super().__init__(widget=SeveralPhotosInput(), allow_empty_file=True, **options)

    def clean(self, data: Any, initial: Any = None) -> list[UploadedFile]:
        """The uploads, in the order in which they were chosen."""
        uploads = [data] if isinstance(data, UploadedFile) else list(data or [])
        if not uploads:
            raise ValidationError(_("Choose at least one photo."))
        return uploads


class Belongings:
    """What photos of a ticket can belong to: its complaints, tests, swaps and alterations."""

    def __init__(self, ticket: Ticket) -> None:
        self.ticket = ticket
        self.choices: list[tuple[str, str]] = [("", _("nothing in particular"))]
        self._by_seq: dict[tuple[str, int], str] = {}
        self._facts: dict[str, dict[str, Any]] = {"": {}}
        self.procedures: dict[str, str] = {}
        self._add_complaints(ticket)
        self._add_tests(ticket)
        self._add_swaps(ticket)
        self._add_alterations(ticket)

    def named(self, kind: str, seq: str) -> str:
        """The choice for an entry that a link names by number; "" if there is none."""
        if not (seq.isascii() and seq.isdigit() and len(seq) < 10):
            return ""
        return self._by_seq.get((kind, int(seq)), "")

    def link_of(self, value: str) -> tuple[str, int]:
        """Kind and entry number of a choice, as a link names them; ("", 0) for none."""
        return next((named for named, own in self._by_seq.items() if own == value), ("", 0))

    def facts(self, value: str) -> dict[str, Any]:
        """The choice as arguments of `add_photos`."""
        return self._facts.get(value, {})

    def _add(self, kind: str, seq: int, value: str, label: str, **facts: Any) -> None:
        self.choices.append((value, f"{seq} {label}"))
        self._by_seq[kind, seq] = value
        self._facts[value] = facts

    def _add_complaints(self, ticket: Ticket) -> None:
        for complaint in ticket.complaints.current().select_related("entry"):
            said = truncatewords(complaint.words, 8) or _("complaint")
            label = _("complaint: %(words)s") % {"words": said}
            self._add(
                "complaint",
                complaint.entry.seq,
                f"complaint-{complaint.uid}",
                label,
                complaint_uid=complaint.uid,
            )

    def _add_tests(self, ticket: Ticket) -> None:
        links = ticket.run_links.current().select_related("entry", "run").defer("run__content")
        for link in links.order_by("entry__seq"):
            value = f"run-{link.run_id}"
            declared = PROCEDURES.get(link.run.procedure)
            title = str(declared.title) if declared else link.run.procedure
            self._add("test", link.entry.seq, value, title, run=link.run)
            self.procedures[value] = link.run.procedure

    def _add_swaps(self, ticket: Ticket) -> None:
        for swap in ticket.swaps.current().select_related("entry").order_by("entry__seq"):
            label = _("swap: %(part)s") % {"part": swap.part_in or swap.part_out or _("part")}
            self._add("swap", swap.entry.seq, f"swap-{swap.uid}", label, swap_uid=swap.uid)

    def _add_alterations(self, ticket: Ticket) -> None:
        query = Alteration.objects.filter(ticket=ticket).current().select_related("entry")
        for alteration in query.order_by("entry__seq"):
            label = _("alteration: %(what)s") % {"what": alteration.what}
            self._add(
                "alteration",
                alteration.entry.seq,
                f"alteration-{alteration.uid}",
                label,
                alteration_uid=alteration.uid,
            )


class BelongsField(forms.ChoiceField):
    """What photos belong to."""

    def __init__(self, belongings: Belongings, **options: Any) -> None:
        super().__init__(choices=belongings.choices, required=False, **options)
        self.ticket = belongings.ticket

    def validate(self, value: str) -> None:
        """One of the choices; of one that is gone meanwhile, who has taken it back."""
        if not self.valid_value(value) and (why := gone(self.ticket, value)):
            raise ValidationError(why)
        super().validate(value)


class PhotoForm(RecordingForm):
    """Several photos of one subject. Only the photos and what they show are asked for."""

    TOLD = ("subject", "caption", "alt", "in_report")

    photos = SeveralPhotos(
        label=gettext_lazy("Photos"),
        help_text=gettext_lazy(
            "From the camera or the gallery, several at once. JPEG, PNG, WebP or HEIC, up to "
            "25 MB each. The original is kept as it is."
        ),
    )
    subject = Closed(
        words.PHOTO_SUBJECT,
        label=gettext_lazy("They show"),
        required=True,
        error_messages={"required": gettext_lazy("Say what the photos show: choose one.")},
    )
    caption = Line(
        label=gettext_lazy("Caption"),
        required=False,
        limit=300,
        help_text=gettext_lazy("Printed under the photo in the report."),
    )
    alt = Line(
        label=gettext_lazy("What is to be seen, for somebody who can’t see it"),
        required=False,
        limit=300,
    )
    in_report = forms.BooleanField(
        label=gettext_lazy("For the report"), required=False, initial=True
    )

    def __init__(self, ticket: Ticket, *args: Any, **options: Any) -> None:
        super().__init__(*args, **options)
        self.belongings = Belongings(ticket)
        self.fields["belongs"] = BelongsField(self.belongings, label=_("They belong to"))
        self.cylinders = _cylinders(ticket)
        if self.cylinders:
            answers = [(f"c{n}", n) for n in self.cylinders]
            self.fields["place"] = forms.ChoiceField(
                label=_("Which cylinder"),
                required=False,
                widget=forms.RadioSelect,
                choices=[*answers, (UNKNOWN_PLACE, _("several, or not known"))],
            )
        else:
            self.fields["place"] = Whole(
                label=_("Which cylinder, if known"), low=1, high=MOST_CYLINDERS
            )

    def clean(self) -> dict[str, Any]:
        """A plug's photo says which cylinder's, or that this isn't known."""
        data = super().clean()
        asks = data.get("subject") in words.SUBJECTS_WITH_CYLINDER
        if asks and self.cylinders and "place" in data and not data["place"]:
            self.add_error("place", _("Say which cylinder’s, or that it is not known."))
        return data

    def about(self) -> dict[str, Any]:
        """What is said of the photos, as arguments of `add_photos`."""
        data = self.cleaned_data
        told = {name: data[name] for name in self.TOLD} | {"place": self._place()}
        return told | self.belongings.facts(data["belongs"])

    def _place(self) -> str:
        data = self.cleaned_data
        place = data["place"]
        if data["subject"] not in words.SUBJECTS_WITH_CYLINDER or not place:
            return ""
        if isinstance(place, int):
            return f"c{place}"
        return "" if place == UNKNOWN_PLACE else place


def preset(asked: Mapping[str, str], belongings: Belongings) -> dict[str, str]:
    """What a link to the form says already: `?test=12`, `?swap=14`, `?subject=plate`."""
    found: dict[str, str] = {}
    for kind in ("complaint", "test", "swap", "alteration"):
        value = belongings.named(kind, asked.get(kind, ""))
        if value:
            found["belongs"] = value
            subject = SUBJECT_OF_TEST.get(belongings.procedures.get(value, ""))
            if subject:
                found["subject"] = subject
    if asked.get("subject") in words.PHOTO_SUBJECT:
        found["subject"] = asked["subject"]
    return found


def _cylinders(ticket: Ticket) -> list[str]:
    """The cylinders of the car's engine; none where it is not known."""
    count = (ticket.car.engine or {}).get("cylinders") or 0
    return [str(number) for number in range(1, min(count, MOST_CYLINDERS) + 1)]
