"""Addresses: findings."""

from django.urls import path

urlpatterns: list = []
