"""Words of judgement: certainty, driving advice, verdicts, whether the fault was there.

What a customer or a court misreads is kept off the customer's side; the tests hold the list.
"""

from __future__ import annotations

from collections.abc import Iterable

from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from shop.words import UnknownCode, Word, table

CERTAINTY = table(
    "certainty",
    (
        "confirmed",
        _("confirmed"),
        _("confirmed"),
        _("Seen directly, or it came and went with the part in the same test."),
    ),
    (
        "probable",
        _("probable"),
        _("probable"),
        _(
            "The readings named here point to it. It was not seen directly, so it could still be "
            "something else."
        ),
    ),
    (
        "suspected",
        _("suspected"),
        _("possible cause"),
        _("It fits what was reported. Nothing that we measured settles it yet."),
    ),
    (
        "ruled_out",
        _("ruled out"),
        _("no sign of it"),
        _(
            "We tested for it as stated here and found no sign of it. This holds for the "
            "conditions of the test."
        ),
    ),
    ("not_tested", _("not tested"), _("not tested"), _("We did not look at this.")),
)

LACKING = table(
    "lacking",
    ("evidence", _("a test, a photo or a swap that it rests on")),
    (
        "direct",
        _(
            "seeing it directly: the part's own test or a photo of the fault itself; or a fault "
            "that comes and goes with the part on the same test"
        ),
    ),
    (
        "direct_weakened",
        _("the direct test made again without what weakened it (entry %(of)s)"),
    ),
    ("telling", _("a test that found something")),
    ("speaks", _("a test that speaks for this cause; what entry %(of)s found does not")),
    ("weakened", _("the test made again without what weakened it (entry %(of)s)")),
    (
        "seen",
        _(
            "the fault seen here: make it happen, or say on a test that it was happening just "
            "then. Until then only direct sight makes more of it than a suspicion"
        ),
    ),
    (
        "present",
        _("the test made while the fault was there, since it comes and goes (entry %(of)s)"),
    ),
    (
        "tried",
        _(
            "an answer to entry %(of)s: with another part in its place the fault stayed, which "
            "speaks against it"
        ),
    ),
    (
        "changed",
        _("an answer to entry %(of)s: the part was changed and nothing changed with it"),
    ),
    (
        "second",
        _(
            "a second ground that shares no cause with the first: this repair costs much, can't be "
            "undone, or guards somebody's life"
        ),
    ),
    ("one_direct", _("one ground seen directly, or the part's own test")),
    ("also_like", _("an answer to what else would look like this")),
    ("own_sound", _("its own test with nothing unusual in it; a test on another part clears none")),
    ("own", _("its own test; entry %(of)s would look much the same with this cause")),
    ("there", _("its own test while the fault was there: entry %(of)s says nothing of that")),
)
"""What a finding still lacks to be called surer; `of`: the entries that it is about."""

# In rising strictness, so that the strictest of several is the last.
DRIVING_ADVICE = table(
    "driving_advice",
    (
        "no_restriction",
        _("no restriction found by these tests"),
        _("Nothing we measured is a reason not to drive."),
        _("It says nothing about what we did not look at."),
    ),
    (
        "only_as_stated",
        _("drive only as stated"),
        _("Drive only as stated here."),
        _("Driving in another way can make it worse or put people in danger."),
    ),
    (
        "do_not_drive",
        _("do not drive"),
        _("Do not drive."),
        _("The decision is yours. You may have it towed elsewhere."),
    ),
)

FAULT_PRESENT = table(
    "fault_present",
    ("yes", _("yes, just then"), _("the complaint was there during the test")),
    ("no", _("no, not just then"), _("the complaint was not there during the test")),
    ("unknown", _("not known"), _("not known whether the complaint was there during the test")),
)

VERDICT = table(
    "verdict",
    ("within", _("within"), _("inside the limit")),
    ("outside", _("outside"), _("outside the limit")),
    (
        "cannot_tell",
        _("cannot tell"),
        _("too close to the limit for this meter"),
        _("The reading lies nearer to the limit than this instrument can resolve."),
    ),
    ("no_limit", _("no limit"), _("measured, no limit known")),
)

