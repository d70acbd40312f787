"""The invented demo workshop as data files, opened through the same door as anyone's."""

from __future__ import annotations

from importlib.resources import as_file, files
from pathlib import Path

from flatstock.errors import Fault, Refused

__all__ = ["FILES", "copy_to"]

FILES = (
    "shop.toml",
    "plastics.toml",
    "lots.csv",
    "orders.csv",
    "offcuts.csv",
    "supply.toml",
    "room.toml",
    "outlay.toml",
)


def copy_to(folder: Path) -> list[Path]:
    """Write the demo's files into `folder`, which is made; the files written.

    Raises
    ------
    Refused
        The folder holds something already, or can't be written.
    """
    if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
        raise Refused(Fault(str(folder), "there is something in it already", "name a new or an empty folder"))
    try:
        folder.mkdir(parents=True, exist_ok=True)
        written = []
        for name in FILES:
            with as_file(files("flatstock.demo") / "workshop" / name) as source:
                (folder / name).write_bytes(source.read_bytes())
            written.append(folder / name)
    except OSError as error:
        raise Refused(
            Fault(str(folder), f"it can't be written ({error.strerror})", "name another folder")
        ) from None
    return written
