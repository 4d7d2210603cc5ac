"""Photos: adding them, looking at one, its copies and its original, and its place in the report."""

from __future__ import annotations

import logging
from pathlib import Path
from urllib.parse import urlencode

from django.conf import settings
from django.contrib import messages
from django.http import (
    FileResponse,
    Http404,
    HttpRequest,
    HttpResponse,
    HttpResponseRedirect,
    JsonResponse,
)
from django.shortcuts import render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST, require_safe

from jobs.access import photo_of, ticket_for
from jobs.actions import photos
from jobs.forms.photos import PhotoForm, preset
from jobs.models import Photo, Ticket
from jobs.photo_view import PhotoView
from jobs.photos import intake, store
from jobs.photos.limits import COPIES, TYPES
from jobs.photos.refusals import PhotoRefused
from jobs.process import HelperUnavailable
from jobs.record.append import EntryRefused
from jobs.views.recording import UNPROCESSABLE, saved
from shop.access import allowed
from shop.templatetags.look import faults_of

log = logging.getLogger("baywitness.errors")

SEALED = "default-src 'none'; sandbox"
"""Content policy of files: nothing runs, whatever the bytes are taken for."""
ENDINGS = {"image/jpeg": "jpg", "image/png": "png", "image/webp": "webp", "image/heic": "heic"}


@allowed("add_photos")
def add(request: HttpRequest, number: int) -> HttpResponse:
    """Add photos of one subject, several at once. A browser that keeps photos until they are sent
    asks for JSON: {"saved": address} or {"refused": [sentences]}."""
    ticket = ticket_for(request.user, number, to="add_photos")
    if request.method != "POST":
        form = PhotoForm(ticket)
        form.initial = preset(request.GET, form.belongings)
        return _page(request, ticket, form)
    form = PhotoForm(ticket, request.POST, request.FILES)
    if not form.is_valid():
        return _page(request, ticket, form, UNPROCESSABLE)
    try:
        entry = photos.add_photos(
            ticket=ticket,
            by=request.user,
            uploads=form.cleaned_data["photos"],
            **form.sending,
            **form.about(),
        )
    except photos.SomeRefused as refusal:
        if refusal.entry is None:
            return _refused(request, ticket, form, refusal.status, refusal.lines)
        for line in refusal.lines:
            messages.warning(request, _("Not taken: %(photo)s") % {"photo": line})
        entry = refusal.entry
    except (PhotoRefused, store.NotStored) as refusal:
        return _refused(request, ticket, form, refusal.status, [str(refusal)])
    except EntryRefused as refusal:
        return _refused(request, ticket, form, UNPROCESSABLE, [str(refusal)])
    if "another" in request.POST:
        return _went(request, _another(request, ticket, form, entry))
    return _went(request, saved(request, entry))


def _wants_json(request: HttpRequest) -> bool:
    return request.headers.get("Accept") == "application/json"


def _went(request: HttpRequest, onward: HttpResponseRedirect) -> HttpResponse:
    return JsonResponse({"saved": onward.url}, status=201) if _wants_json(request) else onward


def _page(request: HttpRequest, ticket: Ticket, form: PhotoForm, status: int = 200) -> HttpResponse:
    if _wants_json(request):
        return JsonResponse({"refused": [one["text"] for one in faults_of(form)]}, status=status)
    page = {"form": form, "ticket": ticket, "lost_files": bool(request.FILES)}
    return render(request, "jobs/photo_form.html", page, status=status)


def _refused(
    request: HttpRequest, ticket: Ticket, form: PhotoForm, status: int, lines: list[str]
) -> HttpResponse:
    for line in lines:
        form.add_error("photos", line)
    return _page(request, ticket, form, status)


def _another(request: HttpRequest, ticket: Ticket, form: PhotoForm, entry) -> HttpResponse:
    """The empty form again, for the next subject of the same test, swap or complaint."""
    saved(request, entry)  # its sentence only
    kind, seq = form.belongings.link_of(form.cleaned_data["belongs"])
    asked = {"subject": form.cleaned_data["subject"]} | ({kind: seq} if kind else {})
    address = f"{reverse('photo-add', args=[ticket.number])}?{urlencode(asked)}"
    return HttpResponseRedirect(address, status=303)


@allowed("see_tickets")
def show(request: HttpRequest, number: int, frame: str) -> HttpResponse:
    """One photo, large, with all that is known of it."""
    ticket = ticket_for(request.user, number)
    photo = photo_of(ticket, frame)
    page = {"ticket": ticket, "photo": photo, "view": PhotoView(ticket, photo)}
    return render(request, "jobs/photo.html", page)


@require_safe
@allowed("see_tickets")
def file(request: HttpRequest, number: int, frame: str, size: str) -> HttpResponse:
    """A copy to look at: ours, re-encoded, without what the camera wrote into it.

    Like every signed-in page it is kept out of caches: on a phone that is handed round, plates and
    faces must not outlast the sign-in. A strip of twelve is some 300 kB.
    """
    if size not in COPIES:
        raise Http404
    photo = photo_of(ticket_for(request.user, number), frame)
    try:
        path = intake.copy_path(settings.PHOTO_FOLDER, photo.blob_id, size)
    except HelperUnavailable:
        return sealed(HttpResponse(status=503, content_type="text/plain"))
    except (OSError, PhotoRefused) as fault:
        raise _missing(photo, fault) from fault
    return sealed(FileResponse(path.open("rb"), content_type="image/jpeg"))


@require_safe
@allowed("see_tickets")
def original(request: HttpRequest, number: int, frame: str) -> HttpResponse:
    """The original, bit for bit, as a file to keep; never shown inside a page of ours."""
    ticket = ticket_for(request.user, number)
    photo = photo_of(ticket, frame)
    kind = photo.blob.type if photo.blob.type in TYPES.values() else "application/octet-stream"
    name = f"ticket-{ticket.shown_number}-photo-{photo.frame}.{ENDINGS.get(kind, 'bin')}"
    path: Path = store.original_path(settings.PHOTO_FOLDER, photo.blob_id)
    try:
        opened = path.open("rb")
    except OSError as fault:
        raise _missing(photo, fault) from fault
    return sealed(FileResponse(opened, as_attachment=True, filename=name, content_type=kind))


def sealed(response: HttpResponse) -> HttpResponse:
    """A file of somebody's: nothing in it runs, and it is what it is said to be."""
    response.headers["Content-Security-Policy"] = SEALED
    response.headers["X-Content-Type-Options"] = "nosniff"
    return response


def _missing(photo: Photo, fault: Exception) -> Http404:
    """For the person a page that says no; for the owner a line in the log: evidence is gone."""
    log.error("photo %s of ticket %s can't be read: %s", photo.frame, photo.ticket_id, fault)
    return Http404("the file is missing")


@require_POST
@allowed("add_photos")
def choice(request: HttpRequest, number: int, frame: str) -> HttpResponse:
    """Into the report, or not."""
    ticket = ticket_for(request.user, number, to="add_photos")
    photo = photo_of(ticket, frame)
    wanted = request.POST.get("in_report") == "yes"
    photos.choose(photo=photo, in_report=wanted, by=request.user)
    messages.success(
        request,
        _("Photo %(frame)s goes into the report.") % {"frame": photo.frame}
        if wanted
        else _("Photo %(frame)s stays out of the report.") % {"frame": photo.frame},
    )
    return HttpResponseRedirect(reverse("photo", args=[number, photo.frame]), status=303)
