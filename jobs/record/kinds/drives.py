"""Drives that the owner or the shop made after a repair of a fault that comes and goes, and whether
it came back on one of them."""

from jobs.record.kind import Kind

KIND = Kind(code="drives", needs=frozenset({"swap", "drives", "came_back"}))
