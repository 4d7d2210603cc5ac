"""Addresses of tests: chosen, made, kept half typed, looked at, repeated, corrected."""

from django.urls import path

from jobs.views import runs

urlpatterns = [
    path("tickets/<int:number>/tests/", runs.choose, name="test-choose"),
    path("tickets/<int:number>/tests/<slug:procedure>/", runs.make, name="test-new"),
    path("tickets/<int:number>/tests/<slug:procedure>/draft/", runs.keep_draft, name="test-draft"),
    path(
        "tickets/<int:number>/tests/<slug:procedure>/discard/",
        runs.discard_draft,
        name="draft-discard",
    ),
    path("tickets/<int:number>/entries/<int:seq>/test/", runs.show, name="test"),
    path("tickets/<int:number>/entries/<int:seq>/log/", runs.log, name="test-log"),
    path("tickets/<int:number>/entries/<int:seq>/again/", runs.again, name="test-again"),
    path("tickets/<int:number>/entries/<int:seq>/correct/", runs.correct, name="test-correct"),
    path("tickets/<int:number>/entries/<int:seq>/mistyped/", runs.mistyped, name="test-mistyped"),
]
