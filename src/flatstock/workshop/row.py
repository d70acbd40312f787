"""A table that has been read: SI numbers under names without units, and the lines they came from."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, datetime, time

from flatstock.evidence import Kind, Value

__all__ = ["Row"]


@dataclass(slots=True)
class Row:
    """What one table of a file says; the typed getters are for keys that the declaration has checked."""

    file: str
    path: str  #: "frames.F12-1"
    line: int
    values: dict[str, object] = field(default_factory=dict)
    lines: dict[str, int] = field(default_factory=dict)
    kind: Kind = "measured"  #: of a number that doesn't say; a table may state it for all of its numbers
    written: dict[str, str] = field(default_factory=dict)  #: the names as the file has them

    def has(self, key: str) -> bool:
        """True where the file gives the field, or it has a default."""
        return self.values.get(key) is not None

    def at(self, key: str) -> tuple[str, int, str]:
        """File, line and full name of a field, for a fault."""
        name = self.written.get(key, key)
        return self.file, self.lines.get(key, self.line), f"{self.path}.{name}" if self.path else name

    def number(self, key: str) -> float:
        """A number, SI."""
        value = self.values[key]
        if isinstance(value, Value):
            return value.value
        assert isinstance(value, int | float)
        return float(value)

    def maybe(self, key: str) -> float | None:
        """A number, SI, or None where the file is silent."""
        return self.number(key) if self.has(key) else None

    def evidence(self, key: str) -> Kind:
        """What stands behind a number: what the file says; assumed where it is silent and a default counts."""
        value = self.values.get(key)
        if isinstance(value, Value):
            return value.kind
        return self.kind if key in self.lines else "assumed"

    def count(self, key: str) -> int:
        """A whole number."""
        return round(self.number(key))

    def value(self, key: str) -> Value:
        """A number with its evidence."""
        value = self.values[key]
        assert isinstance(value, Value)
        return value

    def maybe_value(self, key: str) -> Value | None:
        """A number with its evidence, or None where the file is silent."""
        return self.value(key) if self.has(key) else None

    def text(self, key: str) -> str:
        """A text; "" where the file is silent."""
        value = self.values.get(key)
        return value if isinstance(value, str) else ""

    def maybe_text(self, key: str) -> str | None:
        """A text, or None where the file is silent."""
        return self.text(key) or None

    def flag(self, key: str) -> bool:
        """True or false; false where the file is silent."""
        return self.values.get(key) is True

    def texts(self, key: str) -> tuple[str, ...]:
        """Several words."""
        value = self.values.get(key)
        return tuple(v for v in value if isinstance(v, str)) if isinstance(value, tuple) else ()

    def counts(self, key: str) -> tuple[int, ...]:
        """Several whole numbers."""
        value = self.values.get(key)
        return tuple(v for v in value if isinstance(v, int)) if isinstance(value, tuple) else ()

    def amounts(self, key: str) -> tuple[float, ...]:
        """Several numbers."""
        value = self.values.get(key)
        return tuple(v for v in value if isinstance(v, float)) if isinstance(value, tuple) else ()

    def points(self, key: str) -> tuple[tuple[float, float], ...]:
        """Points, SI."""
        value = self.values.get(key)
        return value if isinstance(value, tuple) else ()

    def weekdays(self, key: str) -> tuple[int, ...]:
        """Weekdays, Monday 0."""
        value = self.values.get(key)
        return tuple(v for v in value if isinstance(v, int)) if isinstance(value, tuple) else ()

    def shares(self, key: str) -> dict[str, float]:
        """Name to share."""
        value = self.values.get(key)
        return dict(value) if isinstance(value, Mapping) else {}

    def day(self, key: str) -> date | None:
        """A date."""
        value = self.values.get(key)
        return value if isinstance(value, date) and not isinstance(value, datetime) else None

    def moment(self, key: str) -> datetime | None:
        """A date with its time."""
        value = self.values.get(key)
        return value if isinstance(value, datetime) else None

    def clock(self, key: str) -> time | None:
        """A time of day."""
        value = self.values.get(key)
        return value if isinstance(value, time) else None

    def table(self, key: str) -> Row | None:
        """A table within this one."""
        value = self.values.get(key)
        return value if isinstance(value, Row) else None

    def tables(self, key: str) -> list[Row]:
        """The tables of an array, or of a table of tables by their ID, in the order of the file."""
        value = self.values.get(key)
        items = value.values() if isinstance(value, dict) else value if isinstance(value, list) else ()
        return [v for v in items if isinstance(v, Row)]
