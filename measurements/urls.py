"""Addresses of the bench's own pages: instruments and kept limits."""

from django.urls import path

urlpatterns: list = []
