"""A note: anything worth writing down that is neither a test, a photo nor a swap."""

from jobs.record.kind import Kind

KIND = Kind(code="note", needs=frozenset({"words"}))
