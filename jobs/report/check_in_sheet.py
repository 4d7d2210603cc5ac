"""The check-in sheet: one page that goes with the keys, with a QR code that opens the ticket."""

from __future__ import annotations

from typing import Any
from urllib.parse import urljoin, urlsplit

from django.conf import settings
from django.template.loader import render_to_string
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, override

from jobs import words
from jobs.models import Ticket
from jobs.odometer import in_words
from jobs.report.paper import on_paper
from shop import environment
from shop.models import Profile
from shop.money import Money

HERE = {"localhost", "127.0.0.1", "::1"}

AGREEMENTS = (
    gettext_lazy("A test drive, as far as finding the fault needs it; on motorways too"),
    gettext_lazy("The car may stand outdoors overnight"),
    gettext_lazy("Trim and covers may be opened to reach a part"),
    gettext_lazy("Stored trouble codes and learned settings may be cleared"),
    gettext_lazy("The battery may be disconnected (clock, radio code, window settings)"),
    gettext_lazy("Photos of the car inside and out, kept with this ticket"),
    gettext_lazy("Work by another firm, where we have asked first"),
)
"""What a customer agrees to apart from money. Common practice; local law may ask for more."""


def content_of(ticket: Ticket, profile: Profile, *, host: str) -> dict[str, Any]:
    """All that the sheet prints, as plain values. `host`: the address that the reader came by."""
    car, customer = ticket.car, ticket.customer
    complaints = ticket.complaints.current().order_by("entry__seq")
    return {
        "language": profile.locale,
        "paper": profile.paper,
        "number": ticket.shown_number,
        "shop": {
            "name": profile.name,
            "address": " ".join(profile.address.split()),
            "phone": profile.phone,
        },
        "opened": ticket.received_at or ticket.opened_at,
        "promised": ticket.promised_at,
        "printed": timezone.now(),
        "qr": qr_code(ticket_address(ticket, host)),
        "address": ticket_address(ticket, host),
        "car": {"title": car.title, "plate": car.plate, "vin": car.vin},
        "customer": {
            "name": customer.shown_name,
            "phones": [phone.shown for phone in customer.phones.all()],
        },
        "people": _people(ticket),
        "complaints": [
            {"words": c.words, "when": words.said(c.conditions) if c.conditions else []}
            for c in complaints
        ],
        "wishes": list(
            ticket.wishes.current().order_by("entry__seq").values_list("words", flat=True)
        ),
        "facts": _facts(ticket),
        "allowance": _allowance(ticket),
        "agreements": [str(text) for text in AGREEMENTS],
        "back": ticket.get_absolute_url(),
    }


def ticket_address(ticket: Ticket, host: str) -> str:
    """Where a phone opens the ticket: the public address where there is one, else the reader's
    own way in; for a reader at the shop's own computer, that computer's address on the network."""
    path = ticket.get_absolute_url()
    if urlsplit(settings.ADDRESS).hostname not in HERE:
        return settings.ADDRESS + path
    came_by = urlsplit(host)
    if came_by.hostname in HERE and (own := environment.own_address()):
        port = f":{came_by.port}" if came_by.port else ""
        return f"{came_by.scheme}://{own}{port}{path}"
    return urljoin(host, path)


def qr_code(text: str) -> str:
    """A QR code (ISO/IEC 18004) as SVG with attributes only: modules of 0.8 mm, four of them as
    quiet zone, on a white ground of its own."""
    import segno

    return segno.make(text, error="m", micro=False).svg_inline(
        border=4,
        scale=0.8,
        unit="mm",
        light="#ffffff",
        svgclass=None,
        lineclass=None,
        title=_("QR code of this ticket"),
    )


def html_of(content: dict[str, Any], *, for_paper: bool, refusal: str = "") -> str:
    """The sheet as HTML, the same for page and paper."""
    with override(content["language"]):
        return render_to_string(
            "report/check_in_sheet.html",
            {"sheet": content, "for_paper": for_paper, "refusal": refusal},
        )


def pdf_of(content: dict[str, Any]) -> bytes:
    """The sheet as a PDF; raises PdfUnavailable where the machine can't make one."""
    from jobs.process import render

    language = content["language"]
    paper = on_paper(html_of(content, for_paper=True), language=language)
    return render(paper.html, made=paper.made, language=language)


def _facts(ticket: Ticket) -> list[tuple[str, str]]:
    odometer = _("not read")
    if ticket.odometer_in is not None:
        odometer = in_words((ticket.odometer_in, ticket.odometer_unit))
        if ticket.odometer_why:
            odometer += f" ({ticket.odometer_why})"
    lamps = ", ".join(words.customer("lamp", code) for code in ticket.lamps)
    came = words.customer("arrival", ticket.arrival) if ticket.arrival else _("not noted")
    return [
        (_("Odometer"), odometer),
        (_("Fuel"), words.customer("fuel_level", ticket.fuel_level or "not_read")),
        (_("Lamps on"), lamps or _("none noted")),
        (_("Came"), came),
        (_("Damage seen"), ticket.damage or _("none noted")),
        (_("In the car"), ticket.belongings or _("nothing noted")),
    ]


def _allowance(ticket: Ticket) -> str:
    if ticket.allowance_minor is None:
        return ""
    amount = Money(ticket.allowance_minor, ticket.currency).show(Profile.current().locale)
    return words.sentence("agree_at_most", amount=amount)


def _people(ticket: Ticket) -> list[tuple[str, str]]:
    return [
        (words.customer("ticket_part", person.part), _person(person))
        for person in ticket.people.select_related("customer").prefetch_related("customer__phones")
    ]


def _person(person: Any) -> str:
    parts = [person.customer.shown_name]
    if person.limit_minor is not None:
        limit = Money(person.limit_minor, person.ticket.currency).show(Profile.current().locale)
        parts.append(_("up to %(limit)s") % {"limit": limit})
    if person.order_no:
        parts.append(_("order %(number)s") % {"number": person.order_no})
    return ", ".join(parts)
