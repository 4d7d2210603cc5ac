"""Tests: chosen, made, repeated, corrected, looked at."""

from __future__ import annotations

import logging
from dataclasses import replace
from datetime import timedelta
from typing import Any
from uuid import UUID

from django.conf import settings
from django.contrib import messages
from django.db import transaction
from django.http import (
    FileResponse,
    Http404,
    HttpRequest,
    HttpResponse,
    HttpResponseRedirect,
    QueryDict,
)
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.http import urlencode
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST, require_safe

from jobs import battery, engine_view, logs, waiting_photos, words
from jobs.access import entry_of, ticket_for
from jobs.actions import drafts, runs
from jobs.compare import compare
from jobs.models import Entry, Photo, RunLink, Ticket
from jobs.offers import offers
from jobs.photos.store import NotStored, original_path
from jobs.record.append import AlreadyCorrected, EntryRefused
from jobs.run_page import RunPage
from jobs.run_view import ON_PAGE, run_view
from jobs.views.photos import sealed
from jobs.views.recording import tell_if_handed_back
from measurements.core.logs.text import LogRefused
from measurements.core.procedure import Procedure
from measurements.forms.log_boxes import UPLOAD
from measurements.models import Run
from measurements.procedures import UnknownProcedureError, procedure_called
from shop.access import allowed
from shop.clock import hour

_log = logging.getLogger("baywitness.errors")

UNPROCESSABLE, CONFLICT = 422, 409
LATE = timedelta(hours=1)
_BUTTONS = ("carry", "add", "show")


@allowed("record_tests")
def choose(request: HttpRequest, number: int) -> HttpResponse:
    """Which test to make: by group, with minutes and what each opens; begun and earlier ones."""
    ticket = ticket_for(request.user, number, to="record_tests")
    return render(
        request, "jobs/test_choose.html", {"ticket": ticket, "offers": offers(ticket, request.user)}
    )


@allowed("record_tests")
def make(request: HttpRequest, number: int, procedure: str) -> HttpResponse:
    """The form of a test; with `?again=` it repeats an earlier one under its conditions."""
    ticket = ticket_for(request.user, number, to="record_tests")
    again = _again(request, ticket, procedure)
    return _form(request, ticket, _procedure(procedure), again=again)


@allowed("record_tests")
def correct(request: HttpRequest, number: int, seq: int) -> HttpResponse:
    """Correct a test: the whole of it is entered again, and why; the old one stays legible."""
    ticket = ticket_for(request.user, number, to="record_tests")
    entry = entry_of(ticket, seq, "test")
    replacing = getattr(entry, "replaced_by", None)
    if replacing is not None and request.method != "POST":
        messages.warning(request, str(AlreadyCorrected(entry)))
        if replacing.kind == "test":
            return redirect("test", number, replacing.seq)
        return redirect(ticket)
    return _form(request, ticket, _procedure(entry.run_link.run.procedure), corrects=entry)


@allowed("record_tests")
def again(request: HttpRequest, number: int, seq: int) -> HttpResponse:
    """To the form that repeats a test, here or from an earlier visit of the car."""
    ticket = ticket_for(request.user, number, to="record_tests")
    run = entry_of(ticket, seq, "test").run_link.run
    address = reverse("test-new", args=[number, run.procedure])
    return HttpResponseRedirect(f"{address}?{urlencode({'again': run.uid})}")


def _form(
    request: HttpRequest,
    ticket: Ticket,
    procedure: Procedure,
    *,
    corrects: Entry | None = None,
    again: Run | None = None,
) -> HttpResponse:
    """Show, change, or save one test's form."""
    how: dict[str, Any] = {"corrects": corrects, "again": again}
    if request.method != "POST":
        return _fresh(request, ticket, procedure, how)
    sent = request.POST = waiting_photos.put_by(request)
    if "read" in sent or any(name.startswith(UPLOAD) for name in request.FILES):
        return _handed(request, ticket, procedure, how)
    if any(name in sent for name in _BUTTONS):
        shown = _pressed(sent, ticket, procedure, how)
        page = RunPage(ticket, procedure, shown=shown, judges_all="show" in sent, **how)
        drafts.keep(ticket=ticket, kind=page.draft_kind, by=request.user, fields=page.shown)
        return _page(request, page)
    page = RunPage(ticket, procedure, data=sent, **how)
    status = UNPROCESSABLE
    if page.is_valid() and not page.form.has_unseen_questions:
        try:
            page.prepare()
            with transaction.atomic():  # a draft of what is recorded would be recorded twice
                entry = page.save(request.user)
                drafts.drop(ticket=ticket, kind=page.draft_kind, by=request.user)
        except AlreadyCorrected as refusal:
            page.conditions.refuse(refusal)
            status = CONFLICT
        except EntryRefused as refusal:
            page.conditions.refuse(refusal)
        else:
            waiting_photos.add_to_test(request, entry, procedure, page.form.row_names)
            return _saved(request, ticket, entry)
    drafts.keep(ticket=ticket, kind=page.draft_kind, by=request.user, fields=_text(sent))
    return _page(request, page, status=status, theirs=_replacing(corrects, status))


