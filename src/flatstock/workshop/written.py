"""Where the files of a workshop are read from: its folder, or records that hold what they say.

`written_in` is the one door to both, so that every command reads the same form of a workshop.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Literal, Protocol

from flatstock.workshop.layouts import NAMES, layout
from flatstock.workshop.plain_text import read_bytes
from flatstock.workshop.spots import Notes

__all__ = ["FILES", "Folder", "Form", "Texts", "Written", "has_file", "read_instead", "written_in"]

Form = Literal["files", "records"]

#: the names that a workshop's files have; a list may be a .csv or a .toml file
FILES: tuple[str, ...] = tuple(
    dict.fromkeys(
        name
        for file in (layout(name).file for name in NAMES)
        for name in (file, Path(file).with_suffix(".toml").name)
    )
)


class Written(Protocol):
    """The files of one workshop, by name."""

    @property
    def form(self) -> Form:
        """Which form of the workshop this is."""

    def has(self, file: str) -> bool:
        """True where there is such a file."""

    def read(self, file: str, notes: Notes) -> bytes | None:
        """What it holds; None, with a fault, where it can't be read."""


class Folder:
    """Files as they stand in a folder."""

    form: Form = "files"

    def __init__(self, folder: Path) -> None:
        self.folder = folder

    def has(self, file: str) -> bool:
        """True where there is such a file."""
        return (self.folder / file).exists()

    def read(self, file: str, notes: Notes) -> bytes | None:
        """What it holds; None, with a fault, where it can't be read."""
        return read_bytes(self.folder / file, notes)


class Texts:
    """Files that stand in no folder: the written form of records, or of answers that are still to be written."""

    def __init__(self, texts: Mapping[str, bytes], *, form: Form = "records") -> None:
        self.texts = texts
        self.form = form

    def has(self, file: str) -> bool:
        """True where there is such a file."""
        return file in self.texts

    def read(self, file: str, _: Notes) -> bytes | None:
        """What it holds."""
        return self.texts[file]


Finder = Callable[[Path], Written | None]
_ASKED_FIRST: list[Finder] = []


def read_instead(find: Finder) -> None:
    """From now on `find` is asked for a folder's workshop first; its None means the files.

    The room of records lies above this one, so it can't be imported here: whoever knows both says so once.
    """
    if find not in _ASKED_FIRST:
        _ASKED_FIRST.append(find)


def written_in(folder: Path) -> Written:
    """The files of the workshop in `folder`: as its records have them where there are any, else as they stand."""
    return next((found for find in _ASKED_FIRST if (found := find(folder)) is not None), Folder(folder))


def has_file(folder: Path, file: str) -> bool:
    """True where the workshop in `folder` has this file, in whichever form it is read."""
    return written_in(folder).has(file)
