"""What parent and helper say to each other: two lengths, a JSON head, and bytes."""

from __future__ import annotations

import json
import struct
from typing import Any

LENGTHS = struct.Struct(">II")
Head = dict[str, Any]


def pack(head: Head, body: bytes = b"") -> bytes:
    """One message."""
    text = json.dumps(head, ensure_ascii=False).encode()
    return LENGTHS.pack(len(text), len(body)) + text + body


def wanted(received: bytes | bytearray) -> int:
    """How many bytes the message has in all, as far as can be told."""
    if len(received) < LENGTHS.size:
        return LENGTHS.size
    return LENGTHS.size + sum(LENGTHS.unpack_from(received))


def unpack(message: bytes | bytearray) -> tuple[Head, bytes]:
    """Head and bytes of a whole message."""
    head_length, body_length = LENGTHS.unpack_from(message)
    start = LENGTHS.size + head_length
    head = json.loads(bytes(message[LENGTHS.size : start]))
    return head, bytes(message[start : start + body_length])
