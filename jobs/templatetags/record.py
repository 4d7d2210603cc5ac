"""Filters of the record's pages."""

from __future__ import annotations

from datetime import datetime

from django import template

from jobs import words

register = template.Library()

NO_BREAK_SPACE = "\u00a0"


@register.filter
def spaced(number: int) -> str:
    """148230 -> 148 230, with spaces that don't break."""
    return f"{number:,}".replace(",", NO_BREAK_SPACE)


@register.filter
def moment(text: str) -> datetime:
    """A time as payloads write it."""
    return datetime.fromisoformat(text)


@register.filter
def condition_phrases(conditions: dict) -> list[str]:
    """When a complaint happens, in the customer's words; what was not asked is left out."""
    return words.said(conditions) if conditions else []
