"""How the cylinders of an engine stand beside each other: in a bank, never by the firing order."""

from __future__ import annotations

from collections.abc import Sequence

from measurements.core.context import Engine


def blocks(engine: Engine) -> tuple[tuple[int, ...], ...]:
    """Cylinders in the order in which they stand, bank by bank; empty if it is not known."""
    if engine.banks:
        return engine.banks
    return (tuple(range(1, engine.cylinders + 1)),) if engine.layout == "inline" else ()


def are_neighbours(cylinders: Sequence[int], standing: Sequence[Sequence[int]]) -> bool:
    """Whether these cylinders stand side by side, without a gap, in one bank."""
    for bank in standing:
        places = sorted(bank.index(number) for number in cylinders if number in bank)
        if len(places) == len(cylinders) > 1:
            return places[-1] - places[0] == len(places) - 1
    return False


def are_a_whole_bank(cylinders: Sequence[int], standing: Sequence[Sequence[int]]) -> bool:
    """Whether these are all cylinders of one bank, of an engine that has another."""
    return len(standing) > 1 and any(
        len(bank) > 1 and set(bank) == set(cylinders) for bank in standing
    )


def numbers_of(codes: Sequence[str]) -> str:
    """Row codes as people say them.

    >>> numbers_of(("c2", "c3"))
    '2, 3'
    """
    return ", ".join(code[1:] for code in codes)


def places(rows: Sequence[str], engine: Engine) -> list[tuple[str, int]]:
    """Row codes with their bank from 0, as they stand in the block; by number where unknown."""
    standing = blocks(engine) or (tuple(int(code[1:]) for code in rows),)
    return [
        (f"c{number}", bank)
        for bank, numbers in enumerate(standing)
        for number in numbers
        if f"c{number}" in rows
    ]
