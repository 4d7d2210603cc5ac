"""The first page of a report: what is wrong, how sure, may it be driven, what to do, what waiting
risks, what it costs. Who reads no further must have read these. No odds, no percentages."""

from __future__ import annotations

from typing import Any

from django.utils.text import capfirst
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, ngettext

from jobs import words
from jobs.models import Ticket
from jobs.report.evidence import Evidence
from jobs.report.wording import inside, is_said, sentence, spoken, stopped, unique
from jobs.ticket_view import EntryView, TicketView
from shop.models import Profile
from shop.money import Money

Content = dict[str, Any]
TELLING = ("confirmed", "probable")
FINISHED = {"ready", "handed_back"}

NEVER_LOOKED_AT = (
    # On every report: what the reader may take for looked at, unless a test of it was made.
    ("brakes", gettext_lazy("brakes")),
    ("tyres", gettext_lazy("tyres")),
    ("steering", gettext_lazy("steering")),
    ("lights", gettext_lazy("lights")),
)


def first_page(view: TicketView, evidence: Evidence) -> Content:
    """The answers in the order in which they are asked."""
    telling = _telling(view.findings)
    return {
        "what": _what(view, evidence, telling),
        "sure": _sure(telling),
        "advice": _advice(view),
        "to_do": _to_do(view, evidence),
        "waiting": _waiting(view),
        "cost": _cost(view.ticket, view.profile),
        "stands_for": _stands_for(view, evidence),
    }


def unlooked(view: TicketView) -> list[str]:
    """What nobody looked at on this visit."""
    made = {item.link.run.procedure for item in view.tests}
    return [str(word) for code, word in NEVER_LOOKED_AT if code not in made]


def tried(view: TicketView, evidence: Evidence, complaint: EntryView) -> list[str]:
    """Whether a complaint happened while we tested, in which tests, and how it was afterwards."""
    alone = len(view.complaints) == 1
    uid = complaint.data.get("uid", "")
    tests = [
        item
        for item in view.tests
        if str(item.link.complaint_uid or "") == uid or (alone and not item.link.complaint_uid)
    ]
    first = [item for item in tests if not evidence.repeat_of(item)]
    said = [
        str(text) % {"tests": tests_named([item.entry.seq for item in found])}
        for code, text in _HAPPENED.items()
        if (found := [item for item in first if item.link.fault_present == code])
    ]
    own_section = any(item.data["complaint"] == uid for item in view.not_appeared)
    if tests and not own_section and all(item.link.fault_present == "no" for item in tests):
        said.append(str(words.sentence("not_reproduced")))
    for swap in evidence.ours:
        after = [item for item in tests if evidence.repeat_of(item) is swap]
        said += [
            str(text)
            % {
                "part": inside(swap.data.get("part_in") or swap.data.get("part_out") or _("part")),
                "tests": tests_named([_with_heat(item) for item in found]),
            }
            for code, text in _AFTERWARDS.items()
            if (found := [item for item in after if item.link.fault_present == code])
        ]
    return said


_HAPPENED = {
    "yes": gettext_lazy("What you reported was happening during %(tests)s."),
    "no": gettext_lazy("It was not happening during %(tests)s; a good result there says little."),
    "unknown": gettext_lazy("Whether it was happening during %(tests)s is not known."),
}
_AFTERWARDS = {
    "no": gettext_lazy("After the change (%(part)s) it was not present in %(tests)s."),
    "yes": gettext_lazy("After the change (%(part)s) it was still present in %(tests)s."),
}


def tests_named(numbers: list[Any]) -> str:
    """ "test 3", "tests 3 and 5"."""
    return ngettext("test %(list)s", "tests %(list)s", len(numbers)) % {"list": spoken(numbers)}


def _with_heat(item: EntryView) -> str:
    state = item.link.run.state_of_car
    said = {
        "hot": _("made with the engine hot"),
        "cold": _("made with the engine cold"),
        "driving": _("made while driving"),
    }
    return f"{item.entry.seq} ({said[state]})" if state in said else str(item.entry.seq)


def _telling(findings: list[EntryView]) -> list[tuple[int, EntryView]]:
    numbered = list(enumerate(findings, start=1))
    sure = [pair for pair in numbered if pair[1].data["certainty"] in TELLING]
    return sure or [pair for pair in numbered if pair[1].data["certainty"] == "suspected"]


