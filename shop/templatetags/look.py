"""Tags and filters of the visual language. What a thing means is decided elsewhere; here it gets
its class, its word and its drawing (by `measurements.core.chart`, imported where it is used)."""

from __future__ import annotations

import datetime
import re
from enum import Enum
from typing import Any

from django import template
from django.forms.boundfield import BoundField
from django.template.context import Context
from django.templatetags.static import static
from django.urls import NoReverseMatch, reverse
from django.utils import formats, timezone
from django.utils.html import conditional_escape, format_html, format_html_join
from django.utils.safestring import SafeString, mark_safe
from django.utils.translation import get_language, gettext, gettext_lazy, ngettext, pgettext

from shop.clock import hour
from shop.styles import SHEETS

register = template.Library()

NO_BREAK_SPACE = "\u00a0"

CERTAINTY_WORDS = {
    "confirmed": gettext_lazy("Confirmed"),
    "probable": gettext_lazy("Probable"),
    "suspected": gettext_lazy("Suspected"),
    "ruled_out": gettext_lazy("Ruled out"),
    "not_tested": gettext_lazy("Not tested"),
}
VERDICT_WORDS = {
    "within": gettext_lazy("within"),
    "outside": gettext_lazy("outside"),
    "cannot_tell": gettext_lazy("cannot tell"),
    "no_limit": gettext_lazy("no limit"),
}
USUAL_WORDS = {"within": gettext_lazy("usual"), "outside": gettext_lazy("unusual")}
"""For limits that are common practice: they make a reading unusual, not wrong."""
ADVICE = {
    "do_not_drive": ("dont", gettext_lazy("Do not drive")),
    "only_as_stated": ("only", gettext_lazy("Drive only as stated")),
    "no_restriction": (
        "free",
        gettext_lazy("Nothing we measured is a reason not to drive"),
    ),
}


class UnknownMarkError(ValueError):
    """A template asks for a mark that the visual language doesn't have."""

    def __init__(self, what: str, value: object, known: Any) -> None:
        super().__init__(f"{value!r} is no {what}; known are {', '.join(known)}")


def code_of(value: object) -> str:
    """`Cannot tell`, `cannot-tell` and an enum's member all mean `cannot_tell`."""
    if isinstance(value, Enum):
        value = value.value
    return re.sub(r"[\s-]+", "_", str(value).strip().lower())


def _known(what: str, value: object, table: dict[str, Any]) -> str:
    code = code_of(value)
    if code in {"no_restriction_found", "no_restriction_found_by_these_tests"}:
        code = "no_restriction"
    if code not in table:
        raise UnknownMarkError(what, value, table)
    return code


# --- the page -----------------------------------------------------------------------------------


@register.simple_tag
def styles(kind: str) -> SafeString:
    """The links to a page's or a report's style sheets."""
    links = ((static(path),) for path in SHEETS[kind])
    return format_html_join("\n", '<link rel="stylesheet" href="{}">', links)


@register.simple_tag(takes_context=True)
def nav(context: Context, name: str, words: str, css: str = "", needs: str = "") -> SafeString:
    """A link to a main page, marked where one is; nothing without that page or the capability."""
    url = page_url(name)
    if not url or (needs and not context["user"].can(needs)):
        return SafeString("")
    request = context.get("request")
    here = format_html(' aria-current="{}"', "page") if request and request.path == url else ""
    return format_html('<a href="{}"{}{}>{}</a>', url, _css(css), here, words)


@register.simple_tag
def page_url(name: str) -> str:
    """The address of a main page, or nothing where the project has no such page."""
    try:
        return reverse(name)
    except NoReverseMatch:
        return ""


@register.filter
def notice_kind(level_tag: str) -> str:
    """The kind of notice for a message's level."""
    return {"error": "wrong", "warning": "waits"}.get(level_tag, "done")


def _css(names: str) -> SafeString | str:
    return format_html(' class="{}"', names) if names else ""


# --- marks --------------------------------------------------------------------------------------


@register.inclusion_tag("_verdict.html")
def verdict(outcome: object, lower: bool = False, common: bool = False, word: str = "") -> dict:
    """Glyph and word of a verdict. `common`: the limit is common practice."""
    return {"outcome": outcome, "lower": lower, "common": common, "word": word}


@register.simple_tag
def verdict_glyph(outcome: object, lower: bool = False) -> SafeString:
    """A chart in small: axis, stop, reading, uncertainty."""
    from measurements.core import chart

    code = _known("verdict", outcome, VERDICT_WORDS)
    return drawing(chart.verdict_glyph(code, "lower" if lower else "upper"))


@register.simple_tag
def verdict_word(outcome: object, common: bool = False) -> str:
    """`within`, or for a limit of common practice `usual`."""
    code = _known("verdict", outcome, VERDICT_WORDS)
    return str((USUAL_WORDS if common else {}).get(code) or VERDICT_WORDS[code])


@register.filter
def verdict_class(outcome: object) -> str:
    """`verdict-cannot-tell`, for a style sheet."""
    return "verdict-" + _known("verdict", outcome, VERDICT_WORDS).replace("_", "-")


