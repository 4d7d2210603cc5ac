"""Addresses of findings reports."""

from django.urls import path

from jobs.views import reports

urlpatterns = [
    path("tickets/<int:number>/report/", reports.preview, name="report-preview"),
    path("tickets/<int:number>/report/issue/", reports.issue, name="report-issue"),
    path("tickets/<int:number>/report/<int:revision>/", reports.show, name="report"),
    path("tickets/<int:number>/report/<int:revision>/pdf/", reports.pdf, name="report-pdf"),
]
