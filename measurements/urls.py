"""Addresses of the bench's own pages: instruments and kept limits."""

from django.urls import path

from measurements.views import help, instruments, limits, tools

urlpatterns = [
    path("help/tests/", help.procedures, name="help-procedures"),
    path("help/checked/", help.reference, name="help-reference"),
    path("instruments/", instruments.show, name="instruments"),
    path("instruments/tools/", tools.change, name="tools"),
    path("instruments/new/", instruments.add, name="instrument-add"),
    path("instruments/<int:pk>/", instruments.change, name="instrument-change"),
    path("instruments/<int:pk>/retire/", instruments.retire, name="instrument-retire"),
    path("cars/<int:pk>/limits/<slug:procedure>/", limits.add, name="limit-add"),
]
