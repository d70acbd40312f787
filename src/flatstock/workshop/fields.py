"""What a file of a workshop may hold: one declaration that the reader, the schemas and the pages share.

A field's unit is the ending of its name; the reader hands every number on in SI under the name without
the ending. Plain frozen dataclasses stand here in the place of a validation library: the card is a cold
command, and these load in a few milliseconds.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Literal

from flatstock.units import split_name

__all__ = ["Field", "FieldKind", "Layout", "Table"]

FieldKind = Literal[
    "number",  # one number
    "value",  # a number, [low, typical, high], or a table with its evidence
    "count",  # a whole number
    "text",
    "id",
    "choice",
    "flag",  # true or false
    "date",
    "moment",  # date and time
    "clock",  # time of day
    "days",  # weekdays
    "texts",  # several words
    "counts",  # several whole numbers
    "amount",  # a number without a unit: money, sheets a week
    "amounts",  # one of them, or a list
    "amounts_by_name",  # name to amount
    "points",  # [[x, y], ...], lengths in the unit of the name or as text with another
    "shares",  # name to share, or name to mass
    "table",
    "tables",  # [[name]], any number of them
    "named",  # [name.ID], any number of them
    "any",  # read by a later command, handed on as it is
]


@dataclass(frozen=True, kw_only=True)
class Field:
    """One field of a file."""

    name: str
    meaning: str
    kind: FieldKind = "number"
    required: bool = False
    preset: object = None  #: what counts when the field is left out, as it would be written
    library: str = ""  #: key in data/defaults.toml of what counts when the field is left out
    default: str = ""  #: the default in words, where it is neither of these
    low: float | None = None  #: least that can be, in the unit of the name
    high: float | None = None
    choices: tuple[str, ...] = ()
    refers: str = ""  #: the table that a name must stand in
    table: Table | None = None
    whole: bool = False  #: shares that must come to 1
    example: str = ""
    handed_on_as: str = ""  #: the key in a row, where two names of a table differ in their unit alone

    @cached_property
    def key(self) -> str:
        """Under which the reader hands the field on."""
        return self.handed_on_as or self.stem

    @cached_property
    def stem(self) -> str:
        """The name without its unit."""
        return self.name if self.unit is None else self.name[: -len(self._split[0])]

    @cached_property
    def dimension(self) -> str:
        """The key in `units.UNITS`; "share" for a number without a unit."""
        return self._split[1]

    @cached_property
    def unit(self) -> str | None:
        """The unit as the name has it, or None."""
        return self._split[2]

    @cached_property
    def _split(self) -> tuple[str, str, str | None]:
        measured = self.kind in ("number", "value", "points")
        parts = split_name(self.name) if measured else None
        return ("", "share", None) if parts is None else (self.name[len(parts[0]) :], parts[1], parts[2])


@dataclass(frozen=True, kw_only=True)
class Table:
    """A table of a file, or the columns of one."""

    name: str  #: what one row is, in words
    fields: tuple[Field, ...]
    one_of: tuple[tuple[str, ...], ...] = ()  #: of each group, one must be given
    open: bool = False  #: unknown keys are left for a later command

    @cached_property
    def by_name(self) -> dict[str, Field]:
        """Fields by the name that stands in the file."""
        return {f.name: f for f in self.fields}

    @cached_property
    def by_stem(self) -> dict[tuple[str, str], Field]:
        """Measured fields by stem and dimension, so that another unit finds its field."""
        return {(f.stem, f.dimension): f for f in self.fields if f.unit is not None}


@dataclass(frozen=True, kw_only=True)
class Layout:
    """One file of a workshop."""

    file: str  #: "shop.toml"
    about: str  #: what stands in it, for its page
    table: Table  #: the whole file, or one row of a list
    rows: str = ""  #: for a list: the array's name in its TOML form ("lots"), which may also be a CSV file
    example: str = ""  #: a few lines of it, for its page
