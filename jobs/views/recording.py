"""What all recording pages share: show the form, act, say what happened, go to the entry."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.utils.translation import gettext as _

from jobs.models import Entry, Ticket
from jobs.record.append import AlreadyCorrected, EntryRefused
from shop.clock import hour
from shop.forms.fields import RecordingForm
from shop.templatetags.look import when

UNPROCESSABLE, CONFLICT = 422, 409


def record(
    request: HttpRequest,
    *,
    ticket: Ticket,
    form: RecordingForm,
    act: Callable[[], Entry],
    template: str,
    context: dict[str, Any],
) -> HttpResponse:
    """Show an unbound form; else act on a valid one, or show it again with what is wrong."""
    page = {"form": form, "ticket": ticket} | context
    if not form.is_bound:
        return render(request, template, page)
    status = UNPROCESSABLE
    if form.is_valid():
        try:
            return saved(request, act())
        except AlreadyCorrected as refusal:
            form.refuse(refusal)
            status = CONFLICT
        except EntryRefused as refusal:
            form.refuse(refusal)
    return render(request, template, page, status=status)


def saved(request: HttpRequest, entry: Entry) -> HttpResponseRedirect:
    """Back to the ticket, at the new entry, with a sentence that says so."""
    messages.success(
        request, _("Saved as entry %(no)s, %(at)s.") % {"no": entry.seq, "at": hour(entry.at)}
    )
    tell_if_handed_back(request, entry)
    response = HttpResponseRedirect(f"{entry.ticket.get_absolute_url()}#e{entry.seq}")
    response.status_code = 303
    return response


def tell_if_handed_back(request: HttpRequest, entry: Entry) -> None:
    """What is written once the car has gone is kept, since it was seen before; but it is said."""
    moves = entry.ticket.entries.current().filter(kind="state", seq__lt=entry.seq)
    last = moves.select_related("by", "payload").order_by("-seq").first()
    if entry.kind != "state" and last and last.data.get("state") == "handed_back":
        messages.warning(
            request,
            _(
                "%(name)s handed the car back before that, entry %(no)s, %(at)s. What you wrote is "
                "kept behind it; a report issued by then does not hold it."
            )
            % {"name": last.by.name, "no": last.seq, "at": when(last.at)},
        )
