"""What issuing a report costs, against the PDF library alone, and that against a plain document.

Run by hand, on a machine that does nothing else: python -m tests.bench.bench_report
A ticket with seven tests and twelve photos. Counts processor time of this process and of the
helper together; all ways take turns in one run.
"""

from __future__ import annotations

import html
import io
import json
import os
import re
import statistics
import sys
import tempfile
import uuid
from collections.abc import Callable
from pathlib import Path
from typing import Any

from tests.bench.bench_photo_intake import measured

ROUNDS = 7
ISSUE_TARGET = 1.3
PLAIN_TARGET = 1.5
READINGS = Path(__file__).resolve().parent.parent.parent / "fixtures" / "readings"
TESTS = (
    ("voltage_drop", "corroded_strap_hot"),
    ("voltage_drop", "strap_renewed_hot"),
    ("charging", "holds_under_load"),
    ("charging", "belt_slips"),
    ("pressure_hold", "small_leak_cold"),
    ("pressure_hold", "steady_cold"),
    ("oil_level", "between"),
)
PLAIN_STYLE = """@page { size: A4; margin: 18mm 15mm 16mm;
  @bottom-right { content: "Page " counter(page) " of " counter(pages); font-size: 8pt } }
body { font: 9.5pt/1.35 "DejaVu Sans", sans-serif } h1 { font-size: 18pt }
h2 { font-size: 12pt; break-after: avoid } table { border-collapse: collapse; width: 100% }
th, td { border-bottom: .4pt solid #bbb; padding: 1.2mm 2mm; text-align: left }
.photo { display: inline-block; width: 57mm; margin: 0 1mm 3mm 0; vertical-align: top }
.photo img { width: 57mm; height: 43mm; object-fit: cover } img, svg { max-width: 100% }"""


def a_ticket() -> Any:
    """A van with tests, photos, a swap and findings, made through the actions."""
    from django.core.files.base import ContentFile
    from PIL import Image

    from jobs.actions import findings, photos, runs, tickets
    from shop.actions import cars, customers
    from shop.models import Person, Profile

    Profile.objects.create(pk=1, name="Kestrel Yard Repairs", region="GB", currency="EUR")
    owner = Person.objects.create_person(
        username="nell", password=uuid.uuid4().hex, name="Nell Aldous", role="owner"
    )
    customer = customers.add(by=owner, name="Odile Verhagen", phones=["01632 960123"])
    van = cars.add(
        by=owner,
        plate="TS58 KLV",
        region="GB",
        make="Corvane",
        model="Hauler 22",
        fuel="diesel",
        engine={"layout": "line", "cylinders": 4},
        owner=customer,
    )
    ticket = tickets.open_ticket(car=van, customer=customer, by=owner, facts={})
    tickets.add_complaint(ticket=ticket, words="Slow to start.", family="other", by=owner)
    made = []
    for procedure, case in TESTS:
        typed = json.loads((READINGS / procedure / f"{case}.json").read_text("utf-8"))["typed"]
        entry = runs.record_test(
            ticket=ticket, procedure=procedure, typed=typed, by=owner, fault_present="yes"
        )
        made.append(entry.run_link.run)
    for n in range(12):
        with io.BytesIO() as file:
            Image.effect_noise((1600, 1200), 40 + n).convert("RGB").save(file, "JPEG", quality=85)
            upload = ContentFile(file.getvalue(), name=f"{n}.jpg")
        photos.add_photos(
            ticket=ticket,
            uploads=[upload],
            by=owner,
            subject="other",
            caption=f"Photo {n}",
            run=made[n % len(made)],
        )
    for n, (certainty, run) in enumerate(
        (("confirmed", made[0]), ("probable", made[3]), ("suspected", made[1]))
    ):
        findings.add(
            ticket=ticket,
            by=owner,
            certainty=certainty,
            sentence=f"Finding {n}.",
            advice="no_restriction",
            rests_on=[run],
        )
    return ticket


def plain_document(report: str) -> str:
    """The same rows, sentences, charts and photos as a document without any design."""
    body = report[report.index("<main>") :]
    parts = []
    found = re.findall(
        r"<tr>.*?</tr>|<tr class.*?</tr>|<h[123]>.*?</h[123]>|<(?:p|li)\b.*?</(?:p|li)>"
        r'|<figure class="chart">.*?</figure>|<img [^>]*>',
        body,
        re.DOTALL,
    )
    rows: list[str] = []
    for part in [*found, ""]:
        if part.startswith("<tr") and "<img" not in part:
            cells = re.findall(r"<t[hd]\b[^>]*>(.*?)</t[hd]>", part, re.DOTALL)
            rows.append("<tr>" + "".join(f"<td>{_cell(cell)}</td>" for cell in cells) + "</tr>")
            continue
        if rows:
            parts.append(f"<table>{''.join(rows)}</table>")
            rows = []
        if part.startswith("<figure"):
            parts.append(part[part.index("<svg") : part.index("</svg>") + 6])
        elif "<img" in part:
            parts += [
                f'<div class="photo">{image}<br>{label}</div>'
                for image, label in re.findall(r"(<img [^>]*>)([^<]*)", part)
            ]
        elif part:
            tag = part[1:3] if part.startswith("<h") else "p"
            parts.append(f"<{tag}>{_words(part)}</{tag}>")
    return (
        f'<!doctype html><html lang="en"><title>Report</title><style>{PLAIN_STYLE}</style>'
        + "".join(parts)
    )


