"""Addresses of the odds with which possible causes start."""

from django.urls import path

from jobs.views import odds

urlpatterns = [
    path("odds/", odds.families, name="odds"),
    path("odds/<slug:family>/", odds.show, name="odds-of-family"),
    path("odds/<slug:family>/change/", odds.change, name="odds-change"),
    path("odds/<slug:family>/counted/", odds.take_counted, name="odds-take-counted"),
]
