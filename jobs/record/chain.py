"""Hashing of the record, without database: canonical text, digests, chain and ledger heads."""

from __future__ import annotations

import hashlib
import json
from datetime import UTC, datetime
from typing import Any

ALGORITHM = "baywitness-1"
START = "0" * 64  # stands before the first entry of every chain


def canonical(value: Any) -> str:
    """The one text of a JSON value: keys sorted, no spaces, letters as they are, no NaN.

    >>> canonical({"b": 1, "a": "Ω"})
    '{"a":"Ω","b":1}'
    """
    return json.dumps(
        value, sort_keys=True, ensure_ascii=False, separators=(",", ":"), allow_nan=False
    )


def moment(at: datetime) -> str:
    """A time as the chain writes it: UTC, microseconds, always the same width."""
    return at.astimezone(UTC).strftime("%Y-%m-%dT%H:%M:%S.%fZ")


def read_moment(text: str) -> datetime:
    """The time that `moment` wrote."""
    return datetime.strptime(text, "%Y-%m-%dT%H:%M:%S.%fZ").replace(tzinfo=UTC)


def payload_digest(salt: str, text: str) -> str:
    """What the chain holds of a payload; without the salt nobody can guess the text back."""
    return hashlib.sha256(bytes.fromhex(salt) + text.encode()).hexdigest()


def entry_digest(envelope: str) -> str:
    """Digest of an entry's exact envelope text."""
    return hashlib.sha256(ALGORITHM.encode() + b"\x00" + envelope.encode()).hexdigest()


def ledger_head(previous: str, digest: str) -> str:
    """Next head of the installation's ledger."""
    return hashlib.sha256(bytes.fromhex(previous) + bytes.fromhex(digest)).hexdigest()


def content_digest(text: str) -> str:
    """Digest of a stored text: a run's or a report's content."""
    return hashlib.sha256(text.encode()).hexdigest()
