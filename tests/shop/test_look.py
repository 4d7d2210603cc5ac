"""The visual language: contrast, clean templates, fragments that render, typefaces found."""

from __future__ import annotations

import datetime
import logging
import re
from pathlib import Path

import pytest
import time_machine
from django import forms
from django.contrib.staticfiles import finders
from django.template.loader import render_to_string
from django.urls import path as path_to
from django.urls import reverse
from django.utils import timezone

from shop.fonts import FACES, font_files
from shop.styles import PAGE_STYLES, REPORT_STYLES
from shop.templatetags import look

ROOT = Path(__file__).resolve().parents[2]
TEMPLATES = sorted((ROOT / "templates").rglob("*.html"))
SHEETS = sorted((ROOT / "shop/static/css").rglob("*.css"))
SCRIPTS = sorted((ROOT / "shop/static/js").rglob("*.js"))
FRAGMENTS = sorted((ROOT / "templates").glob("_*.html"))
SHARED = [*FRAGMENTS, *sorted((ROOT / "templates").glob("base*.html"))]

NAMED_PAGES = sorted(
    {
        name
        for path in TEMPLATES
        for name in re.findall(r"{% (?:nav|page_url) [\"']([\w-]+)", path.read_text())
    }
)

# Fragments are tried with main pages of their own, so that they depend on nobody's views.
urlpatterns = [path_to(f"{name}/", lambda request: None, name=name) for name in NAMED_PAGES]


def relative(path: Path) -> str:
    return str(path.relative_to(ROOT))


# ------------------------------------------------------------------ contrast

# WCAG 2.2: 4.5 for text (1.4.3), here 7 since much of it is small (1.4.6); 3 for borders of
# controls (1.4.11).
LEAST = {"ink": 7.0, "ink-2": 7.0, "hand": 7.0, "rule": 3.0}


def tokens(marker: str) -> dict[str, str]:
    """The colours of the block that begins after `marker` in tokens.css."""
    text = (ROOT / "shop/static/css/tokens.css").read_text()
    block = text[text.index(marker) :]
    block = block[block.index("{") : block.index("}")]
    return dict(re.findall(r"--([a-z0-9-]+):\s*(#[0-9a-f]{6})", block))


def luminance(colour: str) -> float:
    """Relative luminance as WCAG 2.2 defines it."""
    channels = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one: str, other: str) -> float:
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def test_contrast_is_computed_as_the_standard_says():
    assert contrast("#ffffff", "#000000") == pytest.approx(21)
    assert contrast("#ffffff", "#767676") == pytest.approx(4.54, abs=0.01)


THEMES = {
    "light": "@layer tokens {\n  :root",
    "dark by device": ':root:not([data-theme="light"])',
    "dark by choice": ':root[data-theme="dark"]',
    "paper": ':root, :root[data-theme], :root:not([data-theme="light"])',
}


@pytest.mark.parametrize("theme", THEMES)
@pytest.mark.parametrize("ground", ["paper", "sheet"])
@pytest.mark.parametrize("ink", LEAST)
def test_every_ink_can_be_read_on_every_ground(theme, ground, ink):
    colours = tokens(THEMES[theme])
    assert contrast(colours[ink], colours[ground]) >= LEAST[ink]


def test_dark_by_choice_and_by_device_are_the_same():
    assert tokens(THEMES["dark by choice"]) == tokens(THEMES["dark by device"])


# ------------------------------------------------------------------ clean templates and sheets

NOT_ALLOWED = {
    "a style attribute": re.compile(r"\sstyle\s*=", re.I),
    "an inline style": re.compile(r"<style\b", re.I),
    "an inline script": re.compile(r"<script(?![^>]*\ssrc=)[^>]*>", re.I),
    "an event handler": re.compile(r"\son[a-z]+\s*=", re.I),
    "an htmx handler": re.compile(r"hx-on|[\"']js:|[\"']javascript:", re.I),
    "a trigger filter": re.compile(r"hx-trigger=[\"'][^\"']*\[", re.I),
    "another host": re.compile(r"(?:src|href|action)\s*=\s*[\"'](?:https?:)?//", re.I),
}


