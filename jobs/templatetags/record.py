"""Filters of the record's pages."""

from __future__ import annotations

from datetime import date, datetime

from django import template
from django.urls import reverse
from django.utils.formats import date_format
from django.utils.safestring import SafeString

from jobs import words
from jobs.report import wording
from jobs.run_view import ON_PAGE, ON_PAPER
from shop.templatetags.look import drawing

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
def day_of(text: str) -> str:
    """A day as payloads write it, in full: 5 June 2025."""
    return date_format(date.fromisoformat(text), "j F Y")


@register.filter
def condition_phrases(conditions: dict) -> list[str]:
    """When a complaint happens, in the customer's words; what was not asked is left out."""
    return words.said(conditions) if conditions else []


@register.filter
def four(number: int) -> str:
    """A ticket's or report's number as printed: four figures at least."""
    return f"{number:04d}"


@register.filter
def long_moment(at: datetime) -> str:
    """5 June 2025, 14:52 in the shop's time."""
    return wording.moment(at)


@register.filter
def abreast(items: list, count: int) -> list[list]:
    """Items in rows of `count`, the last one filled up with None."""
    rows = [list(items[i : i + count]) for i in range(0, len(items), count)]
    if rows:
        rows[-1] += [None] * (count - len(rows[-1]))
    return rows


@register.filter
def stopped(text: str) -> str:
    """A line with one full stop at its end."""
    return wording.stopped(text)


@register.filter
def listed(texts: list[str], between: str) -> str:
    """Several texts in one line with one full stop at its end."""
    return wording.stopped(between.join(str(text).rstrip(" .;") for text in texts))


@register.filter
def sentences(texts: list[str]) -> str:
    """Several texts as sentences behind each other."""
    return " ".join(wording.sentence(text) for text in texts if str(text).strip())


@register.filter
def chart_on(svg: str, for_paper: bool) -> SafeString:
    """A chart of our own: on paper as frozen, on a screen with the ground of the page."""
    if not for_paper:
        svg = svg.replace(f'"{ON_PAPER}"', f'"{ON_PAGE}"')
    return drawing(svg)


@register.simple_tag(takes_context=True)
def evidence_src(context: template.Context, sha256: str, size: str, frame: str = "") -> str:
    """Address of a stored picture: from the store for paper, through the ticket for a browser."""
    if context.get("for_paper"):
        return f"evidence:{sha256}/{size}"
    if not frame:
        return reverse("shop-logo")
    return reverse("photo-file", args=[context["report"]["number"], frame, "screen"])
