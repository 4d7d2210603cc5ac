"""Which test tells most: expected information, in bits, and bits per minute from here."""

from __future__ import annotations

import math
from collections.abc import Mapping

from jobs.suspects.odds import row_under
from jobs.suspects.tables import Evidence


def entropy(shares: Mapping[str, float]) -> float:
    """Uncertainty of a distribution, in bits.

    >>> entropy({"a": 0.5, "b": 0.5})
    1.0
    """
    return -sum(p * math.log2(p) for p in shares.values() if p > 0)


def expected_bits(evidence: Evidence, shares: Mapping[str, float], weight: float = 1.0) -> float:
    """Bits that a test is expected to tell about the suspects: the mutual information of suspects
    and outcomes. Never below nought; nought for a test that can't separate.

    weight: less than 1 where it would be weakened, as among tests that see the same thing.
    """
    by_outcome = dict.fromkeys(evidence.otherwise, 0.0)
    given = 0.0
    rows = {}
    for code, share in shares.items():
        name = code if code in evidence.rows else ""
        if name not in rows:
            row = row_under(evidence, name, weight)
            rows[name] = (row, entropy(row))
        row, bits = rows[name]
        given += share * bits
        for outcome, p in row.items():
            by_outcome[outcome] += share * p
    return max(0.0, entropy(by_outcome) - given)


def after(
    evidence: Evidence, shares: Mapping[str, float], outcome: str, weight: float = 1.0
) -> dict[str, float]:
    """The shares if the test came out so."""
    joint = {
        code: share * row_under(evidence, code, weight)[outcome] for code, share in shares.items()
    }
    total = sum(joint.values())
    return {code: p / total for code, p in joint.items()}