def _what(
    view: TicketView, evidence: Evidence, telling: list[tuple[int, EntryView]]
) -> list[Content]:
    if telling:
        many = len(telling) > 1
        return [
            {"n": n if many else None, "text": sentence(item.data["sentence"])}
            for n, item in telling
        ]
    if any(not item.appeared_since for item in view.not_appeared):
        text = str(words.sentence("not_reproduced"))
    elif view.findings:
        text = _("The cause has not been found. What we looked at is stated in this report.")
    elif view.tests:
        text = _("Nothing has been found yet. The tests made so far are listed in this report.")
    elif view.complaints:
        text = _("No test has been made yet, so we can't say what is wrong.")
    else:
        text = _("You reported no fault, and no test was made.")
    fitted = [item.data["part_in"] for item in evidence.ours if item.data.get("part_in")]
    if fitted:
        done = _("Changed: %(parts)s.") % {"parts": spoken([inside(part) for part in fitted])}
        text = f"{text} {done}"
    return [{"n": None, "text": text}]


def _sure(telling: list[tuple[int, EntryView]]) -> list[Content]:
    by_code: dict[str, list[int]] = {}
    for n, item in telling:
        by_code.setdefault(item.data["certainty"], []).append(n)
    return [
        {
            "code": code,
            "word": capfirst(words.customer("certainty", code)),
            "of": _("finding %(list)s") % {"list": spoken(numbers)} if len(telling) > 1 else "",
            "meaning": words.meaning("certainty", code),
        }
        for code, numbers in by_code.items()
    ]


def _advice(view: TicketView) -> Content:
    """The strictest advice of findings and alterations, and where it comes from. A car in pieces is
    not to be driven, and until something is found the warning of the first call stands."""
    code, text, givers = view.advice, stopped(view.advice_words), _givers(view)
    if view.apart:
        code, givers = "do_not_drive", []
        text = _("The car is not together just now: %(list)s.") % {
            "list": "; ".join(inside(item.what) for item in view.apart)
        }
    elif view.red_flags and not view.findings and view.ticket.is_open:
        code, givers = words.RED_FLAG_ADVICE, [_("what you reported")]
        text = " ".join(stopped(flag["tell"]) for flag in view.red_flags)
    if not code:
        text = _("We can't advise on driving: nothing has been found or ruled out so far.")
    elif code == "do_not_drive":
        text = f"{text} {words.meaning('driving_advice', code)}".strip()
    return {
        "code": code,
        "text": text,
        "not_tested": unlooked(view),
        "from": givers if code not in {"", "no_restriction"} else [],
    }


def _givers(view: TicketView) -> list[str]:
    numbers = [
        n for n, item in enumerate(view.findings, start=1) if item.data["advice"] == view.advice
    ]
    said = [_("finding %(list)s") % {"list": spoken(numbers)}] if numbers else []
    return said + [
        _("the alteration “%(what)s”") % {"what": inside(a.what)}
        for a in view.alterations
        if a.advice == view.advice
    ]


def _to_do(view: TicketView, evidence: Evidence) -> list[str]:
    said = unique(item.data.get("to_do") for item in view.findings)
    planned = {item.data.get("puts_back") for item in view.open_work}
    said += [
        _("Have this put back: %(what)s.") % {"what": inside(alteration.what)}
        for alteration in view.alterations
        if str(alteration.uid) not in planned
    ]
    said += [item.data["what"] for item in view.open_work if not is_said(item.data["what"], said)]
    noting = [item.data["note"] for item in view.not_appeared if not item.appeared_since]
    said += noting
    seen = [item.link.fault_present for item in view.tests]
    if (
        not noting
        and view.complaints
        and seen
        and not _telling(view.findings)
        and "yes" not in seen
    ):
        said.append(
            _(
                "If it happens again, write down when, how hot the engine was, how fast you drove "
                "and what was switched on, and tell us."
            )
        )
    return unique(sentence(text) for text in said) or [
        _("Nothing that we know of from this visit.")
        if view.findings
        else _("The next step is to test.")
        if view.complaints and view.ticket.state not in FINISHED
        else _("Nothing that we know of from this visit.")
    ]


def _waiting(view: TicketView) -> list[str]:
    said = unique(item.data.get("waiting_risk") for item in view.findings)
    for risk in unique(item.data.get("risk") for item in view.open_work):
        if not is_said(risk, said):
            said.append(risk)
    if not said and view.complaints:
        return [_("We can't say what waiting would risk.")]
    return unique(sentence(text) for text in said)


def _cost(ticket: Ticket, profile: Profile) -> str:
    if ticket.allowance_minor is None:
        return _("No sum has been agreed yet.")
    amount = Money(ticket.allowance_minor, ticket.currency).show(profile.locale)
    if ticket.state in FINISHED:
        return _("You agreed to at most %(amount)s for this visit.") % {"amount": amount}
    return str(words.sentence("agree_at_most", amount=amount))


def _stands_for(view: TicketView, evidence: Evidence) -> list[str]:
    """What the shop warrants for the parts that it fitted."""
    return [
        _("We stand for this part, %(part)s: %(warranty)s.")
        % {"part": inside(item.data["part_in"]), "warranty": warranty}
        for item in evidence.ours
        if item.data.get("part_in") and (warranty := item.swap["warranty"])
    ]
