"""What a later revision of a report changed, in words for the reader (ISO/IEC 17025, 7.8.8)."""

from __future__ import annotations

import json
from typing import Any

from django.utils.translation import gettext as _

from jobs.models import Report
from jobs.report.wording import day, inside, stopped, unique

Content = dict[str, Any]


def between(before: Report, content: Content) -> list[str]:
    """Sentences on what differs from the revision before; never none."""
    old = json.loads(before.content)
    said = [
        *_findings(old, content),
        *_tests(old, content),
        *_swaps(old, content),
        *_alterations(old, content),
        *_rest(old, content),
    ]
    first = _("This revision replaces revision %(n)s of %(date)s.") % {
        "n": before.revision,
        "date": day(before.issued_at),
    }
    return [first, *(unique(said) or [_("No finding, test or part changed since.")])]


def _findings(old: Content, new: Content) -> list[str]:
    earlier = {item["sentence"]: item for item in old["findings"]}
    later = {item["sentence"]: item for item in new["findings"]}
    said = []
    for text, item in later.items():
        was = earlier.get(text)
        if was is None:
            said.append(_("Finding added: %(what)s") % {"what": stopped(text)})
        elif was["certainty"] != item["certainty"]:
            said.append(
                _("“%(what)s” is now called “%(now)s”; it was “%(was)s”.")
                % {"what": text, "now": inside(item["word"]), "was": inside(was["word"])}
            )
        elif any(was.get(k, "") != item[k] for k in _FOLLOWS):
            said.append(_("What follows from this has changed: %(what)s") % {"what": stopped(text)})
    return said + [
        _("No longer stated: %(what)s") % {"what": stopped(text)}
        for text in earlier
        if text not in later
    ]


_FOLLOWS = ("to_do", "waiting", "why", "advice_sentence", "overruled", "also_like")


def _tests(old: Content, new: Content) -> list[str]:
    earlier = {item["no"]: item for item in old["tests"]}
    said = []
    for item in new["tests"]:
        was = earlier.get(item["no"])
        facts = {"no": item["no"], "title": item["run"]["title"], "by": item["replaced_by"]}
        if was is None:
            said.append(_("Test %(no)s added: %(title)s.") % facts)
        if item["replaced_by"] and (was is None or not was["replaced_by"]):
            said.append(
                _("Test %(no)s withdrawn by entry %(by)s.") % facts
                if item["withdrawn"]
                else _("Test %(no)s replaced by test %(by)s.") % facts
            )
    return said


def _swaps(old: Content, new: Content) -> list[str]:
    earlier = {item["uid"]: item for item in old["swaps"]}
    later = {item["uid"]: item for item in new["swaps"]}
    said = []
    for uid, item in later.items():
        part = {"part": inside(item["in"])}
        if uid not in earlier:
            said.append(_("Part changed: %(part)s.") % part)
        elif _told(item) != _told(earlier[uid]):
            said.append(_("More is said of a part changed: %(part)s.") % part)
    return said + [
        _("No longer stated as changed: %(part)s.") % {"part": inside(item["in"])}
        for uid, item in earlier.items()
        if uid not in later
    ]


def _told(swap: Content) -> tuple:
    names = ("in", "out", "in_details", "reason", "outcome", "warranty", "kept", "note", "agreed")
    return (*(swap[name] for name in names), swap.get("why") or [], len(swap["comparisons"]))


def _alterations(old: Content, new: Content) -> list[str]:
    earlier, later = (
        {item["no"]: item["what"] for item in side["alterations"]} for side in (old, new)
    )
    return [
        _("Alteration on the car: %(what)s") % {"what": stopped(what)}
        for no, what in later.items()
        if no not in earlier
    ] + [
        _("Put back, or taken back: %(what)s") % {"what": stopped(what)}
        for no, what in earlier.items()
        if no not in later
    ]


def _rest(old: Content, new: Content) -> list[str]:
    said = []
    if old["short"]["advice"]["code"] != new["short"]["advice"]["code"]:
        said.append(_("The driving advice has changed."))
    if old["short"]["cost"] != new["short"]["cost"]:
        said.append(_("What it costs has changed."))
    if [_asked(c) for c in old["complaints"]] != [_asked(c) for c in new["complaints"]]:
        said.append(_("The complaint as written down has changed."))
    for part, sentence in (
        ("shop", _("The shop's details have changed.")),
        ("customer", _("The customer's details have changed.")),
        ("car", _("The car's details have changed.")),
        ("wishes", _("What you asked for has changed.")),
        ("fitted_elsewhere", _("What you reported as fitted elsewhere has changed.")),
        ("apart", _("What is apart on the car has changed.")),
        ("open_work", _("Open or declined work has changed.")),
        ("looked_up", _("What was looked up for this car has been added to.")),
        ("not_appeared", _("What is said of a fault that did not appear has changed.")),
    ):
        if old.get(part, []) != new[part]:
            said.append(sentence)
    return said


def _asked(complaint: Content) -> tuple:
    return complaint["words"], tuple(complaint["conditions"])
