"""Addresses: runs."""

from django.urls import path

urlpatterns: list = []
