"""What a later revision of a report changed, in words for the reader."""

from __future__ import annotations

import json
from typing import Any

from django.utils.translation import gettext as _

from jobs.models import Report


def between(before: Report, content: dict[str, Any]) -> list[str]:
    """Sentences on what differs from the revision before; at least one, so that none is silent."""
    old = json.loads(before.content)
    said = [
        _("This revision replaces revision %(n)s of %(date)s.")
        % {"n": before.revision, "date": before.issued_at.date().isoformat()}
    ]
    said += _listed(old, content, "findings", "sentence", _("Finding added: %(x)s"),
                    _("Finding no longer stated: %(x)s"))
    said += _certainty(old, content)
    said += _listed(old, content, "tests", "no", _("Test added: entry %(x)s."),
                    _("Test left out: entry %(x)s."))
    said += _listed(old, content, "swaps", "no", _("Part changed: entry %(x)s."),
                    _("Swap replaced: entry %(x)s."))
    said += _listed(old, content, "alterations", "what", _("Alteration on the car: %(x)s."),
                    _("Put back: %(x)s."))
    if old["short"]["advice"]["code"] != content["short"]["advice"]["code"]:
        said.append(_("The driving advice has changed."))
    for part, words in (
        ("shop", _("The shop's details have changed.")),
        ("customer", _("The customer's details have changed.")),
        ("car", _("The car's details have changed.")),
        ("complaints", _("The complaint as written down has changed.")),
        ("open_work", _("Open or declined work has changed.")),
    ):
        if old[part] != content[part]:
            said.append(words)
    if len(said) == 1:
        said.append(_("No finding, test or swap has changed."))
    return said


def _listed(
    old: dict, new: dict, part: str, key: str, added: str, gone: str
) -> list[str]:
    before, after = ([item[key] for item in side[part]] for side in (old, new))
    return [added % {"x": x} for x in after if x not in before] + [
        gone % {"x": x} for x in before if x not in after
    ]


def _certainty(old: dict, new: dict) -> list[str]:
    words = {item["sentence"]: item["word"] for item in old["findings"]}
    return [
        _("“%(x)s” is now %(word)s; it was %(old)s.")
        % {"x": item["sentence"], "word": item["word"], "old": words[item["sentence"]]}
        for item in new["findings"]
        if item["sentence"] in words and words[item["sentence"]] != item["word"]
    ]