@pytest.mark.parametrize("path", TEMPLATES, ids=relative)
@pytest.mark.parametrize("what", NOT_ALLOWED)
def test_no_template_holds(path, what):
    found = NOT_ALLOWED[what].search(path.read_text())
    assert not found, f"{relative(path)} holds {what}: {found.group(0)!r}"


def test_the_patterns_find_what_they_are_for():
    bad = (
        '<p style="x">',
        "<style>",
        "<script>1</script>",
        '<a onclick="x">',
        '<a hx-on:click="x">',
        '<a hx-trigger="click[ctrlKey]">',
        '<img src="//elsewhere/x.png">',
    )
    for text, (what, pattern) in zip(bad, NOT_ALLOWED.items(), strict=True):
        assert pattern.search(text), what


@pytest.mark.parametrize("path", [p for p in SHEETS if p.name != "tokens.css"], ids=relative)
def test_colours_stand_in_the_tokens_alone(path):
    colours = set(re.findall(r"#[0-9a-fA-F]{3,8}\b", path.read_text()))
    assert colours <= {"#111", "#333"}, "black and dark grey of paper are the exceptions"


@pytest.mark.parametrize("path", SHEETS, ids=relative)
def test_every_token_that_is_used_is_defined(path):
    defined = set(re.findall(r"(--[a-z0-9-]+)\s*:", "".join(p.read_text() for p in SHEETS)))
    used = set(re.findall(r"var\((--[a-z0-9-]+)", path.read_text()))
    assert used <= defined


def test_every_sheet_is_linked():
    linked = {*PAGE_STYLES, *REPORT_STYLES}
    assert linked == {str(p.relative_to(ROOT / "shop/static")) for p in SHEETS}


@pytest.mark.parametrize(
    "path", [*FRAGMENTS, *(ROOT / "templates").glob("base*.html")], ids=relative
)
def test_every_class_in_a_shared_fragment_has_a_style(path):
    styled = set(re.findall(r"\.([a-z][a-z0-9-]*)", "".join(p.read_text() for p in SHEETS)))
    text = re.sub(r"{#.*?#}|{%.*?%}|{{.*?}}", "\x00", path.read_text(), flags=re.S)
    named = {
        name
        for names in re.findall(r'class="([^"]*)"', text)
        for name in names.split()
        if "\x00" not in name
    }
    assert named <= styled


@pytest.mark.parametrize("path", SCRIPTS, ids=relative)
def test_every_script_is_linked_and_says_what_it_is_for(path):
    everything = "".join(p.read_text() for p in TEMPLATES)
    assert f"js/{path.name}" in everything
    assert path.read_text().startswith("/*")


# ------------------------------------------------------------------ fragments


class Sheet(forms.Form):
    """One field of each kind."""

    volts = forms.CharField(label="Body to engine block", help_text="While cranking.")
    unit = forms.ChoiceField(label="Unit", choices=[("mV", "mV"), ("V", "V")])
    just_then = forms.ChoiceField(
        label="Was the complaint happening just then?",
        choices=[("unknown", "not known"), ("yes", "yes"), ("no", "no")],
        widget=forms.RadioSelect,
    )
    ready = forms.MultipleChoiceField(
        label="Ready", choices=[("a", "Fuel cut off")], widget=forms.CheckboxSelectMultiple
    )
    kept = forms.BooleanField(label="Old part kept", required=False)


def a_form(**typed: object) -> Sheet:
    return Sheet(
        {"volts": "661 mV", "unit": "mV", "just_then": "yes", "ready": ["a"], **typed},
        auto_id="id_%s",
    )


