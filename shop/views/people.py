"""The people of the shop: who they are, what they may do, whether they still work here."""

from __future__ import annotations

import logging

from django.contrib import auth, messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.debug import sensitive_post_parameters

from shop.access import allowed, row_number
from shop.actions import people
from shop.forms.fields import sent
from shop.forms.people import ChangePersonForm, PersonForm
from shop.models import Person

log = logging.getLogger("baywitness.security")

UNPROCESSABLE = 422


@allowed("people")
def show(request: HttpRequest) -> HttpResponse:
    """Everybody, those who may sign in first."""
    everybody = list(Person.objects.order_by("-is_active", "name"))
    return render(request, "shop/people.html", {"people": everybody, "alone": len(everybody) == 1})


@allowed("people")
@sensitive_post_parameters("password", "again")
def add(request: HttpRequest) -> HttpResponse:
    """Somebody new."""
    form = PersonForm(sent(request), initial={"role": Person.Role.TECHNICIAN})
    if request.method == "POST" and form.is_valid():
        typed = form.cleaned_data
        person = people.add(
            by=request.user,
            username=typed["username"],
            name=typed["name"],
            role=typed["role"],
            password=typed["password"],
        )
        log.info("person %s added as %s by person %s", person.pk, person.role, request.user.pk)
        messages.success(request, _("%(name)s can sign in now.") % {"name": person.name})
        return redirect("people")
    status = UNPROCESSABLE if form.errors else 200
    return render(request, "shop/person.html", {"form": form}, status=status)


@allowed("people")
@sensitive_post_parameters("password", "again")
def change(request: HttpRequest, pk: int) -> HttpResponse:
    """Another name, role or password; or no longer at work here. Nobody is deleted."""
    person = get_object_or_404(Person, pk=row_number(pk))
    alone = person == request.user and Person.objects.count() == 1
    initial = {"name": person.name, "role": person.role, "is_active": person.is_active}
    form = ChangePersonForm(sent(request), who=person, alone=alone, initial=initial)
    if request.method == "POST" and form.is_valid():
        typed = form.cleaned_data
        try:
            people.change(
                person=person,
                by=request.user,
                name=typed["name"],
                role=typed.get("role", person.role),
                is_active=typed.get("is_active", person.is_active),
                password=typed["password"],
            )
        except people.LastOwner as refusal:
            form.add_error("role" if typed["is_active"] else "is_active", str(refusal))
        else:
            if person == request.user and typed["password"]:
                auth.update_session_auth_hash(request, person)
            log.info(
                "person %s changed by person %s: %s, %s%s",
                person.pk,
                request.user.pk,
                person.role,
                "may sign in" if person.is_active else "may not sign in",
                ", new password" if typed["password"] else "",
            )
            messages.success(request, _("Saved: %(name)s.") % {"name": person.name})
            return redirect("people" if request.user.can("people") else "today")
    status = UNPROCESSABLE if form.errors else 200
    return render(request, "shop/person.html", {"form": form, "person": person}, status=status)