@register.inclusion_tag("_certainty.html")
def certainty(certainty: object, word: str = "") -> dict:
    """The line and the word of a finding's certainty."""
    return {"certainty": certainty, "word": word}


@register.simple_tag
def certainty_line(value: object) -> SafeString:
    """Thick, thin, dashed, crossed or dotted."""
    from measurements.core import chart

    return drawing(chart.certainty_line(_known("certainty", value, CERTAINTY_WORDS)))


@register.filter
def certainty_word(value: object) -> str:
    """`Ruled out` for `ruled_out`."""
    return str(CERTAINTY_WORDS[_known("certainty", value, CERTAINTY_WORDS)])


@register.filter
def certainty_class(value: object) -> str:
    """`ruled-out` for `ruled_out`: the end of a class name."""
    return _known("certainty", value, CERTAINTY_WORDS).replace("_", "-")


@register.filter
def advice_class(value: object) -> str:
    """`dont`, `only` or `free`: how heavy the plate's frame is."""
    return ADVICE[_known("driving advice", value, ADVICE)][0]


@register.filter
def advice_word(value: object) -> str:
    """The plate's first line. Never that a car is safe."""
    return str(ADVICE[_known("driving advice", value, ADVICE)][1])


@register.filter
def drawing(svg: str) -> SafeString:
    """An SVG that our own chart functions made, and nobody else."""
    return mark_safe(svg or "")  # noqa: S308 - no typed text reaches those functions unescaped


@register.filter
def plate(text: str) -> SafeString:
    """A number plate."""
    return format_html('<span class="plate">{}</span>', text) if text else SafeString("")


@register.filter
def lead(text: str) -> SafeString:
    """The first sentence bold, the rest plain."""
    match = re.match(r"(.+?[.:!?])(\s+)(.*)", str(text), re.DOTALL)
    if not match:
        return format_html("<b>{}</b>", text)
    return format_html("<b>{}</b>{}{}", *match.groups())


# --- quantities, money, time --------------------------------------------------------------------


@register.simple_tag
def quantity(value: object, unit: str = "", u: object = None, hand: bool = True) -> SafeString:
    """A value that is rounded already, with unit and ±; violet when it was measured or typed."""
    shown = join_unit(value, unit)
    out = conditional_escape(shown)
    if hand:
        out = format_html('<span class="hand u">{}</span>', shown)
    if u not in (None, ""):
        out = format_html('{} <span class="u">±{}{}</span>', out, NO_BREAK_SPACE, u)
    return out


@register.simple_tag(takes_context=True)
def measured(
    context: Context, value: float, u: float, kind: str, unit: str = "", hand: bool = True
) -> SafeString:
    """A value in the stored unit of its quantity `kind`, rounded and shown in the shop's units."""
    from measurements.core import units

    system = getattr(context.get("profile"), "units", "metric")
    shown, _, half_width = units.show(value, u, kind, system, unit=unit).partition(" ± ")
    return quantity(shown, u=half_width, hand=hand)


@register.simple_tag
def limit_strip(
    value: float, u: float, low: float | None, high: float | None, outcome: object
) -> SafeString:
    """A strip to scale: the limit at the same place in every row, hatched beyond it."""
    from measurements.core import chart

    return drawing(chart.limit_strip(value, u, low, high, code_of(outcome)))


def join_unit(value: object, unit: str) -> str:
    """Value, a space that doesn't break, unit; a true minus sign."""
    text = str(value)
    if text.startswith("-"):
        text = "\u2212" + text[1:]
    return f"{text}{NO_BREAK_SPACE}{unit}" if unit else text


@register.filter
def money(minor: int | None, currency: str = "EUR") -> str:
    """Whole minor units (cents) as a sum in the reader's way of writing: 24640 is 246.40 €."""
    if minor is None:
        return ""
    from shop.money import Money

    return Money(int(minor), currency).show(get_language() or "en")


@register.filter
def clock(moment: datetime.datetime | None) -> str:
    """The hour in the shop's time: 08:12."""
    return hour(moment) if moment else ""


@register.filter
def due(moment: datetime.datetime | None) -> str:
    """At most five letters for left of the datum: 16:00 today, Fri within six days, else 5 Jun."""
    if not moment:
        return ""
    local, today = _local(moment), timezone.localdate()
    if local.date() == today:
        return local.strftime("%H:%M")
    if abs((local.date() - today).days) <= 6:
        return formats.date_format(local, "D")
    return formats.date_format(local, "j M")


@register.filter
def when(moment: datetime.datetime | None) -> str:
    """As short as it stays clear: 08:12, Tue 15:20, 5 June 15:20, 5 June 2024."""
    if not moment:
        return ""
    local, today = _local(moment), timezone.localdate()
    if local.date() == today:
        return hour(moment)
    if abs((local.date() - today).days) <= 6:
        return f"{formats.date_format(local, 'D')} {hour(moment)}"
    if local.year == today.year:
        return f"{formats.date_format(local, 'j F')} {hour(moment)}"
    return formats.date_format(local, "j F Y")


