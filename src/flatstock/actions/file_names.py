"""What a person calls an order or a sheet, as a file's name on any system."""

from __future__ import annotations

from collections.abc import Iterable

__all__ = ["file_names"]


def file_names(ids: Iterable[str]) -> dict[str, str]:
    """Each ID with the piece of a file's name that stands for it: letters, digits and `-_.`, no two alike.

    Windows and macOS take names for one that differ only in large and small letters.

    >>> file_names(["2026/17", "O-1", "o-1"])
    {'2026/17': '2026-17', 'O-1': 'O-1', 'o-1': 'o-1-2'}
    """
    found: dict[str, str] = {}
    taken: set[str] = set()
    for one in ids:
        plain = "".join(letter if letter.isalnum() or letter in "-_." else "-" for letter in one)
        name, number = plain, 1
        while name.casefold() in taken:
            number += 1
            name = f"{plain}-{number}"
        taken.add(name.casefold())
        found[one] = name
    return found
