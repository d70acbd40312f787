"""The moulds of a stack as a form holds them, lowest first."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import zip_longest

__all__ = ["Row", "changed", "rows_of"]


@dataclass(frozen=True, slots=True)
class Row:
    """One mould, as it was typed."""

    plastic: str
    thickness: str
    arrives: str
    core: str

    def words(self) -> list[tuple[str, str]]:
        """The same for an address."""
        return [
            ("plastic", self.plastic),
            ("thickness", self.thickness),
            ("arrives", self.arrives),
            ("core", self.core),
        ]


def rows_of(*columns: Sequence[str]) -> list[Row]:
    """The rows of four columns; what is missing is empty."""
    return [Row(*(cell[:80].strip() for cell in row)) for row in zip_longest(*columns, fillvalue="")][:200]


def changed(rows: Sequence[Row], do: str) -> list[Row]:
    """After a button: "add" lays the last once more on top, "off-2" takes the third away, "up-2" lifts it by one.

    >>> [row.arrives for row in changed([Row("pp", "6", "09:00", ""), Row("pp", "6", "10:00", "")], "off-0")]
    ['10:00']
    """
    found = list(rows)
    word, _, at = do.partition("-")
    if word == "add":
        return [*found, replace(found[-1], core="")] if found else found
    if not at.isdecimal() or int(at) >= len(found):
        return found
    index = int(at)
    if word == "off" and len(found) > 1:
        del found[index]
    if word == "up" and index + 1 < len(found):
        mine, above = found[index], found[index + 1]
        # the times stay in their order: the stack is written lowest first
        found[index] = replace(above, arrives=mine.arrives)
        found[index + 1] = replace(mine, arrives=above.arrives)
    return found
