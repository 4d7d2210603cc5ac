"""Whether two names mean one part."""

from jobs.suspects.gather import part_words


def alike(one: str, other: str) -> bool:
    """All words of the shorter name are in the longer ("battery", "AGM battery 70 Ah").

    >>> alike("Front left pads", "pad, front left, ceramic"), alike("left pad", "right pad")
    (True, False)
    """
    first, second = part_words(one), part_words(other)
    return bool(first and second) and (first <= second or second <= first)
