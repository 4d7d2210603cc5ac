"""Addresses of tickets: opening one, its page, its facts, states, complaints, notes."""

from django.urls import path

from jobs.views import tickets

urlpatterns = [
    path("tickets/<int:number>/", tickets.show, name="ticket"),
]
