"""Small turns of phrase that several tests share."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from typing import Protocol


class Named(Protocol):
    """Anything with a row's code and what people call it."""

    @property
    def code(self) -> str: ...

    @property
    def label(self) -> str: ...


def at_head(words: str) -> str:
    """The words at the head of a sentence.

    >>> at_head("front left, inner pad")
    'Front left, inner pad'
    """
    return words[:1].upper() + words[1:]


def places_beyond(words: str, labels: Iterable[str]) -> str:
    """The places in a row, without any that only says the same words again.

    >>> places_beyond("Recent work", ["recent work", "under the bonnet", "inside"])
    'under the bonnet, inside'
    """
    return ", ".join(label for label in labels if label.casefold() != words.casefold())


def places(codes: Collection[str], named: Iterable[Named]) -> str:
    """ "Front left, rear right", at the head of a sentence; in the order of `named`."""
    return at_head(", ".join(one.label for one in named if one.code in codes))
