"""Addresses of the jobs' pages, one module for each noun."""

from django.urls import include, path

urlpatterns = [
    path("", include("jobs.urls.today")),
    path("", include("jobs.urls.tickets")),
    path("", include("jobs.urls.runs")),
    path("", include("jobs.urls.car_tests")),
    path("", include("jobs.urls.photos")),
    path("", include("jobs.urls.swaps")),
    path("", include("jobs.urls.parts_money")),
    path("", include("jobs.urls.findings")),
    path("", include("jobs.urls.suspects")),
    path("", include("jobs.urls.odds")),
    path("", include("jobs.urls.reports")),
]
