"""Jobs for a separate process with little memory and time: opening photos, reading data logs,
making PDFs."""

from __future__ import annotations

import logging
import os
import re
import signal
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from jobs.photos.limits import COPIES, DECODE, READ_LOG, RENDER
from jobs.photos.refusals import REFUSALS, Damaged, Interrupted, TooMuchToOpen
from jobs.process import failures
from jobs.process.failures import HelperUnavailable, PdfUnavailable
from jobs.process.pool import HelperEnded, HelperTooSlow, lane
from measurements.core.logs.columns import BadLine, LogColumns, Wanted
from measurements.core.logs.text import LogRefused, LogText
from measurements.core.plain import from_plain, to_plain

__all__ = [
    "DecodedPhoto",
    "HelperUnavailable",
    "PdfUnavailable",
    "decode",
    "read_log",
    "render",
]

log = logging.getLogger("baywitness.process")

# On a small computer one photo at a time: two large ones would need twice the memory.
DECODING = lane("decode", DECODE, size=min(2, max(1, (os.cpu_count() or 1) // 2)))
RENDERING = lane("render", RENDER, size=1)
READING = lane("log", READ_LOG, size=1)

_MEBIBYTE = 2**20
_CRASHES = {-signal.SIGSEGV, -signal.SIGBUS, -signal.SIGFPE, -signal.SIGILL}
_OVERDRAWN = {-signal.SIGXCPU, -signal.SIGABRT}


@dataclass(frozen=True)
class DecodedPhoto:
    """A photo that was opened. Width and height in pixels, as a person sees it.

    `claimed_at` is what the camera's clock said (ISO 8601, "" if unknown); `copies` are JPEGs
    without metadata by the names of `limits.COPIES`.
    """

    kind: str
    type: str
    width: int
    height: int
    claimed_at: str
    had_location: bool
    copies: dict[str, bytes] = field(default_factory=dict, repr=False)


def decode(path: Path) -> DecodedPhoto:
    """Open a photo and make its copies; a `PhotoRefused` says what is wrong with it."""
    too_much = TooMuchToOpen(seconds=DECODE.cpu_seconds, megabytes=DECODE.memory_bytes // _MEBIBYTE)
    try:
        head, body = DECODING.ask({"path": str(path)})
    except HelperTooSlow as fault:
        raise too_much from fault
    except HelperEnded as fault:
        log.warning("decode: the helper process ended with code %s", fault.code)
        if fault.code in _OVERDRAWN:
            raise too_much from fault
        raise (Damaged() if fault.code in _CRASHES else Interrupted()) from fault
    if "refused" in head:
        raise _photo_refusal(head, too_much)
    copies, at = {}, 0
    for name, size in head["sizes"]:
        copies[name] = body[at : at + size]
        at += size
    return DecodedPhoto(**head["facts"], copies=copies)


def _photo_refusal(head: dict[str, Any], too_much: TooMuchToOpen) -> Exception:
    name, facts = head["refused"], head["facts"]
    if name in REFUSALS:
        return REFUSALS[name](**facts)
    if name == "memory":
        return too_much
    if facts["fault"].startswith("FileNotFoundError"):
        return FileNotFoundError(facts["fault"])
    log.error("decode: %s", facts["fault"])
    return Damaged()


def read_log(path: Path, text: LogText, wanted: Mapping[str, Wanted]) -> LogColumns:
    """The wanted columns of a log, as `core.logs.columns.read_columns` gives them; raises
    LogRefused."""
    import numpy as np

    job = {
        "path": str(path),
        "text": to_plain(text),
        "wanted": {key: to_plain(one) for key, one in wanted.items()},
    }
    too_much = LogRefused(
        f"Reading the file took more than {READ_LOG.cpu_seconds} s or "
        f"{READ_LOG.memory_bytes // _MEBIBYTE} MB of memory: export fewer channels or a shorter "
        "time."
    )
    try:
        head, body = READING.ask(job)
    except HelperTooSlow as fault:
        raise too_much from fault
    except HelperEnded as fault:
        log.warning("log: the helper process ended with code %s", fault.code)
        if fault.code in _OVERDRAWN:
            raise too_much from fault
        raise LogRefused("Reading the file was interrupted. Press the button again.") from fault
    except HelperUnavailable as fault:
        log.error("log: %s", fault)
        raise LogRefused("The file can't be read just now. Try again in a minute.") from fault
    if "refused" in head:
        raise too_much if head["refused"] == "memory" else _log_refusal(head)
    facts = head["facts"]
    columns = np.frombuffer(body, dtype="<f8").reshape(len(wanted), facts["rows"])
    bad = tuple(from_plain(BadLine, one) for one in facts["bad"])
    return LogColumns(
        dict(zip(wanted, columns, strict=True)), facts["rows"], bad, facts["bad_count"]
    )


def _log_refusal(head: dict[str, Any]) -> LogRefused:
    if head["refused"] == "log":
        return LogRefused(head["facts"]["why"])
    log.error("log: %s", head["facts"])
    return LogRefused("The file can't be read.")


def render(
    html: str, *, language: str, made: dict[str, str] | None = None, root: Path | None = None
) -> bytes:
    """A PDF of the HTML, tagged for PDF/UA-1.

    It sees what was `made` for it (address -> text), the report's style sheets, the typefaces,
    and copies of stored photos by `evidence:<sha256>/<size>` (below `root`, the photo folder by
    default); any other address stops it. Raises `PdfUnavailable`.
    """
    files = _packaged_files() | _evidence(html, root)
    job = {"language": language, "files": files, "made": made or {}}
    try:
        head, pdf = RENDERING.ask(job, html.encode())
    except HelperTooSlow as fault:
        raise _took_too_much() from fault
    except HelperEnded as fault:
        log.warning("render: the helper process ended with code %s", fault.code)
        raise (_took_too_much() if fault.code in _OVERDRAWN else failures.RenderFailed()) from fault
    except HelperUnavailable as fault:
        log.error("render: %s", fault)
        raise PdfUnavailable() from fault
    if "refused" in head:
        raise _pdf_refusal(head)
    return pdf


def _took_too_much() -> PdfUnavailable:
    return failures.RenderTookTooMuch(
        seconds=RENDER.cpu_seconds, megabytes=RENDER.memory_bytes // _MEBIBYTE
    )


def _pdf_refusal(head: dict[str, Any]) -> PdfUnavailable:
    name, facts = head["refused"], head["facts"]
    if name in {"PangoMissing", "AddressRefused", "TooManyPages"}:
        return getattr(failures, name)(**facts)
    if name == "memory":
        return _took_too_much()
    log.error("render: %s", facts["fault"])
    return failures.RenderFailed()


def _packaged_files() -> dict[str, str]:
    """Addresses of the report's style sheets and typefaces -> where they are."""
    from urllib.parse import urljoin

    from django.contrib.staticfiles import finders
    from django.templatetags.static import static

    from jobs.process.html_to_pdf import BASE
    from shop.fonts import font_files
    from shop.styles import REPORT_STYLES

    files = {f"fonts/{name}": str(path) for name, path in font_files().items()}
    files |= {name: str(finders.find(name)) for name in REPORT_STYLES}
    return {urljoin(BASE, static(name)): path for name, path in files.items()}


_EVIDENCE = re.compile(rf"evidence:([0-9a-f]{{64}})/({'|'.join(COPIES)})\b")


def _evidence(html: str, root: Path | None) -> dict[str, str]:
    """Addresses of the copies that the HTML names -> their files, made again where they are gone.

    What can't be made is left out, and stops the PDF if it is really referred to.
    """
    from django.conf import settings

    from jobs.photos import intake
    from jobs.photos.refusals import PhotoRefused

    files = {}
    for sha256, size in sorted(set(_EVIDENCE.findall(html))):
        try:
            path = intake.copy_path(root or settings.PHOTO_FOLDER, sha256, size)
        except (PhotoRefused, OSError, HelperUnavailable) as fault:
            log.warning("render: no copy of %s: %s", sha256[:12], fault)
            continue
        files[f"evidence:{sha256}/{size}"] = str(path)
    return files
