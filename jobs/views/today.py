"""Home, lists, the search box, and the pages of a car and a customer with their history."""

from __future__ import annotations

from typing import Any
from urllib.parse import urlencode

from django.db.models import QuerySet
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone

from jobs import today
from jobs.access import LARGEST_NUMBER
from jobs.forms.lists import CarFilter, CustomerFilter, TicketFilter
from jobs.models import Alteration, Ticket
from shop.access import allowed
from shop.models import Car, Customer

PAGE = 50
FOUND = 20
LONGEST_SEARCH = 100


@allowed("see_tickets")
def home(request: HttpRequest) -> HttpResponse:
    """Today: who is in, what each waits for, what must not be forgotten."""
    groups = today.groups()
    return render(
        request,
        "jobs/today.html",
        {
            "now": timezone.localtime(),
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
    page, older = _page(request, found.qs, "number")
    return render(
        request,
        "jobs/tickets.html",
        {"filter": found, "calls": today.calls_of(page), "older_url": older},
    )


@allowed("see_tickets")
def cars(request: HttpRequest) -> HttpResponse:
    """All cars, last taken in first."""
    found = CarFilter(request.GET, Car.objects.with_owner())
    page, older = _page(request, found.qs, "pk")
    return render(request, "jobs/cars.html", {"filter": found, "cars": page, "older_url": older})


@allowed("see_tickets")
def customers(request: HttpRequest) -> HttpResponse:
    """All customers, last taken in first."""
    query = Customer.objects.known().prefetch_related("phones")
    found = CustomerFilter(request.GET, query)
    page, older = _page(request, found.qs, "pk")
    return render(
        request, "jobs/customers.html", {"filter": found, "customers": page, "older_url": older}
    )


def _page(request: HttpRequest, query: QuerySet, key: str) -> tuple[list[Any], str]:
    """Up to fifty rows before the key of `?before=`, and the address of the next ones."""
    before = request.GET.get("before", "")
    if before.isascii() and before.isdigit() and len(before) <= 10:
        query = query.filter(**{f"{key}__lt": min(int(before), LARGEST_NUMBER)})
    rows = list(query.order_by(f"-{key}")[: PAGE + 1])
    if len(rows) <= PAGE:
        return rows, ""
    kept = {k: v for k, v in request.GET.items() if k != "before"}
    return rows[:PAGE], "?" + urlencode(kept | {"before": getattr(rows[PAGE - 1], key)})


@allowed("see_tickets")
def find(request: HttpRequest) -> HttpResponse:
    """One box for plate, VIN tail, name, telephone, ticket number, words of a complaint."""
    typed = request.GET.get("q", "").strip()
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
