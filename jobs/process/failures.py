"""What can go wrong with a job of the helper process, as sentences for a person."""

from __future__ import annotations

from typing import Any

from django.utils.translation import gettext_lazy as _


class HelperUnavailable(RuntimeError):
    """No helper process can be started, or all are busy for too long."""


class PdfUnavailable(RuntimeError):
    """No PDF was made; the page shows the same report."""

    sentence: Any = _("The PDF can’t be made just now. The report can be read on the page.")

    def __init__(self, **facts: Any) -> None:
        super().__init__(facts)
        self.facts = facts

    def __str__(self) -> str:
        return str(self.sentence) % self.facts


class PangoMissing(PdfUnavailable):
    """System libraries are not installed."""

    sentence = _(
        "PDF making needs system libraries that this computer lacks: %(missing)s. "
        "To install them: %(command)s"
    )


class AddressRefused(PdfUnavailable):
    """The HTML refers to something outside the store, the style sheets and the typefaces."""

    sentence = _(
        "The PDF was not made: the report refers to “%(address)s”, which is no stored photo, "
        "style sheet or typeface."
    )


class TooManyPages(PdfUnavailable):
    """Longer than any report."""

    sentence = _("The PDF was not made: it has %(found)s pages, the limit is %(limit)s.")


class RenderTookTooMuch(PdfUnavailable):
    """Time or memory ran out."""

    sentence = _(
        "The PDF was not made: it needs more than %(seconds)s seconds or %(megabytes)s MB of "
        "memory. Leave some photos out of the report and issue it again."
    )


class RenderFailed(PdfUnavailable):
    """The PDF library gave up; the log says why."""

    sentence = _(
        "The PDF could not be made. Try again; if it happens again, tell whoever looks after "
        "the program: the log names the fault."
    )
