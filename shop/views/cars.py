"""Changing what is known of a car, and passing it on to a new owner."""

from __future__ import annotations

from django.contrib import messages
from django.db import transaction
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _

from shop.access import allowed, row_number
from shop.actions import cars, customers
from shop.forms.cars import CarForm, NewOwnerForm
from shop.forms.fields import sent
from shop.models import Car, Customer

UNPROCESSABLE = 422
FOUND = 20
LONGEST_SEARCH = 100


@allowed("keep_cars")
def change(request: HttpRequest, pk: int) -> HttpResponse:
    """Plate, VIN, make, engine and the rest. Suggestions are offered, never applied unasked."""
    car = get_object_or_404(Car, pk=row_number(pk))
    form = CarForm(sent(request), car=car, home=request.shop.region)
    taken = _taken(request, form)
    if taken is not None:
        return _page(request, car, form.filled(taken), 200)
    if request.method == "POST" and form.is_valid():
        check = form.vin_check() if form.cleaned_data["vin"] != car.vin else None
        cars.change(car=car, by=request.user, **form.cleaned_data)
        messages.success(request, _("Saved. Tests on record keep the facts they were judged by."))
        if check and check.advice:
            messages.warning(request, _("VIN: %(advice)s") % {"advice": " ".join(check.advice)})
        return redirect("car", pk=car.pk)
    return _page(request, car, form, UNPROCESSABLE if form.errors else 200)


def _page(request: HttpRequest, car: Car, form: CarForm, status: int) -> HttpResponse:
    page = {"form": form, "car": car, "check": form.vin_check()}
    return render(request, "shop/car_form.html", page, status=status)


def _taken(request: HttpRequest, form: CarForm) -> dict[str, str] | None:
    """What one of the small buttons fills in; None when the form is to be saved."""
    if request.method != "POST":
        return None
    if "take_vin" in request.POST:
        return {"vin": request.POST["take_vin"][:40]}
    if "take_year" in request.POST:
        return {"year": request.POST["take_year"][:4]}
    if "take_preset" in request.POST:
        return form.from_preset()
    if "look" in request.POST:
        return {}
    return None


@allowed("keep_cars")
def pass_on(request: HttpRequest, pk: int) -> HttpResponse:
    """Another owner from now on: somebody known, or somebody new."""
    car = get_object_or_404(Car.objects.with_owner(), pk=row_number(pk))
    words = request.GET.get("q", "").strip()[:LONGEST_SEARCH]
    form = NewOwnerForm(None if "known" in request.POST else sent(request))
    if request.method == "POST":
        new = _new_owner(request, form)
        if new:
            cars.pass_on(car=car, to=new, by=request.user)
            messages.success(request, _("%(name)s owns this car now.") % {"name": new})
            return redirect("car", pk=car.pk)
    found = Customer.objects.known().matching(words).prefetch_related("phones") if words else []
    page = {"car": car, "form": form, "q": words, "customers": list(found[:FOUND])}
    status = UNPROCESSABLE if form.errors else 200
    return render(request, "shop/car_owner.html", page | {"limit": LONGEST_SEARCH}, status=status)


@transaction.atomic
def _new_owner(request: HttpRequest, form: NewOwnerForm) -> Customer | None:
    """The chosen customer, or one taken in from the form; None where the form is faulty."""
    chosen = request.POST.get("known", "")
    if chosen:
        number = int(chosen) if chosen.isascii() and chosen.isdigit() and len(chosen) < 11 else 0
        return get_object_or_404(Customer.objects.known(), pk=row_number(number))
    if not form.is_valid():
        return None
    typed = form.cleaned_data
    return customers.add(by=request.user, name=typed["name"], phones=[typed["phone"]])
