"""The odds with which possible causes start: the table's, the shop's own, and what was counted."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from jobs.actions import odds
from jobs.forms.odds import CountedForm, OddsForm
from jobs.models import Entry
from jobs.odds_page import OddsPage, listed, page_of
from jobs.record.append import EntryRefused, already
from jobs.suspects.knowledge import tables
from jobs.views.recording import UNPROCESSABLE
from shop.access import allowed
from shop.clock import hour
from shop.forms.fields import RecordingForm


class MovedOn(EntryRefused):
    """Counted numbers are taken as they were shown, or not at all."""

    def __init__(self) -> None:
        super().__init__(
            _("The counts or the numbers have changed since the page was shown. Look again.")
        )


@allowed("see_working_notes")
def families(request: HttpRequest) -> HttpResponse:
    """All families that have a table."""
    return render(request, "jobs/odds.html", {"families": listed()})


@allowed("see_working_notes")
def show(request: HttpRequest, family: str) -> HttpResponse:
    """One family; with boxes for whoever may change the numbers."""
    return _page(request, _page_of(family))


@allowed("keep_odds")
@require_POST
def change(request: HttpRequest, family: str) -> HttpResponse:
    """Take the numbers that were typed, or give all back to the table."""
    page = _page_of(family)
    form = OddsForm(page.rows, request.POST)

    def act() -> Entry:
        return odds.change(
            family=family,
            starts=form.starts,
            why=form.cleaned_data["why"],
            by=request.user,
            **form.sending,
        )

    return _record(request, page, form, act, {"form": form})


@allowed("keep_odds")
@require_POST
def take_counted(request: HttpRequest, family: str) -> HttpResponse:
    """Take the counted numbers, if they are still those that were shown."""
    page = _page_of(family)
    form = CountedForm(request.POST, auto_id="counted_%s")
    if earlier := already(request.POST.get("client_key")):
        return _saved(request, page, earlier)
    offer = page.offer
    if offer is None or request.POST.get("shown") != offer.shown:
        form.refuse(MovedOn())
        return _page(request, page, status=UNPROCESSABLE, faulty=form)

    def act() -> Entry:
        return odds.change(
            family=family,
            starts=offer.starts,
            why=form.cleaned_data["why"],
            by=request.user,
            counted=True,
            **form.sending,
        )

    return _record(request, page, form, act, {"counted": form})


def _page_of(family: str) -> OddsPage:
    table = tables().get(family)
    if table is None:
        raise Http404
    return page_of(table)


def _page(
    request: HttpRequest,
    page: OddsPage,
    *,
    status: int = 200,
    form: OddsForm | None = None,
    counted: CountedForm | None = None,
    faulty: RecordingForm | None = None,
) -> HttpResponse:
    context: dict[str, Any] = {"page": page, "faulty": faulty or form or counted}
    if request.user.can("keep_odds"):
        context["form"] = form or OddsForm(page.rows)
        if page.offer:
            context["counted"] = counted or CountedForm(
                initial={"shown": page.offer.shown, "why": page.offer.why}, auto_id="counted_%s"
            )
    return render(request, "jobs/odds_of_family.html", context, status=status)


def _record(
    request: HttpRequest,
    page: OddsPage,
    form: RecordingForm,
    act: Callable[[], Entry],
    shown: dict[str, Any],
) -> HttpResponse:
    if form.is_valid():
        try:
            entry = act()
        except EntryRefused as refusal:
            form.refuse(refusal)
        else:
            return _saved(request, page, entry)
    return _page(request, page, status=UNPROCESSABLE, **shown)


def _saved(request: HttpRequest, page: OddsPage, entry: Entry) -> HttpResponseRedirect:
    messages.success(request, _("Saved, %(at)s.") % {"at": hour(entry.at)})
    response = HttpResponseRedirect(reverse("odds-of-family", args=[page.family]))
    response.status_code = 303
    return response
