"""How a form offers the evidence of a ticket: its tests, photos and swaps, by entry number."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from django import forms
from django.utils.translation import gettext as _

from jobs import words
from jobs.models import Photo, Swap
from measurements.models import Run

if TYPE_CHECKING:
    from jobs.ticket_view import TicketView

Evidence = Run | Photo | Swap


def choices(view: TicketView, *, kinds: tuple[str, ...] = ("run", "photo", "swap")) -> list:
    """(value, label) of each piece of evidence that counts, in the order of the record."""
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
            ]
    return found


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


class EvidenceField(forms.MultipleChoiceField):
    """Pieces of evidence to tick."""

    def __init__(self, view: TicketView, **options: Any) -> None:
        kinds = options.pop("kinds", ("run", "photo", "swap"))
        options.setdefault("required", False)
        options.setdefault("widget", forms.CheckboxSelectMultiple)
        self.view = view
        super().__init__(choices=choices(view, kinds=kinds), **options)

    def clean(self, value: Any) -> list[Evidence]:
        """The evidence itself."""
        return chosen(self.view, super().clean(value))
