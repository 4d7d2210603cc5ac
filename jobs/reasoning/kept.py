"""The odds of a moment as the record keeps them: readable without the tables that made them."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from jobs.reasoning.of_ticket import Reasoning

FIGURES = 4
"""Decimal places that are kept of odds and likelihoods: more than the judgement behind them has,
few enough to stay readable."""


def kept(reasoning: Reasoning) -> dict[str, Any]:
    """Plain data: each suspect with its odds at the start and now, each factor with both
    likelihoods, what was left out and why, and the digest of the tables."""
    odds = reasoning.odds
    return {
        "complaint": reasoning.complaint.data["uid"],
        "family": reasoning.family,
        "knowledge": reasoning.knowledge,
        "suspects": [
            {
                "suspect": code,
                "label": reasoning.table.suspect(code).label,
                "start": round(reasoning.starts[code], FIGURES),
                "now": round(odds.shares[code], FIGURES),
                "factors": [
                    {
                        "entry": int(factor.piece.source),
                        "evidence": factor.piece.key,
                        "outcome": factor.piece.outcome,
                        "weight": round(factor.piece.weight, FIGURES),
                        "if_cause": round(factor.if_cause, FIGURES),
                        "if_not": round(factor.if_not, FIGURES),
                    }
                    for factor in odds.factors[code]
                ],
            }
            for code in odds.leading
        ],
        "left_out": [
            {"entry": one.source, "why": one.why, "by": one.by}
            for one in reasoning.gathered.left_out
        ],
        "pair": list(reasoning.joint.best or ()),
    }
