"""Changing what is known of a customer."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _

from shop.access import allowed, row_number
from shop.actions import customers
from shop.forms.customers import CustomerForm
from shop.forms.fields import sent
from shop.models import Customer


@allowed("keep_customers")
def change(request: HttpRequest, pk: int) -> HttpResponse:
    """Name, firm, telephone numbers and the rest of one customer."""
    known = Customer.objects.known().prefetch_related("phones")
    customer = get_object_or_404(known, pk=row_number(pk))
    form = CustomerForm(sent(request), customer=customer)
    if request.method == "POST" and form.is_valid():
        customers.change(customer=customer, by=request.user, **form.cleaned_data)
        messages.success(request, _("Saved."))
        return redirect("customer", pk=customer.pk)
    status = 422 if form.errors else 200
    page = {"form": form, "customer": customer}
    return render(request, "shop/customer_form.html", page, status=status)
