"""Addresses of findings, faults that did not appear, open work, and taking an entry back."""

from django.urls import path

from jobs.views import findings, not_appeared

urlpatterns = [
    path("tickets/<int:number>/findings/new/", findings.add_finding, name="finding-add"),
    path(
        "tickets/<int:number>/findings/<int:seq>/change/",
        findings.change_finding,
        name="finding-change",
    ),
    path(
        "tickets/<int:number>/complaints/<int:seq>/not-appeared/",
        not_appeared.say,
        name="ticket-complaint-not-appeared",
    ),
    path("tickets/<int:number>/open-work/new/", findings.add_open_work, name="open-work-add"),
    path(
        "tickets/<int:number>/open-work/<int:seq>/change/",
        findings.change_open_work,
        name="open-work-change",
    ),
    path(
        "tickets/<int:number>/entries/<int:seq>/withdraw/", findings.withdraw, name="entry-withdraw"
    ),
]
