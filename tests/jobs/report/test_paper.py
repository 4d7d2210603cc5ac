"""What the PDF library is given: one sheet, drawings as pictures, every one with words."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from django.contrib.staticfiles import finders

from jobs.process.html_to_pdf import DRAWING
from jobs.report.paper import INK, on_paper
from jobs.report.pdf import html_of, paper_of

pytestmark = pytest.mark.django_db


def test_every_drawing_becomes_a_picture_with_words(report, full):
    page = html_of(report(full), for_paper=True)
    paper = paper_of(report(full))
    assert page.count("<svg") > 10
    assert "<svg" not in paper.html
    pictures = re.findall(rf'<img[^>]* src="({DRAWING}\w+)" alt="([^"]*)">', paper.html)
    assert len(pictures) == paper.html.count(f'src="{DRAWING}')
    assert [words for _, words in pictures if not words.strip()] == []
    assert {address for address, _ in pictures} == {
        address for address in paper.made if address.startswith(DRAWING)
    }


def test_a_drawings_own_title_is_its_words_and_a_plain_mark_is_called_one():
    chart = '<svg role="img" width="9" height="9"><title id="a">Drop &lt; 0.2 V</title><g/></svg>'
    mark = '<svg class="m" width="34" height="14" aria-hidden="true"><path d="M1 7H33"/></svg>'
    html = on_paper(chart + mark, language="en").html
    assert re.findall(r' alt="([^"]*)"', html) == ["Drop &lt; 0.2 V", "mark"]
    assert 'class="m" width="34" height="14"' in html


def test_a_mark_drawn_twice_is_one_picture():
    mark = '<svg width="34" height="14" aria-hidden="true"><path d="M1 7H33"/></svg>'
    paper = on_paper(mark + mark, language="en")
    assert paper.html.count("<img") == 2
    assert len([name for name in paper.made if name.startswith(DRAWING)]) == 1


def test_drawings_are_inked_with_the_printed_forms_colour(report, full):
    tokens = Path(finders.find("css/tokens.css")).read_text("utf-8")
    assert re.search(r"--ink: (#\w+);", tokens).group(1) == INK
    drawings = [
        text for name, text in paper_of(report(full)).made.items() if name.startswith(DRAWING)
    ]
    assert drawings
    assert [text for text in drawings if "currentColor" in text] == []


def test_what_a_person_typed_is_never_taken_for_a_drawing():
    typed = "&lt;svg onload=alert(1)&gt;&lt;/svg&gt;"
    paper = on_paper(f"<p>{typed}</p>", language="en")
    assert typed in paper.html
