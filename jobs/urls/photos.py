"""Addresses: photos."""

from django.urls import path

urlpatterns: list = []
