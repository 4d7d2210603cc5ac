"""A report's content as HTML, the same for page and paper, and as a tagged PDF."""

from __future__ import annotations

import re
from typing import Any

from django.template.loader import render_to_string
from django.utils import translation

from jobs.report.content import document_name

# What a paper never shows would still cost time: words for narrow screens and screen readers, and
# the small mark of a verdict where a strip to scale stands beside it.
_HIDDEN = re.compile(
    r'<caption class="away">.*?</caption>|<span class="(?:away|limit-short)".*?</span>', re.DOTALL
)
_WITH_STRIPS = re.compile(r'<table class="readings readings-strips">.*?</table>', re.DOTALL)
_GLYPH = re.compile(r'(?<=">)<svg[^>]*viewBox="0 0 34 14".*?</svg>', re.DOTALL)
_MARK = re.compile(r'(<svg\b[^>]*aria-hidden="true"[^>]*>)(?!<title>)')


def html_of(content: dict[str, Any], *, for_paper: bool, **context: Any) -> str:
    """The report's HTML: with evidence addresses for paper, with page addresses for a browser.

    `context` is what only the browser's page needs: the request, the ticket, what may be done.
    """
    with translation.override(content["language"]):
        return render_to_string(
            "report/findings.html",
            {
                "report": content,
                "docname": document_name(content),
                "anchor": anchor_of(content),
                "for_paper": for_paper,
            }
            | context,
            request=context.get("request"),
        )


def anchor_of(content: dict[str, Any]) -> str:
    """The record's head before issue, short enough to read out: entry number and 16 signs."""
    record = content["record"]
    head = record["head"][:16]
    groups = " ".join(head[i : i + 4] for i in range(0, 16, 4))
    return translation.gettext("record to entry %(no)s: %(head)s") % {
        "no": record["entries"],
        "head": groups,
    }


def pdf_of(content: dict[str, Any]) -> bytes:
    """The PDF: tagged, with language, outline and alternative texts; reads only stored evidence."""
    from jobs.process import render

    return render(paper_html_of(content), language=content["language"])


def paper_html_of(content: dict[str, Any]) -> str:
    """The finished HTML that the PDF is made of."""
    html = _HIDDEN.sub("", html_of(content, for_paper=True))
    html = _WITH_STRIPS.sub(lambda table: _GLYPH.sub("", table.group()), html)
    return with_named_marks(html, content["language"])


def with_named_marks(html: str, language: str) -> str:
    """PDF/UA wants an alternative text for every drawing, also for a mark whose word stands beside
    it; a browser leaves those out by `aria-hidden`."""
    with translation.override(language):
        return _MARK.sub(rf"\1<title>{translation.gettext('mark')}</title>", html)
