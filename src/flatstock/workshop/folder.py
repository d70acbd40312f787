"""Write a whole folder, or one whole file of it, or nothing."""

from __future__ import annotations

import os
import shutil
from collections.abc import Callable, Mapping
from contextlib import suppress
from pathlib import Path

from flatstock.errors import Fault, Refused

__all__ = ["must_be_free", "not_written", "write_bytes", "write_file", "write_folder"]


def write_folder(
    folder: Path, contents: Mapping[str, bytes], *, check: Callable[[Path], None] | None = None
) -> list[Path]:
    """Write files into `folder`, which is new or empty; the files written.

    They are written beside it first; `check` may look at them there and raise.

    Raises
    ------
    Refused
        There is something in the folder already, or it can't be written.
    """
    must_be_free(folder)
    whole = folder.absolute()
    beside = whole.parent / f".{whole.name}.{os.getpid()}.part"
    try:
        beside.mkdir(parents=True)
        for name, data in contents.items():
            (beside / name).write_bytes(data)
        if check is not None:
            check(beside)
        _put(beside, folder)
    except OSError as error:
        reason = error.strerror or str(error)
        raise Refused(Fault(str(folder), f"it can't be written ({reason})", "name another folder")) from None
    finally:
        shutil.rmtree(beside, ignore_errors=True)
    return [folder / name for name in contents]


def must_be_free(folder: Path) -> None:
    """Nothing, where `folder` is new or empty.

    Raises
    ------
    Refused
        There is something in it already, or it can't be looked into.
    """
    try:
        taken = folder.is_symlink() or folder.exists()
        if taken and (not folder.is_dir() or any(folder.iterdir())):
            what = "there is something in it already" if folder.is_dir() else "a file or a link is called so"
            raise Refused(Fault(str(folder), what, "name a new or an empty folder"))
    except OSError as error:
        reason = error.strerror or str(error)
        raise Refused(Fault(str(folder), f"it can't be used ({reason})", "name another folder")) from None


def write_file(path: Path, text: str) -> None:
    """Write one file of a workshop, whole and on the disk, or not at all. Raises `Refused` where it can't be."""
    write_bytes(path, text.encode("utf-8"))


def write_bytes(path: Path, data: bytes) -> None:
    """The same for what is bytes already."""
    half = path.with_name(f".{path.name}.part")
    try:
        with half.open("wb") as out:
            out.write(data)
            out.flush()
            os.fsync(out.fileno())
        half.replace(path)
    except OSError as error:
        with suppress(OSError):
            half.unlink(missing_ok=True)
        raise not_written(path, error) from None


def not_written(path: Path, error: OSError) -> Refused:
    """What is said where a file can't be written."""
    what = f"can't be written ({error.strerror or error})"
    return Refused(Fault(str(path), what, "make room, make it writable, or close it where it is open"))


def _put(beside: Path, folder: Path) -> None:
    """Into place in one step; an empty folder that is there stays the same folder and is filled."""
    if not folder.exists():
        beside.rename(folder)
        return
    moved: list[Path] = []
    try:
        for file in sorted(beside.iterdir()):
            moved.append(file.rename(folder / file.name))
    except OSError:
        for file in moved:
            file.unlink()
        raise
