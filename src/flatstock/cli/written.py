"""Files that a call is to write: their names are judged with its words, before anything is worked out.

An answer may take minutes; nobody should learn after them that its paper has nowhere to go. These stand at the
options as their validators, which are asked of an option that was not written too.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from flatstock.errors import Fault, Refused

__all__ = ["drawing_name", "no_other_table", "paper_name", "papers_name", "table_name", "writing"]

HEAD = 1000  #: bytes in which a drawing's first tag stands


def paper_name(_: Any, path: Path | None) -> None:
    """Raises `Refused` where `--pdf` is no name of a PDF, another file stands there, or it can't be written."""
    if path is not None:
        _free("--pdf", path, ".pdf", "a PDF", lambda head: head.startswith(b"%PDF-"))


def drawing_name(_: Any, path: Path | None) -> None:
    """Raises `Refused` where `--svg` is no name of a drawing, another file stands there, or it can't be written."""
    if path is not None:
        _free("--svg", path, ".svg", "a drawing", lambda head: b"<svg" in head)


def table_name(_: Any, path: Path | None) -> None:
    """Raises `Refused` where `--csv` is no name of a table or can't be written."""
    if path is not None:
        _free("--csv", path, ".csv", "a table", lambda _: True)


def no_other_table(path: Path, head: str) -> None:
    """Raises `Refused` where a table stands at `path` (`--csv`) whose first line is not `head`."""
    with writing("--csv", path):
        there = path.read_text("utf-8-sig", errors="replace") if path.exists() else head
    if not there.startswith(head):
        raise _other("--csv", path, "is another table")


def papers_name(_: Any, folder: Path | None) -> None:
    """Raises `Refused` where `folder` (`--pdf`) can't hold papers; it need not be there yet."""
    if folder is None:
        return
    with writing("--pdf", folder, "folder"):
        fresh = not folder.exists()
        folder.mkdir(exist_ok=True)
        if fresh:
            folder.rmdir()
        else:
            _tried(folder / ".flatstock.part")


@contextmanager
def writing(option: str, path: Path, what: str = "file") -> Iterator[None]:
    """Say what can't be written, and to name another `what`."""
    try:
        yield
    except OSError as error:
        reason = error.strerror or error
        raise Refused(Fault(option, f"{path} can't be written ({reason})", f"name another {what}")) from None


def _free(option: str, path: Path, suffix: str, what: str, same: Callable[[bytes], bool]) -> None:
    """Whether a file may be written: one of its kind that is there is opened and left as it is."""
    if path.suffix.lower() != suffix:
        instead = f"write {path.with_suffix(suffix).name}"
        raise Refused(Fault(option, f"{path} is no name for {what}", instead))
    if not path.parent.is_dir():
        raise Refused(Fault(option, f"there is no folder {path.parent}", "make it first, or name another"))
    with writing(option, path):
        if not path.exists():
            return _tried(path)
        head = b"" if path.is_dir() else path.read_bytes()[:HEAD]
        if path.is_dir() or (head and not same(head)):
            raise _other(option, path, f"is no {what.split()[-1]}")
        return path.open("r+b").close()


def _tried(path: Path) -> None:
    """Make a file and take it away again."""
    path.open("xb").close()
    path.unlink()


def _other(option: str, path: Path, what: str) -> Refused:
    return Refused(Fault(option, f"{path} is there already and {what}", "name another file"))