def _fresh(
    request: HttpRequest, ticket: Ticket, procedure: Procedure, how: dict[str, Any]
) -> HttpResponse:
    """The form as it was left, or as it starts."""
    page = RunPage(ticket, procedure, **how)
    draft = drafts.of(ticket=ticket, kind=page.draft_kind, by=request.user)
    repeats = how["again"] and (draft is None or draft.fields.get("again") != str(how["again"].uid))
    if draft is not None and not repeats:
        if how["again"] is None and (uid := draft.fields.get("again")):
            how = how | {"again": Run.objects.filter(uid=uid, car=ticket.car).first()}
        page = RunPage(ticket, procedure, shown=draft.fields, **how)
        return _page(request, page, draft=draft)
    page = RunPage(ticket, procedure, shown=page.start(), **how)
    if how["corrects"] and _within_the_minute(how["corrects"]):
        page.shown["why"] = _("Mistyped.")
    return _page(request, page)


def _pressed(
    sent: QueryDict, ticket: Ticket, procedure: Procedure, how: dict[str, Any]
) -> dict[str, str]:
    """The form after one of its small buttons: a value taken over, a row more, other steps."""
    shown = _text(sent)
    if name := sent.get("carry"):
        offered = RunPage(ticket, procedure, **how).carry.get(name)
        if offered:
            shown[name] = offered["value"]
    if key := sent.get("add"):
        count = shown.get(f"more.{key}", "0")
        more = int(count) if count.isascii() and count.isdigit() and len(count) < 3 else 0
        shown[f"more.{key}"] = str(more + 1)
    return shown


def _handed(
    request: HttpRequest, ticket: Ticket, procedure: Procedure, how: dict[str, Any]
) -> HttpResponse:
    """The form with a log that was sent: kept in the store, its columns guessed, all still to be
    looked at and saved. What was typed stays, whatever becomes of the file."""
    shown, status, refused = _text(request.POST), 200, ""
    for address in logs.addresses(procedure):
        upload = request.FILES.get(UPLOAD + address.split(".")[0])
        try:
            if upload is None:
                raise LogRefused(_("Choose a file first."))
            taken = logs.take(upload)
        except LogRefused as refusal:
            status, refused = UNPROCESSABLE, str(refusal)
        except NotStored as refusal:
            status, refused = refusal.status, str(refusal)
        else:
            shown |= {address: taken.sha256, address.rsplit(".", 1)[0] + ".called": taken.name}
    page = RunPage(ticket, procedure, shown=shown, **how)
    if not refused and (guessed := page.form.guessed()):
        page = RunPage(ticket, procedure, shown=shown | guessed, **how)
        messages.info(
            request,
            _("The columns are guessed from their headings: look at each before you save."),
        )
    page.upload_refused = refused
    drafts.keep(ticket=ticket, kind=page.draft_kind, by=request.user, fields=page.shown)
    return _page(request, page, status=status)


def _page(
    request: HttpRequest, page: RunPage, *, status: int = 200, draft: Any = None, theirs: Any = None
) -> HttpResponse:
    context = {
        "page": page,
        "ticket": page.ticket,
        "procedure": page.procedure,
        "form": page.form,
        "conditions": page.conditions,
        "draft": draft,
        "theirs": theirs,
        "asks": status == UNPROCESSABLE
        and not page.upload_refused
        and not any(f.errors for f in page.forms),
    }
    return render(request, "jobs/test_form.html", context, status=status)


@allowed("record_tests")
@require_POST
def keep_draft(request: HttpRequest, number: int, procedure: str) -> HttpResponse:
    """Keep what is typed so far, and answer with what was understood and what it says."""
    ticket = ticket_for(request.user, number, to="record_tests")
    sent = _text(waiting_photos.put_by(request))
    page = RunPage(
        ticket, _procedure(procedure), shown=sent, corrects=_corrected(request, ticket, procedure)
    )
    drafts.keep(ticket=ticket, kind=page.draft_kind, by=request.user, fields=sent)
    if "leave" in request.POST:
        messages.success(
            request, _("Kept as you left it: %(title)s.") % {"title": page.procedure.title}
        )
        return _see(ticket.get_absolute_url())
    here = (
        reverse("test-correct", args=[number, page.corrects.seq])
        if page.corrects
        else reverse("test-new", args=[number, page.procedure.name])
    )
    if "limit" in request.POST:
        address = reverse("limit-add", args=[ticket.car.pk, page.procedure.name])
        return _see(f"{address}?{urlencode({'next': here})}")
    if not request.htmx:
        return _see(here)
    redraw = request.POST.get("shape") != page.form.shape
    return render(
        request,
        "jobs/test_live.html",
        {"page": page, "form": page.form, "ticket": ticket, "redraw": redraw},
    )


