"""In words: how sure a finding may be, what is missing for more."""

from __future__ import annotations

from django.utils.translation import gettext as _

from jobs import words
from jobs.certainty.rules import CONFIRMED, PROBABLE, RULED_OUT, Allowed, Lack
from jobs.report.wording import spoken


def missing(allowed: Allowed, certainty: str) -> str:
    """What is missing for a certainty, as it stands in a sentence; "" where it is allowed."""
    return "; ".join(_said(lack) for lack in allowed.lacks.get(certainty, ()))


def beside(allowed: Allowed) -> dict[str, str]:
    """What a form says beside each choice: the surest that is allowed, and what others lack."""
    said = {
        code: _("Missing: %(what)s.") % {"what": missing(allowed, code)}
        for code in (CONFIRMED, PROBABLE, RULED_OUT)
        if not allowed.permits(code)
    }
    return said | {allowed.highest: _("The most that this evidence allows.")}


def refusal(allowed: Allowed, certainty: str) -> str:
    """Why a finding may not be called so, and what to do."""
    return _(
        "This evidence does not allow “%(word)s”. Missing: %(what)s. Add it, choose a word that "
        "this evidence allows, or give a reason below why it is surer: the report prints it."
    ) % {
        "word": words.technician("certainty", certainty),
        "what": missing(allowed, certainty),
    }


def _said(lack: Lack) -> str:
    text = words.technician("lacking", lack.code)
    return text % {"of": spoken(lack.of)} if lack.of else text
