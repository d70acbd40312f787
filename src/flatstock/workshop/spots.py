"""What has been read with the line it stands on, and everything found wrong so far."""

from __future__ import annotations

from dataclasses import dataclass, field

from flatstock.errors import Fault

__all__ = ["Entry", "Found", "Notes", "where"]

Found = dict[str, "Entry"]  # a table: its keys in the order of the file


@dataclass(frozen=True, slots=True)
class Entry:
    """A value of a file; a table holds a `Found`, an array a list of entries."""

    value: object
    line: int  #: 0: not known


@dataclass(slots=True)
class Notes:
    """Everything found wrong so far, and everything worth saying."""

    faults: list[tuple[str, int, Fault]] = field(default_factory=list)
    warnings: list[str] = field(default_factory=list)
    unread: set[str] = field(default_factory=set)  #: files that say nothing about what they would have held
    lost: set[str] = field(
        default_factory=set
    )  #: the cells of rows that can't be read: IDs that others may name

    def fault(self, file: str, line: int, path: str, what: str, instead: str = "") -> None:
        """Note one fault at a line of a file; `path` is the field ("frames.F12-1.thickness_mm")."""
        self.faults.append((file, line, Fault(where(file, line, path), what, instead)))

    def broken(self, file: str, line: int, path: str, what: str, instead: str = "") -> None:
        """Note why nothing of a file can be used; what others say about its contents is then no fault of theirs."""
        self.unread.add(file)
        self.fault(file, line, path, what, instead)

    def warn(self, file: str, line: int, path: str, text: str) -> None:
        """Note something that is allowed, but that a person should know."""
        self.warnings.append(f"{where(file, line, path)}: {text}")

    def sorted(self) -> list[Fault]:
        """The faults by file and line, each once."""
        return list(dict.fromkeys(f for _, _, f in sorted(self.faults)))


def where(file: str, line: int, path: str) -> str:
    """A place in a file, as faults and warnings name it."""
    at = f"{file} line {line}" if line else file
    return f"{at}, {path}" if path else at
