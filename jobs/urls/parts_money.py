"""Address of the owner's page on parts."""

from django.urls import path

from jobs.views import parts_money

urlpatterns = [
    path("parts-money/", parts_money.show, name="parts-money"),
]
