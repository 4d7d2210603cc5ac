"""Finished HTML made ready for the PDF library: what paper never shows is left out, the style
sheets are one, and each drawing is a picture of its own.

The library gives every element of an inline drawing the styles of a paragraph, and asks each style
sheet apart about each element. The same lines as pictures cost a fraction, and the marks that
repeat are one picture.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from hashlib import sha256
from html import escape, unescape
from pathlib import Path
from urllib.parse import urljoin

from django.contrib.staticfiles import finders
from django.templatetags.static import static
from django.utils import translation

from jobs.process.html_to_pdf import BASE, DRAWING
from shop.styles import REPORT_STYLES

INK = "#1a2129"
"""What `currentColor` is on paper: the colour of the printed form (tokens.css)."""

# Words for narrow screens and screen readers, and the small mark of a verdict where a strip to
# scale stands beside it.
_HIDDEN = re.compile(
    r'<caption class="away">.*?</caption>|<span class="(?:away|limit-short)".*?</span>', re.DOTALL
)
_WITH_STRIPS = re.compile(r'<table class="readings readings-strips">.*?</table>', re.DOTALL)
_GLYPH = re.compile(r'(?<=">)<svg[^>]*viewBox="0 0 34 14".*?</svg>', re.DOTALL)
_SHEETS = re.compile(r'(?:<link rel="stylesheet" href="[^"]*">\s*)+')
_DRAWING = re.compile(r"(<svg\b[^>]*>)(.*?</svg>)", re.DOTALL)
_TITLE = re.compile(r"<title\b[^>]*>(.*?)</title>", re.DOTALL)
_KEPT = re.compile(r' (?:class|width|height)="[^"]*"')
_NAMED_BY = re.compile(r' (?:class|role|aria-[a-z]+)="[^"]*"')


@dataclass(frozen=True)
class Paper:
    """What the PDF is made of: the HTML, and address -> text for what it refers to."""

    html: str
    made: dict[str, str] = field(default_factory=dict)


def only_printed(html: str) -> str:
    """The HTML without what paper never shows, which would still cost time."""
    html = _HIDDEN.sub("", html)
    return _WITH_STRIPS.sub(lambda table: _GLYPH.sub("", table.group()), html)


def on_paper(html: str, *, language: str) -> Paper:
    """The paper of a finished page that links the report's style sheets and draws inline."""
    html = only_printed(html)
    address = static("css/paper.css")
    made = {urljoin(BASE, address): _one_sheet()}
    html = _SHEETS.sub(f'<link rel="stylesheet" href="{address}">', html, count=1)
    with translation.override(language):
        mark = translation.gettext("mark")

    def picture(found: re.Match[str]) -> str:
        opening, rest = found.groups()
        title = _TITLE.search(rest)
        lines = _NAMED_BY.sub("", opening) + _TITLE.sub("", rest, count=1)
        lines = lines.replace("currentColor", INK)
        if "xmlns=" not in opening:
            lines = lines.replace("<svg", '<svg xmlns="http://www.w3.org/2000/svg"', 1)
        name = f"{DRAWING}{sha256(lines.encode()).hexdigest()[:24]}"
        made[name] = lines
        # PDF/UA wants words for every picture, also for a mark whose word stands beside it.
        alternative = unescape(title.group(1)) if title else mark
        kept = "".join(_KEPT.findall(opening))
        return f'<img{kept} src="{name}" alt="{escape(alternative)}">'

    return Paper(_DRAWING.sub(picture, html), made)


def _one_sheet() -> str:
    """The report's style sheets as one, in the order of the cascade."""
    paths = (finders.find(name) for name in REPORT_STYLES)
    return "\n".join(Path(path).read_text("utf-8") for path in paths if path)
