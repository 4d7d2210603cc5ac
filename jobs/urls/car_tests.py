"""Addresses of tests over the years: of a car, and of an instrument."""

from django.urls import path

from jobs.views import car_tests, instrument_checks

urlpatterns = [
    path("cars/<int:pk>/tests/<slug:procedure>/", car_tests.show, name="car-tests"),
    path("instruments/<int:pk>/checks/", instrument_checks.show, name="instrument-checks"),
]
