"""How a form offers the evidence of a ticket: its tests, photos and swaps, by entry number."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _

from jobs import words
from jobs.certainty.of_ticket import Evidence
from jobs.models import Photo, Swap, Ticket
from measurements.models import Run
from shop.templatetags.look import when

if TYPE_CHECKING:
    from jobs.ticket_view import TicketView


def choices(
    view: TicketView,
    *,
    kinds: tuple[str, ...] = ("run", "photo", "swap"),
    only: Callable[[Photo], bool] = lambda photo: True,
) -> list:
    """(value, label) of each piece of evidence that counts, in the order of the record.

    only: which photos are meant.
    """
    found: list[tuple[str, str]] = []
    for item in view.entries:
        if item.is_gone:
            continue
        if "run" in kinds and item.run:
            found.append((f"run-{item.link.run_id}", f"{item.entry.seq} {item.run.title}"))
        if "swap" in kinds and item.entry.kind == "swap":
            part = item.data.get("part_in") or item.data.get("part_out") or _("swap")
            found.append((f"swap-{item.data['uid']}", f"{item.entry.seq} {part}"))
        if "photo" in kinds:
            found += [
                (
                    f"photo-{photo.pk}",
                    f"{photo.frame} "
                    + (photo.caption or words.photo_words(photo.subject, photo.place)),
                )
                for photo in item.photos
                if only(photo)
            ]
    return found


def ticked(item: Evidence) -> str:
    """The value by which a form names a piece of evidence."""
    if isinstance(item, Run):
        return f"run-{item.pk}"
    return f"swap-{item.uid}" if isinstance(item, Swap) else f"photo-{item.pk}"


def chosen(view: TicketView, values: list[str]) -> list[Evidence]:
    """The evidence that the chosen values name, looked up on this ticket only."""
    runs = {str(i.link.run_id): i.link.run for i in view.entries if i.link}
    photos = {str(photo.pk): photo for i in view.entries for photo in i.photos}
    found: list[Evidence] = []
    for value in values:
        kind, _dash, key = value.partition("-")
        if kind == "run" and key in runs:
            found.append(runs[key])
        elif kind == "photo" and key in photos:
            found.append(photos[key])
        elif kind == "swap":
            found.append(Swap.objects.current().get(ticket=view.ticket, uid=key))
    return found


_MADE_BY = {
    "run": "run_link__run_id",
    "photo": "photos__pk",
    "swap": "swap__uid",
    "complaint": "complaint__uid",
    "alteration": "alteration__uid",
}


def gone(ticket: Ticket, value: str) -> str:
    """Who has taken back or replaced what a page still offered; "" if nobody has."""
    kind, _dash, key = value.partition("-")
    if kind not in _MADE_BY:
        return ""
    try:
        entries = ticket.entries.filter(**{_MADE_BY[kind]: key}).exclude(replaced_by=None)
        entry = entries.select_related("replaced_by__by").order_by("-seq").first()
    except (ValueError, ValidationError):  # no number, no uid
        return ""
    if entry is None:
        return ""
    if entry.replaced_by.kind == "withdrawn":
        said = _("%(name)s has taken entry %(no)s back: entry %(later)s, %(at)s. Choose again.")
    else:
        said = _("%(name)s has corrected entry %(no)s: entry %(later)s, %(at)s. Choose again.")
    return said % {
        "no": entry.seq,
        "name": entry.replaced_by.by.name,
        "later": entry.replaced_by.seq,
        "at": when(entry.replaced_by.at),
    }


class EvidenceField(forms.MultipleChoiceField):
    """Pieces of evidence to tick."""

    def __init__(self, view: TicketView, **options: Any) -> None:
        offer = {name: options.pop(name) for name in ("kinds", "only") if name in options}
        options.setdefault("required", False)
        options.setdefault("widget", forms.CheckboxSelectMultiple)
        self.view = view
        super().__init__(choices=choices(view, **offer), **options)

    def clean(self, value: Any) -> list[Evidence]:
        """The evidence itself, or who has taken away what the page offered."""
        offered = {code for code, _label in self.choices}
        taken = (gone(self.view.ticket, str(one)) for one in value or () if one not in offered)
        if words_of_it := list(dict.fromkeys(text for text in taken if text)):
            raise ValidationError(words_of_it)
        return chosen(self.view, super().clean(value))
