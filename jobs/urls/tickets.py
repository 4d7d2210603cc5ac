"""Addresses of tickets: opening one, its page, its facts, people, states, complaints, notes."""

from django.urls import path

from jobs.views import arrivals, past_tickets, tickets, visits

urlpatterns = [
    path("tickets/new/", arrivals.new, name="ticket-new"),
    path("tickets/new/known/", arrivals.known, name="ticket-known"),
    path("tickets/new/questions/", arrivals.questions, name="ticket-questions"),
    path("tickets/new/stop-advice/", arrivals.stop_advice, name="ticket-stop-advice"),
    path("tickets/<int:number>/", tickets.show, name="ticket"),
    path("tickets/<int:number>/check-in/", arrivals.check_in, name="ticket-check-in"),
    path("tickets/<int:number>/check-in-sheet/", arrivals.sheet, name="ticket-check-in-sheet"),
    path("tickets/<int:number>/people/", visits.people, name="ticket-people"),
    path("tickets/<int:number>/complaints/new/", visits.add_complaint, name="ticket-complaint-add"),
    path(
        "tickets/<int:number>/complaints/<int:seq>/change/",
        visits.change_complaint,
        name="ticket-complaint-change",
    ),
    path(
        "tickets/<int:number>/complaints/<int:seq>/lately/",
        visits.ask_lately,
        name="ticket-complaint-lately",
    ),
    path(
        "tickets/<int:number>/complaints/<int:seq>/before/",
        past_tickets.before,
        name="ticket-complaint-before",
    ),
    path("tickets/<int:number>/wishes/new/", visits.add_wish, name="ticket-wish-add"),
    path("tickets/<int:number>/notes/new/", visits.add_note, name="ticket-note-add"),
    path("tickets/<int:number>/looked-up/new/", visits.add_looked_up, name="ticket-looked-up-add"),
    path("tickets/<int:number>/state/", visits.move, name="ticket-state"),
    path("tickets/<int:number>/more/", visits.more, name="ticket-more"),
]