PERSON = type(
    "Person", (), {"is_authenticated": True, "name": "I. Halloran", "can": lambda self, what: True}
)()
ENTRIES = [{"no": "10", "url": "#e10", "words": "voltage drop"}]
ROW = {
    "label": "body to block", "value": "0.661", "u": "0.007", "limit": "0.20", "tag": "a",
    "outcome": "outside", "before": "0.661 V", "after": "0.048 V", "change": "−0.613",
}  # fmt: skip
CALL = {"url": "/t", "due": "16:00", "no": "0417", "name": "Brennar Lader", "plate": "BN 58 KLD"}

EXAMPLES: dict[str, tuple[dict, str]] = {
    "_advice": ({"advice": "do_not_drive", "text": "The pipe weeps."}, "Do not drive"),
    "_altered": ({"what": "fan wired", "no": 4, "rests": ENTRIES}, "fan wired"),
    "_ba": ({"rows": [ROW], "what": "while cranking", "caption": "x"}, "0.048 V"),
    "_call": ({"call": CALL}, "16:00"),
    "_carry": ({"carry": {"value": "88 °C", "at": "10:26"}, "field": a_form()["volts"]}, "10:26"),
    "_cautions": ({"cautions": [{"danger": "It turns.", "text": "Hands off."}]}, "maker’s data"),
    "_certainty": ({"certainty": "ruled_out"}, "Ruled out"),
    "_chips": ({"field": a_form()["just_then"]}, "not known"),
    "_control": ({"field": a_form()["volts"], "unit": "V"}, "661 mV"),
    "_control_sign": ({"field": a_form()["volts"], "negative": True}, "data-sign"),
    "_control_unit": ({"field": a_form()["volts"], "unit": "V"}, ">V<"),
    "_default_button": ({}, "<button"),
    "_empty": ({"heading": "No readings yet", "text": "x", "url": "/", "action": "Go"}, "Go"),
    "_error_list": ({"faults": [{"href": "#a", "text": "b"}]}, "Nothing you typed is lost."),
    "_errors": ({"form": a_form(volts="")}, "#id_volts"),
    "_fault": ({"field": a_form(volts="")["volts"]}, "Not saved:"),
    "_field": ({"field": a_form()["volts"], "unit": "V"}, "Body to engine block"),
    "_foot": ({"user": PERSON, "is_demo": True}, "invented"),
    "_head_nav": ({"user": PERSON}, "I. Halloran"),
    "_key": ({}, "nobody looked"),
    "_notice": ({"kind": "waits", "text": "Two photos wait."}, "notice-waits"),
    "_notices": ({}, "unreached"),
    "_number_field": (
        {"field": a_form()["volts"], "unit": "V", "limit": "0.20", "outcome": "outside"},
        "0.20",
    ),
    "_page_links": ({"older_url": "?after=5"}, "?after=5"),
    "_photos": (
        {"photos": [{"no": "11a", "src": "/x", "alt": "a lug", "in_report": False}], "name": "n"},
        "not in the report",
    ),
    "_readings": ({"rows": [ROW], "what": "path", "unit": "V", "caption": "x"}, "0.661"),
    "_rests": ({"entries": ENTRIES}, "rests on"),
    "_save": ({"form_id": "f", "state": "4 of 5 readings.", "label": "Save test"}, 'form="f"'),
    "_shop_links": ({"user": PERSON}, "Sign out"),
    "_tick": ({"option": {"value": "a", "label": "Fuel cut off"}, "name": "n"}, "Fuel cut off"),
    "_ticks": ({"field": a_form()["ready"]}, "Fuel cut off"),
    "_tray": ({"user": PERSON}, "New ticket"),
    "_understood": ({"field": a_form()["volts"], "echo": "0.661 V", "oob": True}, "hx-swap-oob"),
    "_verdict": ({"outcome": "cannot_tell"}, "cannot tell"),
}


def rendered(name: str, context: dict) -> str:
    return render_to_string(f"{name}.html", context)


def test_every_shared_fragment_has_an_example():
    assert {path.stem for path in FRAGMENTS} == set(EXAMPLES)


@pytest.mark.urls(__name__)
@pytest.mark.parametrize("name", EXAMPLES)
def test_a_fragment_renders(name):
    context, words = EXAMPLES[name]
    assert words in rendered(name, context)


