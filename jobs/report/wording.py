"""Small rules of writing that all parts of a report share: full stops, capitals, lists, moments."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from datetime import datetime

from django.utils import timezone
from django.utils.formats import date_format
from django.utils.text import capfirst
from django.utils.translation import gettext as _

from shop.clock import hour

_ENDS = ("!", "?", "…")


def stopped(text: object) -> str:
    """With exactly one full stop at its end, whatever it came with; "" stays "".

    >>> stopped("Clean the clamp"), stopped("Clean the clamp.. "), stopped("Really?")
    ('Clean the clamp.', 'Clean the clamp.', 'Really?')
    """
    line = str(text).strip()
    if not line or line.endswith(_ENDS):
        return line
    return line.rstrip(" .,;:") + "."


def sentence(text: object) -> str:
    """A line of its own: a capital at the start, one full stop at the end."""
    return capfirst(stopped(text))


def inside(text: str) -> str:
    """As it stands inside a sentence: small first letter, no full stop; abbreviations stay.

    >>> inside("Battery."), inside("ECU"), inside("B+ cable"), inside("A strap")
    ('battery', 'ECU', 'B+ cable', 'a strap')
    """
    line = text.strip().rstrip(" .,;:")
    ordinary = line[:1].isupper() and (line[1:2].islower() or line[1:2] == " ")
    return line[:1].lower() + line[1:] if ordinary else line


def unique(texts: Iterable[str | None]) -> list[str]:
    """Each text once, in order, blank ones left out."""
    return list(dict.fromkeys(text.strip() for text in texts if text and text.strip()))


def is_said(text: str, said: Iterable[str]) -> bool:
    """Whether a text stands among others already, as a whole one or as some of its sentences.

    >>> is_said("Dry the carpet", ["Renew it. dry the carpet!"]), is_said("Dry", ["Dry it."])
    (True, False)
    """
    wanted = _sentences(text)
    others = [_sentences(other) for other in said]
    return any(
        other[at : at + len(wanted)] == wanted for other in others for at in range(len(other))
    )


def _sentences(text: str) -> list[str]:
    parts = re.split(r"(?<=[.!?…])\s+", text.strip())
    return [part.rstrip(" .,;:!?…").casefold() for part in parts]


def spoken(items: Sequence[object]) -> str:
    """ "3", "3 and 5", "3, 5 and 7"."""
    texts = [str(item) for item in items]
    if len(texts) < 2:
        return "".join(texts)
    return _("%(most)s and %(last)s") % {"most": ", ".join(texts[:-1]), "last": texts[-1]}


def moment(at: datetime) -> str:
    """5 June 2025, 14:52 by the shop's clock."""
    return f"{day(at)}, {hour(at)}"


def day(at: datetime) -> str:
    """5 June 2025 by the shop's clock."""
    return date_format(timezone.localtime(at), "j F Y")


def spaced(number: int) -> str:
    """148230 as 148 230, with spaces that don't break."""
    return f"{number:,}".replace(",", "\u00a0")
