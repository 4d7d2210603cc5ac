"""What it costs to weigh a complaint: odds, pairs and the next test, in plain Python.

Run by hand, on a machine that does nothing else: python -m tests.bench.bench_suspects
One table of 14 suspects (and the two that are always there), 40 kinds of evidence of 12 outcomes
with a row for each third suspect; 20 tests made, 20 that could be made. Processor time, median.
"""

from __future__ import annotations

import random
import sys

from jobs.suspects.next_test import Candidate, Here, rank
from jobs.suspects.odds import Piece, update
from jobs.suspects.pairs import weigh_pairs
from jobs.suspects.tables import NOTHING, UNLISTED, Evidence, Suspect, Table
from tests.bench.bench_assess import median_ms

SUSPECTS, DONE, OPEN, OUTCOMES = 14, 20, 20, 12
MOST_MS = 5.0


def made() -> Table:
    """The table, the same each time."""
    draw = random.Random(5)
    codes = [*(f"s{n}" for n in range(SUSPECTS)), UNLISTED, NOTHING]

    def row() -> dict[str, float]:
        weights = [draw.uniform(1, 20) for _ in range(OUTCOMES)]
        return {f"o{n}": weight / sum(weights) for n, weight in enumerate(weights)}

    evidence = {
        f"t{n}": Evidence(
            f"t{n}",
            row(),
            {code: row() for m, code in enumerate(codes) if (m + n) % 3 == 0},
        )
        for n in range(DONE + OPEN)
    }
    suspects = tuple(Suspect(code, code, code, draw.randint(1, 30)) for code in codes)
    return Table("made", suspects, evidence)


def main() -> int:
    """Print the figures; 1 where the promise is not kept."""
    table = made()
    pieces = [
        Piece(f"t{n}", f"o{n % OUTCOMES}", group="one" if n % 4 == 0 else "") for n in range(DONE)
    ]
    candidates = [Candidate(f"t{n}", f"t{n}", 5) for n in range(DONE, DONE + OPEN)]
    sound = dict.fromkeys(table.evidence, "o0")

    def odds() -> None:
        update(table, pieces)

    def pairs() -> None:
        weigh_pairs(table, pieces, sound)

    shares = update(table, pieces).shares

    def ranking() -> None:
        rank(table, shares, candidates, Here())

    tasks = {"odds": odds, "pairs": pairs, "ranking": ranking}
    figures = {name: median_ms(task) for name, task in tasks.items()}
    for name, ms in figures.items():
        print(f"{name:10}{ms:8.2f} ms")
    whole = sum(figures.values())
    print(f"{'all':10}{whole:8.2f} ms, promised under {MOST_MS} ms")
    return 0 if whole < MOST_MS else 1


if __name__ == "__main__":
    sys.exit(main())