@allowed("record_tests")
@require_POST
def discard_draft(request: HttpRequest, number: int, procedure: str) -> HttpResponse:
    """Throw a half-filled form away."""
    ticket = ticket_for(request.user, number, to="record_tests")
    page = RunPage(ticket, _procedure(procedure), corrects=_corrected(request, ticket, procedure))
    drafts.drop(ticket=ticket, kind=page.draft_kind, by=request.user)
    messages.success(
        request,
        _("Thrown away, nothing was recorded: %(title)s.") % {"title": page.procedure.title},
    )
    return _see(ticket.get_absolute_url())


@allowed("see_tickets")
def show(request: HttpRequest, number: int, seq: int) -> HttpResponse:
    """One test with all that belongs to it: readings, limits, instruments, what it proves."""
    ticket = ticket_for(request.user, number)
    entry = entry_of(ticket, seq, "test")
    link = RunLink.objects.select_related("run__by", "again_of__link__entry", "again_of__by").get(
        entry=entry
    )
    repeats = (
        RunLink.objects.current().filter(ticket=ticket, again_of=link.run).select_related("entry")
    )
    view = run_view(link.run, profile=request.shop)
    made = RunLink.objects.current().filter(ticket=ticket).select_related("run__summary")
    changes = battery.changes_on(ticket)
    if said := battery.remark(link.run, [other.run for other in made], changes=changes):
        view = replace(view, confounders=[*view.confounders, said])
    context = {
        "ticket": ticket,
        "entry": entry,
        "link": link,
        "run": view,
        "engine": engine_view.beside(entry, link.run, ground=ON_PAGE),
        "replaced_by": getattr(entry, "replaced_by", None),
        "log": logs.log_of(link.run),
        "log_name": logs.name_of(link.run),
        "photos": _photos(ticket, link.run),
        "before": _before(ticket, link),
        "comparison": _comparison(link, request),
        "repeats": list(repeats),
        "is_late": link.run.recorded_at - link.run.measured_at > LATE,
        "mistyped": _mistyped(request, entry, link),
        "complaint": next(
            (c for c in ticket.complaints.current() if c.uid == link.complaint_uid), None
        ),
    }
    return render(request, "jobs/test.html", context)


@require_safe
@allowed("see_tickets")
def log(request: HttpRequest, number: int, seq: int) -> HttpResponse:
    """The file that a test was made from, bit for bit, to be kept; never shown inside a page."""
    ticket = ticket_for(request.user, number)
    entry = entry_of(ticket, seq, "test")
    blob = logs.log_of(entry.run_link.run)
    if blob is None:
        raise Http404
    try:
        opened = original_path(settings.PHOTO_FOLDER, blob.sha256).open("rb")
    except OSError as fault:
        _log.error("the log of entry %s of ticket %s can't be read: %s", seq, number, fault)
        raise Http404 from fault
    name = f"ticket-{ticket.shown_number}-log-{seq}.csv"
    return sealed(
        FileResponse(
            opened, as_attachment=True, filename=name, content_type="application/octet-stream"
        )
    )


@allowed("record_tests")
@require_POST
def mistyped(request: HttpRequest, number: int, seq: int) -> HttpResponse:
    """One tap within the minute: that reading was meant otherwise. Both stay in the record."""
    ticket = ticket_for(request.user, number, to="record_tests")
    entry = entry_of(ticket, seq, "test")
    entry.ticket = ticket
    try:
        mended = runs.mistyped(
            entry=entry,
            address=request.POST.get("address", ""),
            meant=request.POST.get("meant", "")[:60],
            by=request.user,
        )
    except AlreadyCorrected as refusal:
        messages.error(request, str(refusal))
        return _see(reverse("test", args=[number, seq]))
    except EntryRefused as refusal:
        messages.error(request, str(refusal))
        return _see(reverse("test-correct", args=[number, seq]))
    return _saved(request, ticket, mended)


# --- small things ------------------------------------------------------------------------------


