"""Addresses of the bench's own pages: instruments and kept limits."""

from django.urls import path

from measurements.views import help

urlpatterns = [
    path("help/tests/", help.procedures, name="help-procedures"),
]
