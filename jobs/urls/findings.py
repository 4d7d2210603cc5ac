"""Addresses of findings, open work, and taking an entry back."""

from django.urls import path

from jobs.views import findings

urlpatterns = [
    path("tickets/<int:number>/findings/new/", findings.add_finding, name="finding-add"),
    path(
        "tickets/<int:number>/findings/<int:seq>/change/",
        findings.change_finding,
        name="finding-change",
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
