"""An earlier entry does not count: what it was, and why it is taken back. It stays legible."""

from jobs.record.kind import Kind

KIND = Kind(code="withdrawn", needs=frozenset({"why"}))