# Whose limit it is, as limits are tagged: the maker's, a standard's (S), common practice (C).
_VERDICT_OF = {
    "maker": (
        Word("within", _("within the maker's limit"), _("inside the maker's limit")),
        Word("outside", _("outside the maker's limit"), _("outside the maker's limit")),
    ),
    "S": (
        Word("within", _("within the standard's limit"), _("inside the limit of the standard")),
        Word("outside", _("outside the standard's limit"), _("outside the limit of the standard")),
    ),
    "C": (Word("within", _("usual"), _("usual")), Word("outside", _("unusual"), _("unusual"))),
}
_WITH_LIMIT = {
    ("within", "maker"): _("inside the maker's limit of %(limit)s"),
    ("outside", "maker"): _("outside the maker's limit of %(limit)s"),
    ("within", "S"): _("inside the standard's limit of %(limit)s"),
    ("outside", "S"): _("outside the standard's limit of %(limit)s"),
    ("within", "C"): _("usual; common practice is %(limit)s"),
    ("outside", "C"): _("unusual; common practice is %(limit)s"),
}
_TOO_CLOSE = {
    "maker": _("too close to the maker's limit of %(limit)s for this meter"),
    "S": _("too close to the standard's limit of %(limit)s for this meter"),
    "C": _("too close for this meter to call it usual or unusual; common practice is %(limit)s"),
}
_CANNOT_TELL_OF_SAFETY = Word(
    "cannot_tell",
    _("cannot tell: measure better, or treat as reached"),
    _("too close to the limit for this meter, so we treat the limit as reached"),
    _("At a limit that people's lives hang on, doubt counts as having reached it."),
)
_TREATED_AS_REACHED = _("%(phrase)s, so we treat the limit as reached")


def strictest(codes: Iterable[str]) -> str:
    """The strictest driving advice of several; raises UnknownCode, and ValueError for none."""
    return max(codes, key=lambda code: DRIVING_ADVICE.codes.index(DRIVING_ADVICE[code].code))


def advice_sentence(code: str, *, words: str = "", not_tested: Iterable[str] = ()) -> str:
    """The customer's driving advice, with its own words and with what was not looked at.

    `words` names the hazard and its measurement, or the way in which it may be driven.
    """
    sentences = [DRIVING_ADVICE.customer(code)]
    if words.strip():
        sentences.append(words.strip())
    if code == "do_not_drive":
        sentences.append(DRIVING_ADVICE.meaning(code))
    unseen = ", ".join(str(part) for part in not_tested)
    if unseen:
        sentences.append(gettext("We did not look at: %(parts)s.") % {"parts": unseen})
    elif code == "no_restriction":
        sentences.append(DRIVING_ADVICE.meaning(code))
    return " ".join(sentences)


def verdict_word(outcome: str, tag: str, *, safety: bool = False) -> Word:
    """The words for a verdict against a limit with this tag (maker, S, C).

    At a limit of safety "cannot tell" is treated as reached. Raises UnknownCode.
    """
    if outcome == "cannot_tell" and safety:
        return _CANNOT_TELL_OF_SAFETY
    word = VERDICT[outcome]
    if outcome == "no_limit":
        return word
    within, outside = _of_tag(tag)
    return {"within": within, "outside": outside}.get(outcome, word)


def verdict_phrase(outcome: str, tag: str, limit: str, *, safety: bool = False) -> str:
    """The customer's words for a verdict with its limit: inside the maker's limit of 0.20 V."""
    if VERDICT[outcome].code == "no_limit":
        return VERDICT.customer(outcome)
    _of_tag(tag)
    if outcome != "cannot_tell":
        return str(_WITH_LIMIT[outcome, tag]) % {"limit": limit}
    phrase = str(_TOO_CLOSE[tag]) % {"limit": limit}
    return str(_TREATED_AS_REACHED) % {"phrase": phrase} if safety else phrase


def _of_tag(tag: str) -> tuple[Word, Word]:
    try:
        return _VERDICT_OF[tag]
    except KeyError:
        raise UnknownCode("tags of limits", tag) from None
