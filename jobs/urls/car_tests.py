"""Addresses of a car's tests over the years."""

from django.urls import path

from jobs.views import car_tests

urlpatterns = [
    path("cars/<int:pk>/tests/<slug:procedure>/", car_tests.show, name="car-tests"),
]
