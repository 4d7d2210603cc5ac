"""Addresses: reports."""

from django.urls import path

urlpatterns: list = []