@register.simple_tag
def at(moment: datetime.datetime | None) -> SafeString:
    """The same in a `time` element, whole for a machine and on hovering."""
    if not moment:
        return SafeString("")
    local = _local(moment)
    return format_html(
        '<time datetime="{}" title="{}">{}</time>',
        local.isoformat(timespec="seconds"),
        formats.date_format(local, "j F Y H:i"),
        when(moment),
    )


def _local(moment: datetime.datetime) -> datetime.datetime:
    return timezone.localtime(moment) if timezone.is_aware(moment) else moment


# --- forms --------------------------------------------------------------------------------------


@register.simple_tag
def control(
    field: BoundField, css: str = "", described_by: str = "", labelled_by: str = "", **attrs: Any
) -> SafeString:
    """A field's bare control, with our class and what a screen reader has to be told."""
    classes = [*field.field.widget.attrs.get("class", "").split(), "write", *css.split()]
    told = [f"{field.auto_id}_helptext"] if field.help_text else []
    told += described_by.split()
    out = {"class": " ".join(dict.fromkeys(classes))}
    if field.errors:
        told.append(f"{field.auto_id}_error")
        out["aria-invalid"] = "true"
    if told:
        out["aria-describedby"] = " ".join(told)
    if labelled_by:
        out["aria-labelledby"] = labelled_by
    if "num" in classes:
        out |= {"autocomplete": "off", "enterkeyhint": "next"}
        out["inputmode"] = field.field.widget.attrs.get("inputmode", "decimal")
    given = {name.replace("_", "-"): value for name, value in attrs.items()}
    out |= {name: value for name, value in given.items() if value not in ("", None)}
    return field.as_widget(attrs=out)


@register.filter
def widget_kind(field: BoundField) -> str:
    """`checkbox`, `choices`, `textarea`, `select`, `file`, `hidden` or `text`."""
    from django import forms

    widget = field.field.widget
    for kind, classes in (
        ("hidden", (forms.HiddenInput,)),
        ("choices", (forms.CheckboxSelectMultiple, forms.RadioSelect)),
        ("checkbox", (forms.CheckboxInput,)),
        ("textarea", (forms.Textarea,)),
        ("select", (forms.Select,)),
        ("file", (forms.FileInput,)),
    ):
        if isinstance(widget, classes):
            return kind
    return "text"


@register.filter
def options_of(field: BoundField) -> list[dict[str, Any]]:
    """A closed choice's answers in a flat list, ready for `_ticks.html` and `_chips.html`."""
    return [
        {
            "id": option.id_for_label,
            "kind": option.data["type"],
            "name": option.data["name"],
            "value": str(option.data["value"]),
            "label": option.choice_label,
            "checked": option.data["selected"],
            "disabled": bool(option.data["attrs"].get("disabled")),
        }
        for option in field.subwidgets
    ]


@register.filter
def unknown_last(options: list[dict[str, Any]], unknown: str = "unknown") -> list[dict[str, Any]]:
    """The answers with "don't know" at the end, marked."""
    marked = [{**option, "unknown": option["value"] in (unknown, "")} for option in options]
    return sorted(marked, key=lambda option: option["unknown"])


@register.filter
def faults_of(form: Any) -> list[dict[str, str]]:
    """Every fault of one form or several with the address of its field, in the page's order."""
    forms = form if isinstance(form, (list, tuple)) else [form]
    faults: list[dict[str, str]] = []
    for one in forms:
        faults += [{"href": "", "text": str(text)} for text in one.non_field_errors()]
        for field in one:
            faults += [_fault(field, str(text)) for text in field.errors]
    return faults


def _fault(field: BoundField, text: str) -> dict[str, str]:
    target = field.id_for_label or field.auto_id
    label = str(field.label or "").rstrip("?:. ")
    if label:
        text = pgettext("field: what is wrong", "{field}: {fault}").format(field=label, fault=text)
    return {"href": f"#{target}" if target else "", "text": text}


@register.filter
def not_saved(faults: list) -> str:
    """The heading over a list of faults."""
    count = len(faults)
    words = ngettext(
        "Not saved: one thing to put right", "Not saved: {count} things to put right", count
    )
    return words.format(count=count)


@register.filter
def wide_unit(unit: str) -> bool:
    """Whether a unit needs more room in its field than two letters."""
    return len(unit or "") > 2


@register.filter
def labelled(row: Any, head: Any) -> list[tuple[str, str]]:
    """Each cell of a row with the heading of its column, for narrow screens."""
    return list(zip(head, row, strict=False))


@register.filter
def spoken_list(items: Any) -> str:
    """`brakes, steering and tyres`; text stays as it is."""
    if isinstance(items, str) or items is None:
        return items or ""
    words = [str(item) for item in items]
    if len(words) < 2:
        return "".join(words)
    return gettext("{some} and {last}").format(some=", ".join(words[:-1]), last=words[-1])