def _cell(cell: str) -> str:
    """The cell's words; a strip to scale is a chart too and stays."""
    strip = re.match(r"\s*<svg.*?</svg>", cell, re.DOTALL)
    return strip.group() if strip else _words(cell)


def _words(part: str) -> str:
    part = re.sub(r"<svg.*?</svg>", "", part, flags=re.DOTALL)
    return html.escape(html.unescape(re.sub(r"<[^>]+>", " ", part)))


def library_alone(
    page: str,
    files: dict[str, str],
    made: dict[str, str] | None = None,
    variant: str | None = "pdf/ua-1",
) -> bytes:
    """The PDF library on finished HTML, in this process, with nothing around it."""
    import weasyprint
    from weasyprint.urls import URLFetcher, URLFetcherResponse

    from jobs.process.html_to_pdf import BASE, DRAWING

    class FromDisk(URLFetcher):
        def fetch(self, url: str, headers: Any = None) -> URLFetcherResponse:
            if made and url in made:
                kind = "image/svg+xml" if url.startswith(DRAWING) else "text/css"
                return URLFetcherResponse(url, made[url].encode(), {"Content-Type": kind})
            kind = {"css": "text/css", "ttf": "font/ttf"}.get(files[url][-3:], "image/jpeg")
            return URLFetcherResponse(url, Path(files[url]).read_bytes(), {"Content-Type": kind})

    document = weasyprint.HTML(string=page, base_url=BASE, url_fetcher=FromDisk())
    return document.render(pdf_variant=variant).write_pdf(pdf_variant=variant)


def main() -> int:
    """Measure, print, and answer 1 where a target is missed."""
    from django.core.management import call_command

    from jobs import process
    from jobs.actions import reports
    from jobs.models import Ticket
    from jobs.report.content import content_of
    from jobs.report.paper import only_printed
    from jobs.report.pdf import html_of, paper_of
    from shop.models import Person, Profile

    call_command("migrate", verbosity=0)
    number = a_ticket().number
    profile, owner = Profile.objects.get(), Person.objects.get()

    def ticket() -> Any:
        return Ticket.objects.with_car().get(number=number)

    content = json.loads(json.dumps(content_of(ticket(), profile, by=owner)))
    paper = paper_of(content)
    finished = paper.html
    plain = plain_document(only_printed(html_of(content, for_paper=True)))
    files = process._packaged_files() | process._evidence(finished, None)
    reports.issue(ticket=ticket(), profile=profile, by=owner)
    pids = [os.getpid(), *(h.process.pid for h in process.RENDERING.helpers())]
    ways: dict[str, Callable[[], object]] = {
        "issuing, all in all": lambda: reports.issue(ticket=ticket(), profile=profile, by=owner),
        "library, the same HTML": lambda: library_alone(finished, files, paper.made),
        "plain document, tagged": lambda: library_alone(plain, files),
        "plain document, untagged": lambda: library_alone(plain, files, variant=None),
        "- content alone": lambda: content_of(ticket(), profile, by=owner),
        "- HTML alone": lambda: paper_of(content),
    }
    times: dict[str, list[tuple[float, float]]] = {name: [] for name in ways}
    for turn in range(ROUNDS + 1):
        for name, work in ways.items():
            spent = measured(work, pids)
            if turn:  # the first one warms up
                times[name].append(spent)
    process.RENDERING.close()
    process.DECODING.close()

    rows, charts = finished.count("<tr"), finished.count('<figure class="chart">')
    photos = finished.count('src="evidence:')
    print(f"{rows} rows, {charts} charts, {photos} photos, median of {ROUNDS}")
    print(
        f"the plain document has {plain.count('<tr')} rows, {plain.count('<svg')} charts, "
        f"{plain.count('<img')} photos"
    )
    print(f"{'':26}{'processor ms':>14}{'wall ms':>10}")
    middle = {}
    for name, spent in times.items():
        processor, wall = (1000 * statistics.median(column) for column in zip(*spent, strict=True))
        middle[name] = processor
        print(f"{name:26}{processor:14.1f}{wall:10.1f}")
    issuing = middle["issuing, all in all"] / middle["library, the same HTML"]
    design = middle["library, the same HTML"] / middle["plain document, tagged"]
    print(f"issuing / library {issuing:.2f}, target below {ISSUE_TARGET}")
    print(f"our HTML / plain document {design:.2f}, target at most {PLAIN_TARGET}")
    return 0 if issuing < ISSUE_TARGET and design <= PLAIN_TARGET else 1


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as folder:
        os.environ["BAYWITNESS_DATA"] = folder
        os.environ.setdefault("DJANGO_SETTINGS_MODULE", "shop.settings")
        import django

        django.setup()
        sys.exit(main())
