"""Tables made up for tests."""

from __future__ import annotations

from collections.abc import Mapping

from hypothesis import strategies as st

from jobs.suspects.tables import Evidence, Suspect, Table


def table(starts: Mapping[str, int], evidence: Mapping[str, Mapping[str, Mapping[str, float]]]):
    """A table out of weights, and of evidence: key -> row name -> outcome -> probability; the row
    "" is the one of all that are not named."""
    return Table(
        "made",
        tuple(Suspect(code, code, code, start) for code, start in starts.items()),
        {
            key: Evidence(key, rows[""], {name: row for name, row in rows.items() if name})
            for key, rows in evidence.items()
        },
    )


def yes_no(starts: Mapping[str, int], **tests: Mapping[str, float]):
    """Tests with two outcomes: the chance of "positive" under each suspect."""
    evidence = {
        name: {
            "": {"positive": 0.5, "negative": 0.5},
            **{code: {"positive": p, "negative": 1 - p} for code, p in chances.items()},
        }
        for name, chances in tests.items()
    }
    return table(starts, evidence)


def rows(outcomes: int) -> st.SearchStrategy[list[float]]:
    """Distributions over so many outcomes, none of them nearly impossible."""
    return st.lists(st.integers(1, 60), min_size=outcomes, max_size=outcomes).map(
        lambda weights: [weight / sum(weights) for weight in weights]
    )


@st.composite
def tables(draw: st.DrawFn) -> Table:
    """Random tables: 2 to 6 suspects, 1 to 5 tests of 2 to 4 outcomes, some rows left out."""
    codes = [f"s{n}" for n in range(draw(st.integers(2, 6)))]
    starts = {code: draw(st.integers(1, 50)) for code in codes}
    evidence = {}
    for number in range(draw(st.integers(1, 5))):
        size = draw(st.integers(2, 4))
        names = [f"o{n}" for n in range(size)]
        told = {"": dict(zip(names, draw(rows(size)), strict=True))}
        for code in codes:
            if draw(st.booleans()):
                told[code] = dict(zip(names, draw(rows(size)), strict=True))
        evidence[f"t{number}"] = told
    return table(starts, evidence)
