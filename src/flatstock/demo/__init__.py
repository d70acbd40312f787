"""The invented demo workshop as data files, opened through the same door as anyone's."""

from __future__ import annotations

from importlib.resources import files
from pathlib import Path

from flatstock.workshop.folder import write_folder

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
    """Write the demo's files into `folder`, which is new or empty; the files written.

    Raises
    ------
    Refused
        The folder holds something already, or can't be written.
    """
    source = files("flatstock.demo") / "workshop"
    return write_folder(folder, {name: (source / name).read_bytes() for name in FILES})
