"""Addresses of swaps, things apart and alterations."""

from django.urls import path

from jobs.views import drives, swaps

urlpatterns = [
    path("tickets/<int:number>/swaps/new/", swaps.add_swap, name="swap-add"),
    path("tickets/<int:number>/swaps/elsewhere/", swaps.add_elsewhere, name="swap-elsewhere-add"),
    path("tickets/<int:number>/swaps/<int:seq>/change/", swaps.change_swap, name="swap-change"),
    path("tickets/<int:number>/swaps/<int:seq>/drives/", drives.add, name="swap-drives"),
    path("tickets/<int:number>/apart/", swaps.list_apart, name="apart"),
    path("tickets/<int:number>/apart/<uuid:uid>/back/", swaps.tick_back, name="apart-back"),
    path("tickets/<int:number>/alterations/new/", swaps.add_alteration, name="alteration-add"),
    path(
        "tickets/<int:number>/alterations/<uuid:uid>/put-back/",
        swaps.put_back,
        name="alteration-put-back",
    ),
]
