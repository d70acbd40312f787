"""Which known word was probably meant."""

from __future__ import annotations

from collections.abc import Iterable

__all__ = ["nearest"]


def nearest(word: str, known: Iterable[str]) -> str | None:
    """The known word with the fewest slips from `word`; None where more than two in five letters differ.

    A slip is a letter left out, added or changed, or two neighbours swapped (optimal string alignment
    distance, textbook, from memory).

    >>> nearest("crad", ["read", "card", "stack"]), nearest("zebra", ["read", "card"])
    ('card', None)
    """
    far = sorted((_slips(word.lower(), one.lower()), one) for one in known)
    return far[0][1] if far and far[0][0] <= max(1, round(0.4 * len(word.strip("-")))) else None


def _slips(word: str, other: str) -> int:
    before: list[int] = []
    last = list(range(len(other) + 1))
    for i, letter in enumerate(word, 1):
        row = [i]
        for j, wanted in enumerate(other, 1):
            change = last[j - 1] + (letter != wanted)
            row.append(min(last[j] + 1, row[j - 1] + 1, change))
            if i > 1 and j > 1 and letter == other[j - 2] and word[i - 2] == wanted:
                row[j] = min(row[j], before[j - 2] + 1)
        before, last = last, row
    return last[-1]