@pytest.mark.urls(__name__)
@pytest.mark.parametrize("path", FRAGMENTS, ids=relative)
def test_a_fragment_begins_with_what_it_takes(path):
    assert re.match(r"{#.{20,}#}|{% comment %}.{20,}", path.read_text())
    assert "{#" not in rendered(path.stem, EXAMPLES[path.stem][0])


@pytest.mark.urls(__name__)
@pytest.mark.parametrize(
    "name",
    ["400", "403", "404", "500", "not_saved", "send_again", "help/marks", "shop/sign_in_slowed"],
)
def test_a_page_renders_without_a_request(name):
    page = rendered(name, {"user": PERSON, "reason": "Kept for the owner.", "error_number": "ab12"})
    assert page.count("<h1") == 1
    assert '<main id="main"' in page


@pytest.mark.urls(__name__)
def test_the_page_for_our_own_fault_asks_nobody_who_is_signed_in():
    class Broken:
        def __getattr__(self, name: str):
            raise AssertionError(f"asked for {name}")

    assert "ab12" in rendered("500", {"user": Broken(), "messages": None, "error_number": "ab12"})


@pytest.mark.parametrize("name", NAMED_PAGES)
def test_a_page_that_every_page_links_to_exists(name):
    assert reverse(name).startswith("/")


@pytest.mark.urls(__name__)
def test_the_page_one_is_on_is_marked(rf):
    context = {"request": rf.get("/today/"), "user": PERSON}
    assert look.nav(context, "today", "Today") == '<a href="/today/" aria-current="page">Today</a>'
    assert look.nav(context, "cars", "Cars") == '<a href="/cars/">Cars</a>'


@pytest.mark.urls(__name__)
def test_who_may_not_keep_people_is_not_led_there(rf):
    counter = type("Counter", (), {"can": lambda self, what: what != "people"})()
    assert "People" not in rendered("_shop_links", {"user": counter})


# ------------------------------------------------------------------ words, lines, forms


def test_a_limit_of_common_practice_makes_a_reading_unusual():
    assert "unusual" in rendered("_verdict", {"outcome": "outside", "common": True})


def test_a_lower_limit_turns_the_glyph_round():
    assert look.verdict_glyph("within", lower=True) != look.verdict_glyph("within")


@pytest.mark.parametrize("code", ["Cannot tell", "cannot-tell", "cannot_tell"])
def test_a_verdict_may_be_written_in_any_way(code):
    assert look.verdict_class(code) == "verdict-cannot-tell"


@pytest.mark.parametrize("code", ["ok", "pass", "fail", ""])
def test_an_unknown_verdict_is_refused(code):
    with pytest.raises(look.UnknownMarkError, match="known are within, outside"):
        look.verdict_class(code)


def test_no_word_of_ours_says_that_a_car_is_safe():
    words = [*look.CERTAINTY_WORDS.values(), *look.VERDICT_WORDS.values()]
    words += [*look.USUAL_WORDS.values(), *(word for _, word in look.ADVICE.values())]
    banned = re.compile(r"\b(safe|ok|pass(ed)?|fail(ed)?|cleared)\b", re.I)
    assert [str(word) for word in words if banned.search(str(word))] == []


def test_driving_advice_names_what_was_not_looked_at():
    plate = rendered("_advice", {"advice": "no_restriction", "not_tested": ["brakes", "tyres"]})
    assert "We did not look at: brakes and tyres." in plate


def test_the_makers_data_is_the_last_caution_once():
    context = {"cautions": [{"danger": "The maker’s data come first.", "text": ""}]}
    assert rendered("_cautions", context).count("<li>") == 2
    assert rendered("_cautions", {**context, "maker_included": True}).count("<li>") == 1


def test_typed_text_is_escaped():
    nasty = "<b>x</b>"
    assert "<b>x" not in look.plate(nasty)
    assert "<b>x" not in look.quantity(nasty, nasty, nasty)
    assert "<b>x</b>." not in look.lead(nasty + ". Rest")


