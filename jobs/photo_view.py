"""One photo as its page shows it: what it shows, what it belongs to, its neighbours."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.urls import reverse
from django.utils.formats import date_format
from django.utils.translation import gettext as _

from jobs import words
from jobs.forms.photos import Belongings
from jobs.models import Photo, Ticket


@dataclass
class PhotoView:
    """What the page of one photo needs. Build it once a request."""

    ticket: Ticket
    photo: Photo

    @property
    def title(self) -> str:
        """What the photo shows: its caption, or else its subject."""
        return self.photo.caption or self.shows

    @property
    def shows(self) -> str:
        """Subject and place."""
        return words.photo_words(self.photo.subject, self.photo.place)

    @property
    def alt(self) -> str:
        """What is to be seen, for a screen reader."""
        return self.photo.alt or self.title

    @property
    def in_report(self) -> bool:
        """Whether it goes into the report; it does until somebody says no."""
        choice = getattr(self.photo, "choice", None)
        return choice is None or choice.in_report

    @property
    def claimed(self) -> str:
        """The camera's own time as it claims it, in its own zone; "" where it says none."""
        try:
            moment = datetime.fromisoformat(self.photo.claimed_at)
        except ValueError:
            return ""
        return f"{date_format(moment, 'j F Y')}, {date_format(moment, 'H:i')}"

    @property
    def frames_of_entry(self) -> int:
        """How many photos its entry holds: they are taken back together."""
        return self.photo.entry.photos.count()

    @property
    def megabytes(self) -> str:
        """Size of the original."""
        return f"{self.photo.blob.size / 1_000_000:.1f}"

    @property
    def kind(self) -> str:
        """Kind of the original as people call it: JPEG, PNG, WebP, HEIC."""
        name = self.photo.blob.type.removeprefix("image/").upper()
        return "WebP" if name == "WEBP" else name

    @property
    def replaced_by(self) -> Any:
        """The entry that took it back, if any."""
        return getattr(self.photo.entry, "replaced_by", None)

    @property
    def belongs(self) -> dict[str, str] | None:
        """The complaint, test, swap or alteration it was taken for, with a link to its entry."""
        photo = self.photo
        value = (
            f"run-{self._standing_run}"
            if photo.run_id
            else f"swap-{photo.swap_uid}"
            if photo.swap_uid
            else f"complaint-{photo.complaint_uid}"
            if photo.complaint_uid
            else f"alteration-{photo.alteration_uid}"
            if photo.alteration_uid
            else ""
        )
        known = dict(Belongings(self.ticket).choices)
        if not value or value not in known:
            return None
        seq = known[value].partition(" ")[0]
        return {"words": known[value], "url": f"{self.ticket.get_absolute_url()}#e{seq}"}

    @property
    def _standing_run(self) -> int:
        """The run that its own test was corrected to, or its own."""
        return self.ticket.run_links.standing_for().get(self.photo.run_id, self.photo.run_id)

    @property
    def neighbours(self) -> dict[str, str]:
        """Addresses of the photos before and after it on the ticket, as `_page_links.html` takes
        them."""
        frames = [photo.frame for photo in self.ticket.photos.select_related("entry")]
        here = frames.index(self.photo.frame)
        links = {}
        if here > 0:
            links |= {"newer_url": self._url(frames[here - 1]), "newer": _("photo before")}
        if here + 1 < len(frames):
            links |= {"older_url": self._url(frames[here + 1]), "older": _("next photo")}
        return links

    def _url(self, frame: str) -> str:
        return reverse("photo", args=[self.ticket.number, frame])
