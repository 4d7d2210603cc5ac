"""The fault did not appear while the car was here: what was tried under which conditions, what was
not, and what the owner should note. An honourable end, and no finding that nothing is wrong."""

from jobs.record.kind import Kind

KIND = Kind(code="not_appeared", needs=frozenset({"complaint", "tried", "not_tried", "note"}))
