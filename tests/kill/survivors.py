"""What stands after the trials, held against what was sent and what was acknowledged.

Reads the database file and the photo folder with nothing of the application's, so that a fault in
the application can't hide itself.
"""

from __future__ import annotations

import hashlib
import json
import sqlite3
from collections.abc import Iterable
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

START = "0" * 64


@dataclass
class Survivors:
    """Everything found; the lists are empty after sound trials, `orphans` and `open` excepted."""

    entries: int = 0
    saved: int = 0
    lost: list[str] = field(default_factory=list)
    """Acknowledged, and not in the record as it was sent."""
    dangling: list[str] = field(default_factory=list)
    """Rows whose file is missing."""
    changed: list[str] = field(default_factory=list)
    """Files whose bytes don't make their name."""
    half: list[str] = field(default_factory=list)
    """Entries without payload, ledger line, or what their kind writes beside them."""
    out_of_order: list[str] = field(default_factory=list)
    """Numbers with gaps, links of a chain that don't follow."""
    unasked: list[str] = field(default_factory=list)
    """In the record, and nobody sent it, or twice for one sending."""
    open: list[str] = field(default_factory=list)
    """In the record without an acknowledgement: killed between commit and answer."""
    orphans: set[str] = field(default_factory=set)
    """Files that no row names."""
    integrity: str = ""
    """What the database says of its own file."""

    @property
    def faults(self) -> dict[str, list[str]]:
        """What must not be, by its kind."""
        kinds = ("lost", "dangling", "changed", "half", "out_of_order", "unasked")
        found = {kind: getattr(self, kind) for kind in kinds if getattr(self, kind)}
        return found if self.integrity == "ok" else found | {"integrity": [self.integrity]}


def read_logs(logs: Iterable[Path]) -> list[dict[str, Any]]:
    """The lines of all logs. A last line that was cut off is no line."""
    lines = []
    for log in logs:
        for line in log.read_text("utf-8").splitlines(keepends=True):
            if line.endswith("\n"):
                lines.append(json.loads(line))
    return lines


def look(data: Path, logs: Iterable[Path]) -> Survivors:
    """Open the database as the next start would, and check everything."""
    said = read_logs(logs)
    sent = {line["key"]: line for line in said if line["what"] == "sent"}
    saved = {line["key"]: line for line in said if line["what"] == "saved"}
    found = Survivors(saved=len(saved))
    database = sqlite3.connect(data / "baywitness.sqlite3")
    database.row_factory = sqlite3.Row
    found.integrity = database.execute("PRAGMA integrity_check").fetchone()[0]
    entries = _entries(database)
    found.entries = len(entries)
    by_key = {entry["client_key"]: entry for entry in entries if entry["client_key"]}
    for key, line in saved.items():
        entry = by_key.get(key)
        if entry is None or (entry["seq"], entry["kind"]) != (line["seq"], line["kind"]):
            found.lost.append(f"{line['kind']} {line['seq']}")
        elif not _says(entry, line):
            found.lost.append(f"{line['kind']} {line['seq']}: it says something else")
    found.unasked = [f"{e['kind']} {e['seq']}" for k, e in by_key.items() if k not in sent]
    found.open = sorted(by_key.keys() - saved.keys())
    _files(database, data / "photos" / "originals", found)
    _halves(database, entries, found)
    _chains(database, entries, found)
    database.close()
    return found


def _entries(database: sqlite3.Connection) -> list[sqlite3.Row]:
    return database.execute(
        "SELECT e.id, e.ticket_id, e.seq, e.kind, e.digest, e.envelope, e.client_key, p.text,"
        " l.seq AS ledger_seq, l.head FROM jobs_entry e"
        " LEFT JOIN jobs_payload p ON p.entry_id = e.id"
        " LEFT JOIN jobs_ledger l ON l.entry_id = e.id ORDER BY e.ticket_id, e.seq"
    ).fetchall()


def _says(entry: sqlite3.Row, line: dict[str, Any]) -> bool:
    """Whether the entry holds what was sent."""
    told = json.loads(entry["text"] or "{}")
    if line["kind"] == "photos":
        return [frame["sha256"] for frame in told.get("frames", [])] == [line["sha256"]]
    if line["kind"] == "note":
        return told.get("words") == line["words"]
    return bool(told.get("run"))


def _files(database: sqlite3.Connection, originals: Path, found: Survivors) -> None:
    names = {row[0] for row in database.execute("SELECT sha256 FROM jobs_blob")}
    for name in sorted(names):
        path = originals / name[:2] / name[2:4] / name
        if not path.is_file():
            found.dangling.append(name)
        elif hashlib.sha256(path.read_bytes()).hexdigest() != name:
            found.changed.append(name)
    found.orphans = {path.name for path in originals.rglob("*") if path.is_file()} - names


def _halves(database: sqlite3.Connection, entries: list[sqlite3.Row], found: Survivors) -> None:
    framed = _counts(database, "SELECT entry_id, count(*) FROM jobs_photo GROUP BY entry_id")
    read = _counts(
        database,
        "SELECT l.entry_id, count(r.id) FROM jobs_runlink l JOIN measurements_run u"
        " ON u.id = l.run_id LEFT JOIN measurements_reading r ON r.run_id = u.id GROUP BY 1",
    )
    for entry in entries:
        name = f"{entry['kind']} {entry['seq']}"
        if entry["text"] is None or entry["ledger_seq"] is None:
            found.half.append(name)
        elif entry["kind"] == "photos" and framed.get(entry["id"]) != 1:
            found.half.append(f"{name}: no frame")
        elif entry["kind"] == "test" and not read.get(entry["id"]):
            found.half.append(f"{name}: no readings")
    for what, query in (
        (
            "a run without its entry",
            "SELECT id FROM measurements_run WHERE id NOT IN (SELECT run_id FROM jobs_runlink)",
        ),
        (
            "an original without its frame",
            "SELECT sha256 FROM jobs_blob WHERE sha256 NOT IN (SELECT blob_id FROM jobs_photo)",
        ),
        (
            "a ledger line without its entry",
            "SELECT seq FROM jobs_ledger WHERE entry_id NOT IN (SELECT id FROM jobs_entry)",
        ),
    ):
        found.half += [f"{what}: {row[0]}" for row in database.execute(query)]


def _counts(database: sqlite3.Connection, query: str) -> dict[int, int]:
    return {row[0]: row[1] for row in database.execute(query)}


def _chains(database: sqlite3.Connection, entries: list[sqlite3.Row], found: Survivors) -> None:
    """Numbers without gaps, each envelope naming the digest before it, and the ledger over all."""
    last: dict[int | None, tuple[int, str]] = {}
    for entry in entries:
        seq, before = last.get(entry["ticket_id"], (0, START))
        digest = hashlib.sha256(b"baywitness-1\0" + entry["envelope"].encode()).hexdigest()
        if (
            entry["seq"] != seq + 1
            or json.loads(entry["envelope"])["prev"] != before
            or digest != entry["digest"]
        ):
            found.out_of_order.append(f"entry {entry['seq']} after {seq}")
        last[entry["ticket_id"]] = (entry["seq"], entry["digest"])
    digests = {entry["id"]: entry["digest"] for entry in entries}
    head = START
    for number, (seq, entry_id, stored) in enumerate(
        database.execute("SELECT seq, entry_id, head FROM jobs_ledger ORDER BY seq"), start=1
    ):
        head = hashlib.sha256(
            bytes.fromhex(head) + bytes.fromhex(digests.get(entry_id, START))
        ).hexdigest()
        if (seq, stored) != (number, head):
            found.out_of_order.append(f"ledger line {seq}")
            head = stored
