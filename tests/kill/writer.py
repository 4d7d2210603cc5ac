"""A person's device that never rests: photos, notes and tests in turn, each with a key of its own.

`python -m tests.kill.writer PORT TICKET SEED LOG KINDS`. A line of JSON goes to LOG before each
sending ("sent") and after each answer ("saved"); where no answer came the outcome stays open
("open"), and half of those are sent again with the same key until an answer comes, as a person
would.
"""

from __future__ import annotations

import hashlib
import http.client
import io
import json
import random
import sys
import time
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from PIL import Image

from tests.kill.visitor import Answer, Visitor

READINGS = Path(__file__).resolve().parents[2] / "fixtures" / "readings" / "voltage_drop"
KINDS = ("photos", "note", "photos", "test")
LARGE_BYTES = 1_500_000


class Refused(RuntimeError):
    """The server gave a whole answer, and it was no: a fault of the trial."""


class Writer:
    """Sends one thing after the other; at most one is under way."""

    def __init__(self, port: int, ticket: int, seed: int, log: Path) -> None:
        self.visitor = Visitor(port)
        self.ticket = ticket
        self.chances = random.Random(seed)
        self.log = log.open("a", encoding="utf-8", buffering=1)

    def write(self, what: str, **facts: Any) -> None:
        """A line of the log, out of this process before anything else happens."""
        self.log.write(json.dumps({"what": what, **facts}) + "\n")

    def run(self, kinds: Sequence[str]) -> None:
        """These kinds in turn, until killed."""
        self.visitor.sign_in()
        self.write("signed in")
        number = 0
        while True:
            self.save(kinds[number % len(kinds)])
            number += 1

    def save(self, kind: str) -> None:
        """One thing, to its end: an answer, or an outcome that stays open."""
        key = f"{self.chances.getrandbits(128):032x}"
        path, fields, files = getattr(self, f"_{kind}")()
        facts = {"kind": kind, "key": key}
        if files:
            facts["sha256"] = hashlib.sha256(files["photos"]).hexdigest()
        if "words" in fields:
            facts["words"] = fields["words"]
        again = self.chances.random() < 0.5
        while True:
            self.write("sent", **facts)
            try:
                answer = self.visitor.post(path, {**fields, "client_key": key}, files)
            except (OSError, http.client.HTTPException):
                self.write("open", **facts)
                time.sleep(0.02)
                if again:
                    continue
                return
            self.write("saved", seq=_seq(answer, facts), **facts)
            return

    def _photos(self) -> tuple[str, dict[str, str], dict[str, bytes]]:
        size = (self.chances.randrange(80, 240), self.chances.randrange(80, 240))
        picture = Image.frombytes("RGB", size, self.chances.randbytes(size[0] * size[1] * 3))
        with io.BytesIO() as file:
            picture.save(file, "JPEG", quality=70)
            data = file.getvalue()
        if self.chances.random() < 0.3:  # some phones hang a second picture on the first
            data += self.chances.randbytes(LARGE_BYTES)
        return self._address("photos"), {"subject": "leak", "in_report": "on"}, {"photos": data}

    def _note(self) -> tuple[str, dict[str, str], dict[str, bytes]]:
        return self._address("notes"), {"words": f"Note {self.chances.getrandbits(64):x}"}, {}

    def _test(self) -> tuple[str, dict[str, str], dict[str, bytes]]:
        case = json.loads((READINGS / "corroded_strap_hot.json").read_text("utf-8"))
        fields = {k: v if isinstance(v, str) else v[0] for k, v in case["typed"].items()}
        fields["path.strap.drop"] = f"0.{self.chances.randrange(500, 800)}"
        fields |= {"fault_present": "yes", "state_of_car": "hot"}
        return f"/tickets/{self.ticket}/tests/voltage_drop/", fields, {}

    def _address(self, noun: str) -> str:
        return f"/tickets/{self.ticket}/{noun}/new/"


def _seq(answer: Answer, facts: dict[str, Any]) -> int:
    if answer.seq is None:
        raise Refused(f"{facts}: {answer.status} {answer.location} {answer.text[:3000]}")
    return answer.seq


if __name__ == "__main__":
    port, ticket, seed, log, kinds = sys.argv[1:]
    Writer(int(port), int(ticket), int(seed), Path(log)).run(kinds.split(","))
