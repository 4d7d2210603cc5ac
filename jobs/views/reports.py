"""The findings report: looked at, issued, read again."""

from __future__ import annotations

import uuid

from django.conf import settings
from django.contrib import messages
from django.http import FileResponse, Http404, HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import get_object_or_404, redirect
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from jobs.access import ticket_for
from jobs.actions import reports
from jobs.models import Report, Ticket
from jobs.photos import store
from jobs.photos.store import NotStored
from jobs.process import PdfUnavailable
from jobs.record.append import EntryRefused
from jobs.report.content import content_of, revision_of
from jobs.report.pdf import html_of
from shop.access import allowed
from shop.clock import claimed_moment


@allowed("see_reports")
def preview(request: HttpRequest, number: int) -> HttpResponse:
    """The next revision as it would be issued now."""
    ticket = ticket_for(request.user, number, to="see_reports")
    content = content_of(ticket, request.shop, by=request.user)
    return HttpResponse(
        html_of(
            content,
            for_paper=False,
            ticket=ticket,
            may_issue=request.user.can("issue_reports"),
            client_key=uuid.uuid4().hex,
            request=request,
            messages=messages.get_messages(request),
        )
    )


@require_POST
@allowed("issue_reports")
def issue(request: HttpRequest, number: int) -> HttpResponse:
    """Issue the revision that was looked at."""
    ticket = ticket_for(request.user, number, to="issue_reports")
    seen_to = request.POST.get("seen_to", "")
    try:
        report = reports.issue(
            ticket=ticket,
            profile=request.shop,
            by=request.user,
            seen_to=int(seen_to) if seen_to.isascii() and seen_to.isdigit() else None,
            client_key=request.POST.get("client_key", "")[:64] or None,
            device_at=claimed_moment(request.POST.get("device_at", "")),
        )
    except (EntryRefused, PdfUnavailable, NotStored) as refusal:
        messages.error(request, str(refusal))
        return redirect("report-preview", number=ticket.number)
    messages.success(
        request,
        _("Report %(number)s, revision %(revision)s, is issued.")
        % {"number": ticket.shown_number, "revision": report.revision},
    )
    return HttpResponseRedirect(
        reverse("report", args=[ticket.number, report.revision]), status=303
    )


@allowed("see_reports")
def show(request: HttpRequest, number: int, revision: int) -> HttpResponse:
    """An issued revision, from its frozen content."""
    ticket = ticket_for(request.user, number, to="see_reports")
    report = _report(ticket, revision)
    return HttpResponse(
        html_of(
            revision_of(report),
            for_paper=False,
            ticket=ticket,
            issued=report,
            request=request,
            messages=messages.get_messages(request),
        )
    )


@allowed("see_reports")
def pdf(request: HttpRequest, number: int, revision: int) -> HttpResponse:
    """The PDF that was made at issue, byte for byte."""
    ticket = ticket_for(request.user, number, to="see_reports")
    report = _report(ticket, revision)
    file = store.original_path(settings.PHOTO_FOLDER, report.pdf_id).open("rb")
    name = f"report-{report.number:04d}-revision-{report.revision}.pdf"
    return FileResponse(file, content_type="application/pdf", filename=name)


def _report(ticket: Ticket, revision: int) -> Report:
    if revision > 32_000:
        raise Http404
    return get_object_or_404(ticket.reports.select_related("pdf"), revision=revision)
