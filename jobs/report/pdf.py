"""A report's content as HTML, the same for page and paper, and as a tagged PDF."""

from __future__ import annotations

from typing import Any

from django.template.loader import render_to_string
from django.utils import translation

from jobs.report.content import document_name
from jobs.report.paper import Paper, on_paper


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

    paper = paper_of(content)
    return render(paper.html, made=paper.made, language=content["language"])


def paper_of(content: dict[str, Any]) -> Paper:
    """The finished HTML that the PDF is made of, with its sheet and drawings."""
    return on_paper(html_of(content, for_paper=True), language=content["language"])