def _procedure(name: str) -> Procedure:
    try:
        return procedure_called(name)
    except UnknownProcedureError as fault:
        raise Http404 from fault


def _text(sent: QueryDict) -> dict[str, str]:
    """The last value of each name, without what hands over a file."""
    return {
        name: str(sent[name]) for name in sent if name != "read" and not name.startswith(UPLOAD)
    }


def _again(request: HttpRequest, ticket: Ticket, procedure: str) -> Run | None:
    """The test that is repeated: one of this car's, of this procedure."""
    named = request.POST.get("again") or request.GET.get("again", "")
    try:
        uid = UUID(named)
    except ValueError:
        return None
    return Run.objects.of(ticket.car, procedure).filter(uid=uid).first()


def _corrected(request: HttpRequest, ticket: Ticket, procedure: str) -> Entry | None:
    seq = request.POST.get("corrects", "")
    if not (seq.isascii() and seq.isdigit() and len(seq) < 10):
        return None
    entry = entry_of(ticket, int(seq), "test")
    return entry if entry.run_link.run.procedure == procedure else None


def _replacing(corrects: Entry | None, status: int) -> dict[str, Any] | None:
    """What somebody else has made of the entry that is being corrected."""
    if corrects is None or status != CONFLICT:
        return None
    entry = Entry.objects.select_related("by", "payload").filter(replaces=corrects).first()
    if entry is None:
        return None
    link = RunLink.objects.filter(entry=entry).select_related("run__by").first()
    return {"entry": entry, "run": run_view(link.run) if link else None}


def _within_the_minute(entry: Entry) -> bool:
    return (timezone.now() - entry.at).total_seconds() <= runs.MISTYPED_WITHIN_S


def _mistyped(request: HttpRequest, entry: Entry, link: RunLink) -> list[dict[str, str]]:
    """Improbable readings of a test just made, each with what was probably meant."""
    if not (
        request.user.can("record_tests")
        and entry.by_id == request.user.pk
        and getattr(entry, "replaced_by", None) is None
        and _within_the_minute(entry)
    ):
        return []
    from measurements.actions.runs import read
    from measurements.core.readings import validate
    from measurements.procedures import PROCEDURES

    procedure = PROCEDURES.get(link.run.procedure)
    if procedure is None:
        return []
    found = read(link.run)
    faults = validate(procedure, found.typed, found.context).faults
    return [
        {
            "address": fault.address,
            "meant": fault.meant,
            "typed": fault.typed,
            "label": found.readings.by_address[fault.address].label,
        }
        for fault in faults
        if fault.kind == "asks" and fault.meant and fault.address in found.readings.by_address
    ]


def _photos(ticket: Ticket, run: Run) -> list[dict[str, Any]]:
    """The photos of a test, those of the versions that it corrects too."""
    standing = ticket.run_links.standing_for()
    runs_of = {run.pk, *(old for old, now in standing.items() if now == run.pk)}
    shown = []
    for photo in Photo.objects.current().filter(run__in=runs_of).select_related("entry", "choice"):
        photo.ticket = ticket
        args = [ticket.number, photo.frame]
        shown.append(
            {
                "no": photo.frame,
                "url": reverse("photo", args=args),
                "src": reverse("photo-file", args=[*args, "thumb"]),
                "alt": photo.alt or photo.caption,
                "caption": photo.caption or words.technician("photo_subject", photo.subject),
            }
        )
    return shown


def _before(ticket: Ticket, link: RunLink) -> list[dict[str, Any]]:
    """The test that this one repeats, as `_rests.html` takes it."""
    if link.again_of is None:
        return []
    earlier = link.again_of.link
    number = earlier.entry.ticket.number
    no = earlier.entry.seq if number == ticket.number else f"{number:04d}/{earlier.entry.seq}"
    return [
        {
            "no": no,
            "url": reverse("test", args=[number, earlier.entry.seq]),
            "words": run_view(link.again_of).title,
        }
    ]


def _comparison(link: RunLink, request: HttpRequest) -> Any:
    if link.again_of is None:
        return None
    return compare(link.again_of, link.run, profile=request.shop)


def _saved(request: HttpRequest, ticket: Ticket, entry: Entry) -> HttpResponse:
    """To the test itself, where its result and what can be done with it stand."""
    messages.success(
        request, _("Test saved as entry %(no)s, %(at)s.") % {"no": entry.seq, "at": hour(entry.at)}
    )
    tell_if_handed_back(request, entry)
    return _see(reverse("test", args=[ticket.number, entry.seq]))


def _see(address: str) -> HttpResponse:
    response = HttpResponseRedirect(address)
    response.status_code = 303
    return response
