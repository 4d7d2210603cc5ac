"""Addresses of home, lists, search, cars and customers."""

from django.urls import path

from jobs.views import today

urlpatterns = [
    path("", today.home, name="today"),
    path("find/", today.find, name="find"),
    path("tickets/", today.tickets, name="tickets"),
    path("cars/", today.cars, name="cars"),
    path("cars/<int:pk>/", today.car, name="car"),
    path("customers/", today.customers, name="customers"),
    path("customers/<int:pk>/", today.customer, name="customer"),
]
