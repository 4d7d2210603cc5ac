"""Addresses of the shop's own pages: sign-in, profile, people, customers, cars, help."""

from django.urls import path

urlpatterns: list = []
