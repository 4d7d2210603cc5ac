"""What a test says, as a plain value: figures, verdicts, one pattern, sentences, a chart."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, Literal

from measurements.core import plain
from measurements.core.procedure import Source

FORMAT = 1

Outcome = Literal["within", "outside", "cannot_tell", "no_limit"]


@dataclass(frozen=True)
class Sentence:
    """A message: id and parameters for other languages, and the English text that was shown."""

    id: str
    params: Mapping[str, str]
    text: str

    def __str__(self) -> str:
        return self.text


@dataclass(frozen=True)
class Figure:
    """A value computed from readings, in the stored unit, with its standard uncertainty.

    Never clipped; value is None when it could not be computed, then
    `absent_because` says why; `unit`: in which it is shown ("" = the shop's).
    """

    key: str
    label: str
    quantity: str
    value: float | None
    u: float = 0.0
    absent_because: str = ""
    unit: str = ""


@dataclass(frozen=True)
class VerdictOutcome:
    """What one reading or figure says against one limit.

    address: of the reading, or `figure.<key>`; p: chance that the true value lies inside the limit
    (None without a value); value, u, low, high in the stored unit of `quantity`; too_narrow: the
    window is so narrow that this instrument could never call anything within.
    """

    address: str
    label: str
    outcome: Outcome
    quantity: str
    value: float | None = None
    u: float = 0.0
    p: float | None = None
    low: float | None = None
    high: float | None = None
    source: Source | None = None
    safety: bool = False
    too_narrow: bool = False


@dataclass(frozen=True)
class Also:
    """A second thing that was seen beside the leading pattern: pattern code and row codes."""

    pattern: str
    where: tuple[str, ...] = ()


@dataclass(frozen=True)
class Table:
    """A table for page and report: every cell is text."""

    title: str
    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


@dataclass(frozen=True)
class Assessment:
    """The judgement of one run. Same readings, same assessment.

    pattern: code of the leading pattern; where: row codes that it points at; also: what else was
    seen; missing: addresses that were needed and are empty; confounders: codes;
    customer, technician: sentences in reading order; chart: plain data for `core.chart.draw`.
    """

    procedure: str
    version: int
    pattern: str
    where: tuple[str, ...] = ()
    also: tuple[Also, ...] = ()
    figures: tuple[Figure, ...] = ()
    verdicts: tuple[VerdictOutcome, ...] = ()
    missing: tuple[str, ...] = ()
    confounders: tuple[str, ...] = ()
    tables: tuple[Table, ...] = ()
    customer: tuple[Sentence, ...] = ()
    technician: tuple[Sentence, ...] = ()
    chart: Mapping[str, Any] = field(default_factory=dict)
    format: int = FORMAT

    def figure(self, key: str) -> Figure | None:
        """The figure with this key, or None."""
        return next((figure for figure in self.figures if figure.key == key), None)

    def verdict(self, address: str) -> VerdictOutcome | None:
        """The verdict for this address, or None."""
        return next((verdict for verdict in self.verdicts if verdict.address == address), None)

    @property
    def outside(self) -> tuple[VerdictOutcome, ...]:
        """Verdicts that lie outside their limit."""
        return tuple(verdict for verdict in self.verdicts if verdict.outcome == "outside")

    def to_dict(self) -> dict[str, Any]:
        """Plain data, ready for JSON."""
        data: dict[str, Any] = plain.to_plain(self)
        return data

    @classmethod
    def from_dict(cls, data: Mapping[str, Any]) -> Assessment:
        """The assessment that `to_dict` stored; formats newer than ours are refused."""
        if data.get("format", FORMAT) > FORMAT:
            raise plain.NotPlainError(
                f"assessment has format {data['format']}, this version reads up to {FORMAT}"
            )
        assessment: Assessment = plain.from_plain(cls, data)
        return assessment
