"""Home, lists, the search box, and the pages of a car and a customer with their history."""

from __future__ import annotations

from typing import Any
from urllib.parse import urlencode

from django.contrib import messages
from django.db.models import QuerySet
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django_filters import FilterSet

from jobs import clock_view, today
from jobs.access import LARGEST_NUMBER
from jobs.forms.lists import CarFilter, CustomerFilter, TicketFilter
from jobs.models import Alteration, Ticket
from jobs.over_years import kinds_on
from shop.access import allowed
from shop.models import Car, Customer
from shop.text import show_controls

PAGE = 50
FOUND = 20
LONGEST_SEARCH = 100
MOST_UNREAD, LONGEST_UNREAD = 3, 40


@allowed("see_tickets")
def home(request: HttpRequest) -> HttpResponse:
    """Today: who is in, what each waits for, what must not be forgotten."""
    groups = today.groups()
    return render(
        request,
        "jobs/today.html",
        {
            "now": timezone.localtime(),
            "clock": clock_view.notices() if request.user.can("check_record") else [],
            "groups": groups,
            "greeting": today.greeting(sum(len(group.calls) for group in groups)),
            "alterations": today.alterations_still_on(),
            "reports": today.reports_not_handed_over(),
            "swaps": today.unfinished_swaps(),
        },
    )


@allowed("see_tickets")
def tickets(request: HttpRequest) -> HttpResponse:
    """All tickets, newest first."""
    found = TicketFilter(request.GET, Ticket.objects.select_related("car", "customer"))
    page, older = _page(request, found, "number")
    return render(
        request,
        "jobs/tickets.html",
        {"filter": found, "calls": today.calls_of(page), "older_url": older},
    )


@allowed("see_tickets")
def cars(request: HttpRequest) -> HttpResponse:
    """All cars, last taken in first."""
    found = CarFilter(request.GET, Car.objects.with_owner())
    page, older = _page(request, found, "pk")
    return render(request, "jobs/cars.html", {"filter": found, "cars": page, "older_url": older})


@allowed("see_tickets")
def customers(request: HttpRequest) -> HttpResponse:
    """All customers, last taken in first."""
    query = Customer.objects.known().prefetch_related("phones")
    found = CustomerFilter(request.GET, query)
    page, older = _page(request, found, "pk")
    return render(
        request, "jobs/customers.html", {"filter": found, "customers": page, "older_url": older}
    )


def _page(request: HttpRequest, found: FilterSet, key: str) -> tuple[list[Any], str]:
    """Up to fifty rows before the key of `?before=`, and the address of the next ones."""
    query, before = found.qs, request.GET.get("before", "")
    unread = [name for name in request.GET if name not in found.filters and name != "before"]
    if before.isascii() and before.isdigit() and len(before) <= 10 and int(before):
        query = query.filter(**{f"{key}__lt": min(int(before), LARGEST_NUMBER)})
    elif before:
        unread.append(f"before={before}")
    _name_unread(request, unread)
    rows = list(query.order_by(f"-{key}")[: PAGE + 1])
    if len(rows) <= PAGE:
        return rows, ""
    kept = {name: request.GET[name] for name in found.filters if name in request.GET}
    return rows[:PAGE], "?" + urlencode(kept | {"before": getattr(rows[PAGE - 1], key)})


def _name_unread(request: HttpRequest, unread: list[str]) -> None:
    """Tell which choices of an address mean nothing here; the page is as without them."""
    if not unread:
        return
    names = ", ".join(show_controls(name[:LONGEST_UNREAD]) for name in unread[:MOST_UNREAD])
    more = len(unread) - MOST_UNREAD
    if more > 0:
        names = _("%(names)s and %(more)s more") % {"names": names, "more": more}
    messages.info(
        request,
        _("The address holds what this page does not know, left out: %(names)s.")
        % {"names": names},
    )


@allowed("see_tickets")
def find(request: HttpRequest) -> HttpResponse:
    """One box for plate, VIN tail, name, telephone, ticket number, words of a complaint."""
    typed = request.GET.get("q", "").strip()
    _name_unread(request, [name for name in request.GET if name != "q"])
    words, too_long = typed[:LONGEST_SEARCH], len(typed) > LONGEST_SEARCH
    context: dict[str, Any] = {"q": words, "too_long": too_long, "limit": LONGEST_SEARCH}
    if words:
        numbered = _ticket_called(words)
        if numbered:
            return redirect(numbered)
        context |= {
            "calls": today.calls_of(
                list(
                    Ticket.objects.matching(words)
                    .select_related("car", "customer")
                    .order_by("-number")[:FOUND]
                )
            ),
            "cars": list(Car.objects.matching(words).with_owner().order_by("-pk")[:FOUND]),
            "customers": list(
                Customer.objects.known()
                .matching(words)
                .prefetch_related("phones")
                .order_by("-pk")[:FOUND]
            ),
        }
    return render(request, "jobs/find.html", context)


def _ticket_called(words: str) -> Ticket | None:
    """The ticket of exactly this number, typed as it is printed."""
    if len(words) < 4 or not (words.isascii() and words.isdigit()) or len(words) > 9:
        return None
    return Ticket.objects.filter(number=int(words)).first()


@allowed("see_tickets")
def car(request: HttpRequest, pk: int) -> HttpResponse:
    """One car: facts, whose it is, alterations on it, every visit."""
    car = _get(Car.objects.with_owner(), pk)
    visits = list(car.tickets.select_related("car", "customer").order_by("-number"))
    return render(
        request,
        "jobs/car.html",
        {
            "car": car,
            "calls": today.calls_of(visits),
            "alterations": Alteration.objects.filter(car=car).still_on().select_related("entry"),
            "ownerships": car.ownerships.select_related("customer"),
            "tests": kinds_on(car),
        },
    )


@allowed("see_tickets")
def customer(request: HttpRequest, pk: int) -> HttpResponse:
    """One customer: how to reach them, their cars, their visits."""
    customer = _get(Customer.objects.known().prefetch_related("phones"), pk)
    visits = list(customer.tickets.select_related("car", "customer").order_by("-number")[:PAGE])
    owned = Car.objects.filter(ownerships__customer=customer, ownerships__until=None)
    return render(
        request,
        "jobs/customer.html",
        {
            "customer": customer,
            "cars": owned,
            "calls": today.calls_of(visits),
            "new_url": reverse("ticket-new"),
        },
    )


def _get(query: QuerySet, pk: int) -> Any:
    if pk > LARGEST_NUMBER:
        raise Http404
    return get_object_or_404(query, pk=pk)
