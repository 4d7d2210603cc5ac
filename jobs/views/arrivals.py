"""A car comes in: the ticket in a minute, its check-in, and the sheet that goes with the keys."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from jobs.access import ticket_for
from jobs.actions import intake, photos
from jobs.forms.intake import IntakeForm, subject_words
from jobs.forms.questions import QuestionsForm, as_typed
from jobs.forms.visit import CheckInForm
from jobs.models import Entry, Ticket
from jobs.process import PdfUnavailable
from jobs.record.append import EntryRefused
from jobs.report import check_in_sheet
from jobs.views.recording import UNPROCESSABLE, record
from shop.access import allowed

LOOKS = ("look_up", "questions")  # buttons that show more of the form and save nothing


@allowed("open_tickets")
def new(request: HttpRequest) -> HttpResponse:
    """Open a ticket with as little as is known."""
    if request.method != "POST":
        return _page(request, IntakeForm(initial=_named(request), profile=request.shop))
    if any(name in request.POST for name in LOOKS):
        return _looked(request)
    form = IntakeForm(request.POST, request.FILES, profile=request.shop)
    if not form.is_valid():
        _tell_of_photos(request)
        return _page(request, form, status=UNPROCESSABLE)
    try:
        ticket = intake.take_in(by=request.user, **form.arrival())
    except EntryRefused as refusal:
        form.refuse(refusal)
        _tell_of_photos(request)
        return _page(request, form, status=UNPROCESSABLE)
    refused = photos.add_each(
        ticket=ticket,
        by=request.user,
        photos=form.photos(),
        **form.sending,
    )
    return _opened(request, ticket, refused)


def _page(request: HttpRequest, form: IntakeForm, status: int = 200) -> HttpResponse:
    return render(request, "jobs/intake.html", {"form": form}, status=status)


def _named(request: HttpRequest) -> dict[str, str]:
    """What a link from a car's or a customer's page names already."""
    return {name: request.GET[name][:60] for name in ("plate", "phone") if name in request.GET}


def _looked(request: HttpRequest) -> HttpResponse:
    """The page with what is known or asked now; nothing is checked, nothing typed is lost."""
    _tell_of_photos(request)
    return _page(request, _unchecked(request))


def _unchecked(request: HttpRequest) -> IntakeForm:
    typed = as_typed(request.POST)
    form = IntakeForm(initial=typed, profile=request.shop)
    form.fields["client_key"].initial = typed.get("client_key") or form.fields["client_key"].initial
    return form


def _tell_of_photos(request: HttpRequest) -> None:
    if request.FILES:
        messages.warning(
            request, _("Choose the photos again before you save: a browser does not keep them.")
        )


def _opened(
    request: HttpRequest, ticket: Ticket, refused: list[tuple[str, str]]
) -> HttpResponseRedirect:
    messages.success(request, _("Ticket %(number)s is open.") % {"number": ticket.shown_number})
    for subject, why in refused:
        messages.warning(
            request,
            _("The photo “%(subject)s” was not taken: %(why)s The ticket is kept.")
            % {"subject": subject_words(subject), "why": why},
        )
    return HttpResponseRedirect(ticket.get_absolute_url(), status=303)


@require_POST
@allowed("open_tickets")
def known(request: HttpRequest) -> HttpResponse:
    """What is known of the plate and number typed so far: a piece of the page."""
    return render(request, "jobs/_known.html", {"form": _unchecked(request)})


@require_POST
@allowed("record_complaints")
def questions(request: HttpRequest) -> HttpResponse:
    """The questions of the family chosen just now: a piece of the page."""
    form = QuestionsForm(initial=as_typed(request.POST))
    return render(request, "jobs/_questions.html", {"form": form})


@require_POST
@allowed("record_complaints")
def stop_advice(request: HttpRequest) -> HttpResponse:
    """What to tell a caller of the red flags ticked just now: a piece of the page."""
    form = QuestionsForm(initial=as_typed(request.POST))
    return render(request, "jobs/_stop_advice.html", {"form": form})


@allowed("change_tickets")
def check_in(request: HttpRequest, number: int) -> HttpResponse:
    """Facts of the visit, and what is quickly read off the car."""
    ticket = ticket_for(request.user, number, to="change_tickets")
    form = CheckInForm(ticket, request.POST or None, profile=request.shop)

    def act() -> Entry:
        return intake.check_in(
            ticket=ticket,
            by=request.user,
            facts=form.facts(),
            car_facts=form.car_facts(),
            customer_facts=form.customer_facts(),
            **form.sending,
        )

    return record(
        request, ticket=ticket, form=form, act=act, template="jobs/check_in.html", context={}
    )


@allowed("see_tickets")
def sheet(request: HttpRequest, number: int) -> HttpResponse:
    """The check-in sheet as a PDF; as a page that prints alike where PDFs can't be made."""
    ticket = ticket_for(request.user, number)
    content = check_in_sheet.content_of(ticket, request.shop, host=request.build_absolute_uri("/"))
    try:
        pdf = check_in_sheet.pdf_of(content)
    except PdfUnavailable as refusal:
        return HttpResponse(check_in_sheet.html_of(content, for_paper=False, refusal=str(refusal)))
    name = f"check-in-{ticket.shown_number}.pdf"
    return HttpResponse(
        pdf,
        content_type="application/pdf",
        headers={"Content-Disposition": f'inline; filename="{name}"'},
    )
