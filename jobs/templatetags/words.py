"""Filters that print people's words for closed codes: `{{ code|word:"ticket_state" }}`."""

from django import template

from jobs import words

register = template.Library()


@register.filter
def word(code: str, table: str) -> str:
    """The technician's word for a code; nothing for no code."""
    return words.technician(table, code) if code else ""


@register.filter
def customer_word(code: str, table: str) -> str:
    """The customer's word for a code; nothing for no code."""
    return words.customer(table, code) if code else ""


@register.filter
def meaning(code: str, table: str) -> str:
    """The sentence that explains a code; nothing for no code."""
    return words.meaning(table, code) if code else ""
