"""Addresses of a complaint's suspects."""

from django.urls import path

from jobs.views import suspects

AT = "tickets/<int:number>/complaints/<int:seq>/suspects/"

urlpatterns = [
    path(AT, suspects.show, name="suspects"),
    path(f"{AT}add/", suspects.add, name="suspect-add"),
    path(f"{AT}keep/", suspects.keep, name="suspects-keep"),
    path(f"{AT}<str:suspect>/judge/", suspects.judge, name="suspect-judge"),
]
