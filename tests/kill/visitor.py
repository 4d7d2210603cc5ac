"""A signed-in person at a real server, over plain HTTP: cookies, token, forms and files."""

from __future__ import annotations

import http.client
import re
import uuid
from collections.abc import Mapping
from dataclasses import dataclass, field
from http.cookies import SimpleCookie
from urllib.parse import urlencode

from tests.live import PASSWORD

TOKEN = re.compile(r'name="csrfmiddlewaretoken" value="(\w+)"')
ENTRY = re.compile(r"#e(\d+)$|/entries/(\d+)/")


@dataclass(frozen=True)
class Answer:
    """What came back."""

    status: int
    location: str
    text: str

    @property
    def seq(self) -> int | None:
        """Number of the entry that the answer leads to: the acknowledgement of a save."""
        found = ENTRY.search(self.location) if self.status == 303 else None
        return int(found[1] or found[2]) if found else None


@dataclass
class Visitor:
    """One device. Raises OSError or http.client.HTTPException where no whole answer comes."""

    port: int
    timeout_seconds: float = 30
    cookies: dict[str, str] = field(default_factory=dict, repr=False)
    token: str = field(default="", repr=False)
    _line: http.client.HTTPConnection | None = field(default=None, repr=False)

    def sign_in(self, username: str = "tomas") -> None:
        """Through the form, as everybody."""
        self.read_token("/sign-in/")
        answer = self.post("/sign-in/", {"username": username, "password": PASSWORD})
        if answer.status != 302:
            raise RuntimeError(f"{username} can't sign in: {answer.status} {answer.text[:200]}")
        self.read_token("/tickets/")

    def read_token(self, path: str) -> None:
        """Take the token out of a page's form or the body's header."""
        text = self.get(path).text
        found = TOKEN.search(text) or re.search(r'x-csrftoken": "(\w+)"', text)
        if found is None:
            raise RuntimeError(f"no token in {path}")
        self.token = found[1]

    def get(self, path: str) -> Answer:
        """Look at a page."""
        return self._ask("GET", path)

    def post(
        self, path: str, fields: Mapping[str, str], files: Mapping[str, bytes] | None = None
    ) -> Answer:
        """Send a form; `files` are photos by the name of their field."""
        fields = {**fields, "csrfmiddlewaretoken": self.token}
        if not files:
            kind, body = "application/x-www-form-urlencoded", urlencode(fields).encode()
        else:
            edge = uuid.uuid4().hex
            kind, body = f"multipart/form-data; boundary={edge}", _multipart(edge, fields, files)
        return self._ask("POST", path, body, {"Content-Type": kind})

    def _ask(
        self, method: str, path: str, body: bytes = b"", headers: Mapping[str, str] | None = None
    ) -> Answer:
        if self._line is None:
            self._line = http.client.HTTPConnection(
                "127.0.0.1", self.port, timeout=self.timeout_seconds
            )
        sent = {
            "Cookie": "; ".join(f"{name}={value}" for name, value in self.cookies.items()),
            "Origin": f"http://127.0.0.1:{self.port}",
            **(headers or {}),
        }
        try:
            self._line.request(method, path, body or None, sent)
            response = self._line.getresponse()
            if not (response.chunked or "Content-Length" in response.headers):
                raise http.client.IncompleteRead(b"")  # the server died within its headers
            text = response.read().decode("utf-8", "replace")
        except BaseException:
            self._line.close()
            self._line = None
            raise
        for header in response.headers.get_all("Set-Cookie", []):
            for name, morsel in SimpleCookie(header).items():
                self.cookies[name] = morsel.value
        return Answer(response.status, response.headers.get("Location", ""), text)


def _multipart(edge: str, fields: Mapping[str, str], files: Mapping[str, bytes]) -> bytes:
    parts = [
        f'--{edge}\r\nContent-Disposition: form-data; name="{name}"\r\n\r\n{value}\r\n'.encode()
        for name, value in fields.items()
    ]
    for name, data in files.items():
        head = (
            f'--{edge}\r\nContent-Disposition: form-data; name="{name}"; filename="photo.jpg"\r\n'
            "Content-Type: image/jpeg\r\n\r\n"
        )
        parts += [head.encode(), data, b"\r\n"]
    return b"".join([*parts, f"--{edge}--\r\n".encode()])
