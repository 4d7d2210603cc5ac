"""HTML to a tagged PDF. Runs only in the helper process; reads the files that it is given."""

from __future__ import annotations

import mimetypes
from collections.abc import Callable
from typing import Any

from jobs.photos.limits import REPORT_PAGES
from jobs.process.pango import install_command, missing_libraries

BASE = "https://report.invalid/"
"""What relative addresses are relative to: a name that can't exist (RFC 6761)."""

DRAWING = "drawing:"
"""Begins the address of a picture that was drawn for this paper."""

_TYPES = {".ttf": "font/ttf", ".otf": "font/otf", ".css": "text/css", ".jpg": "image/jpeg"}


def render(
    html: str,
    *,
    language: str,
    files: dict[str, str],
    made: dict[str, str],
    refuse: Callable[..., Exception],
) -> bytes:
    """The PDF: tagged for PDF/UA-1, in its language, without attachments.

    `files` maps every address that may be fetched to its path, `made` those to their text that
    were made for this paper (style sheet, drawings). `refuse(name, **facts)` makes the exception
    for what the person should know.
    """
    try:
        import weasyprint
    except OSError as fault:
        raise refuse(
            "PangoMissing", missing=", ".join(missing_libraries()), command=install_command()
        ) from fault
    from weasyprint.urls import FatalURLFetchingError

    refused: list[str] = []
    source = weasyprint.HTML(string=html, base_url=BASE, url_fetcher=_fetcher(files, made, refused))
    source.etree_element.set("lang", language)
    try:
        document = source.render(pdf_variant="pdf/ua-1")
        if len(document.pages) > REPORT_PAGES:
            raise refuse("TooManyPages", found=len(document.pages), limit=REPORT_PAGES)
        pdf = document.write_pdf(pdf_variant="pdf/ua-1")
    except FatalURLFetchingError as fault:
        raise refuse("AddressRefused", address=str(fault)[:200]) from fault
    if refused:  # the library goes on after a fatal error inside a drawing
        raise refuse("AddressRefused", address=refused[0][:200])
    return pdf


def _fetcher(files: dict[str, str], made: dict[str, str], refused: list[str]) -> Any:
    from weasyprint.urls import FatalURLFetchingError, URLFetcher, URLFetcherResponse

    class OnlyTheseFiles(URLFetcher):
        """Opens what is on the list, by itself: no scheme, handler or redirect of the library's."""

        def fetch(self, url: str, headers: Any = None) -> URLFetcherResponse:
            if url in made:
                kind = "image/svg+xml" if url.startswith(DRAWING) else "text/css"
                return URLFetcherResponse(url, made[url].encode(), {"Content-Type": kind})
            try:
                with open(files[url], "rb") as file:
                    content = file.read()
            except (KeyError, OSError) as fault:
                refused.append(url)
                raise FatalURLFetchingError(url) from fault
            return URLFetcherResponse(url, content, {"Content-Type": _type(files[url])})

    return OnlyTheseFiles(allowed_protocols=(), allow_redirects=False, fail_on_errors=True)


def _type(path: str) -> str:
    ending = path[path.rfind(".") :].lower()
    return _TYPES.get(ending) or mimetypes.guess_type(path)[0] or "application/octet-stream"
