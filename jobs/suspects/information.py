"""Which test tells most: expected information, in bits, and bits per minute from here."""

from __future__ import annotations

from collections.abc import Mapping

from jobs.suspects.odds import row_under
from jobs.suspects.tables import Evidence, entropy


def expected_bits(evidence: Evidence, shares: Mapping[str, float], weight: float = 1.0) -> float:
    """Bits that a test is expected to tell about the suspects: the mutual information of suspects
    and outcomes. Never below nought; nought for a test that can't separate.

    weight: less than 1 where it would be weakened, as among tests that see the same thing.
    """
    touched = {code: share for code, share in shares.items() if code in evidence.rows}
    groups = {"": sum(shares.values()) - sum(touched.values()), **touched}
    by_outcome = dict.fromkeys(evidence.otherwise, 0.0)
    given = 0.0
    for name, share in groups.items():
        if weight == 1.0:
            row, bits = evidence.row(name), evidence.uncertainties[name]
        else:
            row = row_under(evidence, name, weight)
            bits = entropy(row)
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