def test_dont_know_comes_last():
    chips = rendered("_chips", {"field": a_form()["just_then"]})
    assert chips.index("not known") > chips.index(">no<")


def test_a_fault_is_tied_to_its_field():
    html = rendered("_field", {"field": a_form(volts="")["volts"], "unit": "V"})
    assert 'aria-invalid="true"' in html
    told = re.search(r'aria-describedby="([^"]+)"', html).group(1).split()
    assert "id_volts_error" in told
    assert all(f'id="{name}"' in html for name in told)


def test_a_list_of_faults_counts_and_links():
    html = rendered("_errors", {"form": a_form(volts="", just_then="")})
    assert "2 things to put right" in html
    assert 'href="#id_volts"' in html
    assert 'href="#id_just_then' in html


def test_a_form_without_fault_shows_none():
    assert rendered("_errors", {"form": a_form()}).strip() == ""


def test_a_label_left_out_on_a_route_is_replaced_by_the_station():
    html = rendered("_number_field", {"field": a_form()["volts"], "label_id": "s1", "unit": "V"})
    assert 'aria-labelledby="s1"' in html
    assert "<label" not in html


# ------------------------------------------------------------------ money and time


def test_money_is_shown_from_whole_minor_units():
    assert look.money(24640, "EUR") == "€246.40"
    assert look.money(500, "JPY") == "¥500"
    assert look.money(None) == ""


@time_machine.travel(datetime.datetime(2025, 6, 5, 12, 0, tzinfo=datetime.UTC))
@pytest.mark.parametrize(
    ("moment", "due", "when"),
    [
        ("2025-06-05T08:12", "08:12", "08:12"),
        ("2025-06-03T15:20", "Tue", "Tue 15:20"),
        ("2025-05-02T09:00", "2 May", "2 May 09:00"),
        ("2024-05-02T09:00", "2 May", "2 May 2024"),
    ],
)
def test_a_time_is_as_short_as_it_stays_clear(moment, due, when):
    with timezone.override("UTC"):
        at = datetime.datetime.fromisoformat(moment).replace(tzinfo=datetime.UTC)
        assert (look.due(at), look.when(at)) == (due, when)


def test_a_time_is_shown_in_the_zone_of_the_shop():
    at = datetime.datetime(2025, 6, 5, 7, 12, tzinfo=datetime.UTC)
    with timezone.override("Europe/London"):
        assert look.clock(at) == "08:12"
        assert 'datetime="2025-06-05T08:12:00+01:00"' in look.at(at)


# ------------------------------------------------------------------ typefaces


def test_every_face_is_found_in_its_package():
    assert set(font_files()) == {name for names in FACES.values() for name in names}


def test_the_sheet_names_the_faces_and_no_others():
    text = (ROOT / "shop/static/css/fonts.css").read_text()
    assert set(re.findall(r"fonts/([\w-]+\.ttf)", text)) == set(font_files())


def test_a_face_is_served_as_a_static_file():
    assert finders.find("fonts/Barlow-Regular.ttf") == str(font_files()["Barlow-Regular.ttf"])


@pytest.mark.parametrize("path", ["fonts/Barlow-Black.ttf", "fonts/../LICENSE", "Barlow-Bold.ttf"])
def test_nothing_else_of_a_package_is_served(path):
    assert not finders.find(path)


def test_faces_are_collected_below_their_folder():
    finder = finders.get_finder("shop.finders.FontFinder")
    names = {f"{storage.prefix}/{name}" for name, storage in finder.list(None)}
    assert "fonts/SourceSerifPro-It.ttf" in names


# ------------------------------------------------------------------ paper


@pytest.mark.needs("pango")
def test_the_paper_renderer_understands_every_rule(caplog):
    from weasyprint import CSS

    with caplog.at_level(logging.WARNING, logger="weasyprint"):
        for path in REPORT_STYLES:
            if path != "css/fonts.css":  # asks for files by their address on the site
                CSS(filename=str(ROOT / "shop/static" / path))
    assert caplog.messages == []
